"""UL 634, 1023, 985, 609, 1610 and 1076: figures of contacts and control units; with the guides that go with them."""

from collections.abc import Iterator
from math import log10

from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Scheme
from wardwright.rules.en_50131_1_2006.power import standby
from wardwright.rules.evidence import FIRE, SOUNDERS, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated
from wardwright.rules.register import clause
from wardwright.units import FOOT_M, INCH_M

STEEL_GAP_M = 0.125 * INCH_M
TEN_FEET_DB = 20.0 * log10(10.0 * FOOT_M)
"""Fall of level from 1 m to 10 ft in the open. [dB]"""


def has_fire(evidence: Evidence) -> bool:
    """True where smoke or carbon monoxide inputs hang on the system."""
    return bool(evidence.of(*FIRE))


@clause("US-UNT-01")
def contact_on_steel(evidence: Evidence) -> Iterator[Judgement]:
    """On steel a contact works with a gap of at least 1/8 in (UL 634 cl. 19.2)."""
    openings = {o.id: o for o in evidence.scheme.premises.openings}
    for device, kind in evidence.of(Family.CONTACT):
        opening = openings.get(device.opening_id or "")
        if opening is None or not any(
            leaf.material == "steel" and device.leaf_id in (None, leaf.id) for leaf in opening.leaves
        ):
            continue
        gap = kind.get("steel_gap_m")
        yield compared(
            f"gap of {device.id} on steel",
            None if gap is None else gap * 1000.0,
            ">=",
            STEEL_GAP_M * 1000.0,
            "mm",
            plain="Contacts on steel doors are of a kind that works there.",
            about=(device.id, opening.id),
            missing="its kind gives no gap on steel",
            fix="a wide-gap contact, or a spacer",
        )


@clause("US-UNT-04")
def household_standby(evidence: Evidence) -> Iterator[Judgement]:
    """A household burglary unit works 4 h without mains."""
    yield from standby(evidence, 4.0, plain="Without mains the system works for at least four hours.")


@clause("US-UNT-05")
def household_fire_standby(evidence: Evidence) -> Iterator[Judgement]:
    """A household unit with fire inputs works 24 h without mains."""
    if not has_fire(evidence):
        yield not_applicable("no smoke or carbon monoxide input hangs on the system")
        return
    yield from standby(evidence, 24.0, plain="Without mains the smoke inputs work for at least a day.")


@clause("US-UNT-07")
def household_sounder_level(evidence: Evidence) -> Iterator[Judgement]:
    """A household sounder gives 85 dB at 10 ft."""
    levels = [(k.get("level_db_1m"), d.id) for d, k in evidence.of(*SOUNDERS, Family.ALL_IN_ONE)]
    known = [(level - TEN_FEET_DB, key) for level, key in levels if level is not None]
    best = max(known, default=None)
    yield compared(
        "loudest sounder at 10 ft",
        None if best is None else best[0],
        ">=",
        85.0,
        "dB",
        plain="A sounder is loud enough by the standard for homes.",
        about=() if best is None else (best[1],),
        missing="no sounder gives its level",
        fix="an inner sounder",
    )


@clause("US-UNT-08")
def household_times(evidence: Evidence) -> Iterator[Judgement]:
    """Entry no more than 45 s, exit no more than 60 s."""
    plain = "The times for leaving and coming home keep to the standard for homes."
    for area, seconds in evidence.entry_s().items():
        yield compared(
            f"entry time of “{area}”", seconds, "<=", 45.0, "s", plain=plain, about=(area,), fix="45 s or less"
        )
    for area, seconds in evidence.exit_s().items():
        yield compared(
            f"exit time of “{area}”", seconds, "<=", 60.0, "s", plain=plain, about=(area,), fix="60 s or less"
        )


def _bell(evidence: Evidence, seconds: float) -> Iterator[Judgement]:
    if evidence.of(*SOUNDERS, Family.ALL_IN_ONE):
        yield compared(
            "sounder time",
            evidence.bell_s,
            ">=",
            seconds,
            "s",
            plain="The sounders run long enough to be noticed.",
            about=("programme",),
            fix="a longer sounder time, if local law lets you",
        )


@clause("US-UNT-09")
def household_sounder_time(evidence: Evidence) -> Iterator[Judgement]:
    """A household sounder runs at least 4 min."""
    yield from _bell(evidence, 240.0)


@clause("US-UNT-15")
def mercantile_sounder_time(evidence: Evidence) -> Iterator[Judgement]:
    """A local mercantile bell runs at least 15 min."""
    yield from _bell(evidence, 900.0)


@clause("US-UNT-10")
def radio_check_in(evidence: Evidence) -> Iterator[Judgement]:
    """Loss of a radio part is told within 12 h, of a fire part within 4 h."""
    for device in evidence.scheme.fitted:
        kind = evidence.kinds.get(device.id)
        if kind is not None and kind.radio:
            yield compared(
                f"check-in of {device.id}",
                kind.get("supervision_s"),
                "<=",
                (4.0 if kind.family in FIRE else 12.0) * 3600.0,
                "s",
                plain="A radio part that falls silent is noticed.",
                about=(device.id,),
                missing="its kind does not say",
            )


@clause("US-UNT-11")
def initiating_circuits_supervised(evidence: Evidence) -> Iterator[Judgement]:
    """An open circuit is shown or blocks arming: a loop on which a cut looks like normal is not supervised."""
    for loop in evidence.scheme.design.loops:
        yield stated(
            loop.scheme is not Scheme.NO,
            f"loop {loop.id} is {loop.scheme.value}: a cut shows",
            f"loop {loop.id} is normally open without resistor: a cut looks like normal",
            plain="A broken wire to a detector is noticed."
            if loop.scheme is not Scheme.NO
            else "One wire to a detector is not supervised.",
            about=(loop.id,),
            fix="an end-of-line resistor",
        )


@clause("US-UNT-13")
def mercantile_standby(evidence: Evidence) -> Iterator[Judgement]:
    """Business systems work 4 h without mains."""
    yield from standby(evidence, 4.0, plain="Without mains the system works for at least four hours.")


@clause("US-UNT-16")
def secondary_power_guide(evidence: Evidence) -> Iterator[Judgement]:
    """The central-station guide asks for 4 h for all parts."""
    yield from standby(evidence, 4.0, plain="Without mains every part of the system works for at least four hours.")


@clause("US-UNT-17")
def loop_window(evidence: Evidence) -> Iterator[Judgement]:
    """A protection loop reacts to a rise and to a fall of its resistance."""
    both = (Scheme.SINGLE, Scheme.DOUBLE, Scheme.TRIPLE)
    for loop in evidence.scheme.design.loops:
        at_end = any(r.role == "end of line" and r.at != loop.at for r in loop.resistors)
        holds = loop.scheme in both and at_end
        where = "with its resistor at the end" if at_end else "with no resistor at the far end"
        yield stated(
            holds,
            f"loop {loop.id} is {loop.scheme.value}, {where}",
            f"loop {loop.id} is {loop.scheme.value}, {where}: a rise and a fall are not both told",
            plain="A damaged wire to a detector is noticed." if holds else "One wire is not fully supervised.",
            about=(loop.id,),
            fix="the end-of-line resistor in the last device",
        )


def _check_in(evidence: Evidence, limits: tuple[float, ...]) -> Iterator[Judgement]:
    paths = sorted(evidence.programme.paths, key=lambda p: p.priority)
    for path, limit in zip(paths, limits, strict=False):
        yield compared(
            f"check-in of {path.id}",
            path.reporting_interval_s,
            "<=",
            limit,
            "s",
            plain="A way of reporting that fails is noticed in time.",
            about=(path.id,),
            missing="the interval ordered with the path is not entered",
            fix="order the path with that interval",
        )


@clause("US-LIN-01")
def single_line_check_in(evidence: Evidence) -> Iterator[Judgement]:
    """A single path checks in every 200 s."""
    if len(evidence.programme.paths) == 1:
        yield from _check_in(evidence, (200.0,))


@clause("US-LIN-02")
def dual_line_check_in(evidence: Evidence) -> Iterator[Judgement]:
    """Of two paths the primary checks in every 360 s and the second every 24 h."""
    if len(evidence.programme.paths) > 1:
        yield from _check_in(evidence, (360.0, 86_400.0))
