"""Formulas carry their units, their sources exist, and the files said to check them exist.

Every public function of ``physics`` and ``geometry`` describes its arguments in the order of its signature, each number
with its unit in square brackets.
"""

import ast
import re
from pathlib import Path

import pytest

from wardwright.sources import bibliography

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "wardwright"
NUMBER = re.compile(r"\b(float|int|complex|NDArray|ndarray|ArrayLike)\b")


def public_functions() -> list[tuple[str, ast.FunctionDef]]:
    found = []
    for package in ("physics", "geometry"):
        for path in sorted((SOURCE / package).rglob("*.py")):
            tree = ast.parse(path.read_text(encoding="utf-8"))
            for node in tree.body:
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    found.append((f"{path.relative_to(SOURCE)}:{node.name}", node))
    return found


FUNCTIONS = public_functions()


def sections(docstring: str) -> dict[str, str]:
    parts = re.split(r"^([A-Z][A-Za-z ]+)\n-{3,}\n", docstring, flags=re.MULTILINE)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def entries(section: str) -> dict[str, str]:
    """Text of each entry by name; ``a, b : float`` counts for both."""
    found: dict[str, str] = {}
    for chunk in re.split(r"\n(?=\S)", section.strip("\n")):
        head, _, body = chunk.partition("\n")
        for name in head.split(":")[0].split(","):
            found[name.strip().lstrip("*")] = f"{head}\n{body}"
    return found


@pytest.mark.parametrize(("where", "node"), FUNCTIONS, ids=[name for name, _ in FUNCTIONS])
def test_a_formula_states_its_arguments_in_order_with_units(where: str, node: ast.FunctionDef) -> None:
    docstring = ast.get_docstring(node)
    assert docstring, where
    parts = sections(docstring)
    arguments = [a for a in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs) if a.arg != "self"]
    if arguments:
        described = entries(parts.get("Parameters", ""))
        assert list(described) == [a.arg for a in arguments], f"{where}: arguments and their descriptions differ"
        for argument in arguments:
            kind = ast.unparse(argument.annotation) if argument.annotation else ""
            if NUMBER.search(kind):
                assert re.search(r"\[[^\]]+\]", described[argument.arg]), f"{where}: {argument.arg} has no unit"
    returns = ast.unparse(node.returns) if node.returns else "None"
    if returns != "None":
        assert "Returns" in parts or "Yields" in parts, f"{where}: what it returns is not described"
        if NUMBER.search(returns):
            assert re.search(r"\[[^\]]+\]", parts.get("Returns", parts.get("Yields", ""))), f"{where}: no unit returned"


def test_every_cited_key_is_in_the_bibliography() -> None:
    known = bibliography()
    cited: dict[str, str] = {}
    for path in SOURCE.rglob("*.py"):
        for key in re.findall(r"\[([A-Z][A-Za-z0-9.\-]*-\d{4}[a-z]?)\]_", path.read_text(encoding="utf-8")):
            cited[key] = str(path.relative_to(SOURCE))
    missing = {key: where for key, where in cited.items() if key not in known}
    assert not missing


def test_every_file_said_to_check_a_formula_exists() -> None:
    for path in SOURCE.rglob("*.py"):
        for name in re.findall(r"``(tests/[^`]+?\.py)", path.read_text(encoding="utf-8")):
            assert (ROOT / name).is_file(), f"{path.relative_to(SOURCE)} says it is checked by {name}"


def test_sources_say_how_they_were_known() -> None:
    for key, source in bibliography().items():
        assert source.status in {"seen", "seen in part", "from memory", "own"}, key
        assert source.title, key
