"""Measures everything: collects ``rows()`` of every module of this folder and prints one table.

Usage: ``./dev bench [module ...]``
"""

import importlib
import pkgutil
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path[:0] = [str(ROOT / "src"), str(ROOT)]


def main(wanted: list[str]) -> int:
    """Print the table; the modules named, or all that have ``rows``."""
    from rich.console import Console
    from rich.table import Table

    table = Table("measured", "here", "reference in the same run", "ratio", "aim")
    found = 0
    for module in sorted(m.name for m in pkgutil.iter_modules([str(ROOT / "bench")])):
        if module == "run" or (wanted and module not in wanted):
            continue
        rows = getattr(importlib.import_module(f"bench.{module}"), "rows", None)
        for row in rows() if rows else ():
            table.add_row(*row)
            found += 1
    Console(width=150).print(table)
    return 0 if found else 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
