"""The register of checks against things outside the project, and the table printed at the end of a run.

A check is one distinct quantity against one source: all rows of a table for the same quantity are one check, whose
difference is the worst of its rows. Three states are told apart:

* ``seen``: the expected figure was read in a published source; these count as published checks;
* ``from memory``: a well known figure nobody read again; counted, but not as published;
* ``computed``: worked out apart from the program, from the formula its documentation states. Such a check tests that
  the equation is solved right, not that it is the right equation: listed apart and not counted.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Literal, get_args

import pytest

from wardwright.sources import bibliography

Status = Literal["seen", "from memory", "computed"]
Numbers = float | Sequence[float]


@dataclass
class Entry:
    """One quantity against one source."""

    status: Status
    rows: int = 0
    worst: float = 0.0
    """Largest difference as a share of its tolerance."""
    failed: bool = False


@dataclass
class Register:
    """All checks of a run, by source and quantity."""

    entries: dict[tuple[str, str], Entry] = field(default_factory=dict)

    def record(self, source: str, quantity: str, status: Status, share: float) -> None:
        """Add one row to a check."""
        entry = self.entries.setdefault((source, quantity), Entry(status))
        if entry.status != status:
            raise ValueError(f"{source}, {quantity}: recorded both as {entry.status} and as {status}")
        entry.rows += 1
        entry.worst = max(entry.worst, share)
        entry.failed = entry.failed or not share <= 1.0


REGISTER = pytest.StashKey[Register]()
Check = Callable[..., None]


def as_numbers(value: Numbers) -> list[float]:
    """A single number or a sequence of numbers, as a list."""
    return [float(v) for v in value] if isinstance(value, Sequence) else [float(value)]


def pytest_configure(config: pytest.Config) -> None:
    """Start an empty register."""
    config.stash[REGISTER] = Register()


@pytest.fixture
def check(request: pytest.FixtureRequest) -> Check:
    """Record one check and assert it.

    ``check(source="IEC60228-2004", status="seen", quantity="loop resistance of class 5", expected=7.80, actual=...,
    tolerance=0.001)``. ``expected`` and ``actual`` may be sequences of equal length; ``tolerance`` is absolute, or a
    share of the expected figure with ``relative=True``. A ``source`` that is not computed must be in the bibliography.
    """
    register = request.config.stash.setdefault(REGISTER, Register())

    def run(
        *,
        source: str,
        status: Status,
        quantity: str,
        expected: Numbers,
        actual: Numbers,
        tolerance: Numbers,
        relative: bool = False,
    ) -> None:
        assert status in get_args(Status), f"unknown status {status!r}"
        if status != "computed":
            known = bibliography().get(source)
            assert known is not None, f"{source} is not in the bibliography (src/wardwright/sources)"
            if status == "seen":
                assert known.status.startswith("seen"), f"{source} is {known.status}, so no figure of it was seen"
        wanted, got, within = as_numbers(expected), as_numbers(actual), as_numbers(tolerance)
        assert wanted, f"{quantity}: nothing to compare"
        assert len(wanted) == len(got), f"{quantity}: {len(got)} figures against {len(wanted)} expected"
        if len(within) == 1:
            within *= len(wanted)
        assert len(within) == len(wanted), f"{quantity}: {len(within)} tolerances for {len(wanted)} figures"
        misses = []
        for want, have, allowed in zip(wanted, got, within, strict=True):
            allowed = allowed * abs(want) if relative else allowed
            difference = 0.0 if want == have else abs(have - want)
            share = difference / allowed if allowed > 0.0 else (0.0 if difference == 0.0 else math.inf)
            register.record(source, quantity, status, math.inf if math.isnan(share) else share)
            if not share <= 1.0:
                misses.append(f"{have:.9g} against {want:.9g} ± {allowed:.3g}")
        assert not misses, f"{quantity} ({source}): " + "; ".join(misses)

    return run


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print the table of sources."""
    register = config.stash.get(REGISTER, None)
    if register is None or not register.entries:
        return
    by_source: dict[tuple[str, Status], list[Entry]] = {}
    for (source, _), entry in register.entries.items():
        by_source.setdefault((source, entry.status), []).append(entry)
    write = terminalreporter.write_line
    terminalreporter.write_sep("=", "checks against the outside")
    width = max([len(source) for source, _ in by_source] + [8])
    line = f"{{:{width}}}  {{:>7}}  {{:>6}}  {{:>10}}  {{}}"

    def rows(*wanted: Status) -> int:
        total = 0
        for (source, status), entries in sorted(by_source.items()):
            if status in wanted:
                total += len(entries)
                worst = max(e.worst for e in entries)
                write(
                    line.format(source, len(entries), sum(e.rows for e in entries), f"{worst:.0%}", status)
                    + ("  FAILED" if any(e.failed for e in entries) else "")
                )
        return total

    write(line.format("source", "checks", "rows", "worst", "status"))
    counted = rows("seen", "from memory")
    published = sum(e.status == "seen" for e in register.entries.values())
    write(f"{counted} checks, {published} of them published figures that were seen.")
    write("")
    write("Worked out apart from the program (equations solved right; not counted):")
    apart = rows("computed")
    write(f"{apart} worked checks. “worst” is the largest difference as a share of its tolerance.")
