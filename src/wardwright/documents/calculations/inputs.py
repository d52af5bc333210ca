"""What the calculations start from: the catalogue's figures of the kinds used, and what the brief asks for."""

from collections.abc import Iterator

from wardwright.documents.calculations.records import CalculationSheet, Step
from wardwright.documents.wording import with_unit
from wardwright.prove import Proof

PRICED = ("price", "fit_minutes")
"""Figures of the estimate, which has papers of its own."""
UNIT_PARTS = frozenset(["m", "m2", "s", "h", "a", "v", "c", "ah", "db", "dbm", "hz", "rad", "kg", "ohm", "deg", "t"])
"""Ends of figures' names that are units."""


def inputs(proof: Proof) -> Iterator[CalculationSheet]:
    """The brief, then one sheet for each kind of device, battery and cable in the design."""
    yield CalculationSheet("The brief", tuple(_brief(proof)))
    design, kinds = proof.scheme.design, proof.scheme.catalogue.kinds
    used = [d.kind for d in proof.scheme.fitted]
    used += [b.kind for b in design.backups]
    used += [c.kind for c in design.cables if c.kind is not None]
    for kind in (kinds[key] for key in dict.fromkeys(used) if key in kinds):
        figures = [
            (_words(name), f"{with_unit(f.published, _unit(f.unit))} ({f.source})")
            for name, f in kind.figures.items()
            if name not in PRICED
        ]
        if figures:
            yield CalculationSheet(f"Catalogue: {kind.name}", tuple(figures))


def _unit(unit: str) -> str:
    return (
        "" if unit == "1" else unit.replace("ohm", "Ω").replace("degC", "°C").replace("deg", "°").replace("mm2", "mm²")
    )


def _words(name: str) -> str:
    """A figure's name without its unit: it stands beside the figure."""
    parts = name.split("_")
    while len(parts) > 1 and parts[-1] in UNIT_PARTS:
        parts.pop()
    return " ".join(parts)


def _brief(proof: Proof) -> Iterator[Step]:
    brief = proof.scheme.brief
    yield "profile and risk", f"{brief.profile.value}, {brief.risk}"
    for name, value in (
        ("chance that an attack on any way in is noticed", f"{brief.notice_way_in:.2f}"),
        ("chance of detection before the target", f"{brief.detect_before_target:.2f}"),
        ("from first to confirming detection", f"{brief.confirm_within_s:g} s"),
        *(
            [("chance of an alarm in time for the response", f"{brief.alarm_in_time:.2f}")]
            if brief.alarm_in_time is not None
            else []
        ),
        ("pace of the slowest at home", f"{brief.slow_walk_m_s:g} m/s"),
        (
            "pace of an intruder, running and creeping",
            f"{brief.intruder_run_m_s:g} and {brief.intruder_creep_m_s:g} m/s",
        ),
        ("standby promised", "as the profile asks" if brief.standby_h is None else f"{brief.standby_h:g} h"),
        (
            "level at each pillow",
            "as the profile asks" if brief.pillow_level_db is None else f"{brief.pillow_level_db:g} dB(A)",
        ),
    ):
        yield name, f"{value} (the brief)"
