"""EN 50131-1:2006, clauses 8.3.1, 8.7 to 8.9 and Table 22: codes, tamper, links, processing, event record."""

from collections.abc import Iterator

from wardwright.analyses.radio import MESSAGE_S, REPEATS
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.findings import Outcome
from wardwright.rules.declared import declares
from wardwright.rules.evidence import CONTROL, MOVEMENT, PROCESSING, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, undecided
from wardwright.rules.register import clause

CODE_VARIATIONS = {1: 1_000.0, 2: 10_000.0, 3: 100_000.0, 4: 1_000_000.0}
EVENTS = {2: 250.0, 3: 500.0, 4: 1000.0}
SUPERVISION_S = {1: 14_400.0, 2: 7_200.0, 3: 100.0, 4: 10.0}
_RETENTION_S = 30 * 86_400.0
ARRIVES_S = 10.0
PAUSE_S = 1.0
"""Longest pause between the telegrams of one message. Assumption. [s]"""
_COVER = "a kind whose cover is watched"


def _controls(evidence: Evidence, figure: str) -> Iterator[tuple[Device, DeviceKind, float | None]]:
    for device, kind in evidence.of(*CONTROL):
        yield device, kind, kind.get(figure)


@clause("EU-USR-04")
def code_variations(evidence: Evidence) -> Iterator[Judgement]:
    """A code has at least so many variations for the grade."""
    for device, _, digits in _controls(evidence, "code_digits"):
        yield compared(
            f"variations of a code on {device.id}",
            None if digits is None else 10.0**digits,
            ">=",
            CODE_VARIATIONS[evidence.grade],
            "",
            plain="Codes are long enough not to be guessed.",
            about=(device.id,),
            missing="its kind does not say how many digits a code has",
            fix="longer codes",
        )


@clause("EU-USR-06")
def code_digits(evidence: Evidence) -> Iterator[Judgement]:
    """That many variations take 3 to 6 digits."""
    for device, _, digits in _controls(evidence, "code_digits"):
        yield compared(
            f"digits of a code on {device.id}",
            digits,
            ">=",
            evidence.grade + 2.0,
            "",
            plain=f"Codes have at least {evidence.grade + 2} digits.",
            about=(device.id,),
            missing="its kind does not say",
            fix="longer codes",
        )


@clause("EU-LOG-01")
def events_held(evidence: Evidence) -> Iterator[Judgement]:
    """The record holds 250, 500 or 1000 events at grades 2 to 4."""
    if evidence.grade not in EVENTS:
        yield not_applicable("optional at grade 1")
        return
    for device, _, events in _controls(evidence, "log_events"):
        yield compared(
            f"events held by {device.id}",
            events,
            ">=",
            EVENTS[evidence.grade],
            "",
            plain="What happened can be read back later.",
            about=(device.id,),
            missing="its kind does not say",
            fix="a control with a larger record",
        )


@clause("EU-LOG-03")
def record_survives(evidence: Evidence) -> Iterator[Judgement]:
    """The record outlives the loss of all power by 30 days from grade 2."""
    if evidence.grade == 1:
        yield not_applicable("optional at grade 1")
        return
    for device, _, seconds in _controls(evidence, "log_retention_s"):
        yield compared(
            f"record of {device.id} without power",
            None if seconds is None else seconds / 86_400.0,
            ">=",
            _RETENTION_S / 86_400.0,
            "d",
            plain="The record outlives a long power cut.",
            about=(device.id,),
            missing="its kind does not say",
        )


@clause("EU-TMP-02")
def covers_of_control(evidence: Evidence) -> Iterator[Judgement]:
    """Opening of control, keypad, supply, communicator and sounder is detected at every grade."""
    families = (*CONTROL, Family.KEYPAD, Family.SUPPLY, Family.INNER_SOUNDER, Family.OUTER_SOUNDER)
    yield from declares(evidence, families, "tamper_opening", "tells when its cover is opened", _COVER)
    yield from _communicators(evidence)


def _communicators(evidence: Evidence) -> Iterator[Judgement]:
    housings = [d for d, k in evidence.of(*CONTROL, Family.SUPPLY) if k.words.get("tamper_opening") == "yes"]
    for device, kind in evidence.of(Family.COMMUNICATOR):
        inside = any(
            h.storey_id == device.storey_id
            and max(abs(h.position[0] - device.position[0]), abs(h.position[1] - device.position[1])) <= 0.5
            for h in housings
        )
        if kind.words.get("tamper_opening") == "yes" or inside:
            where = "inside a housing that tells" if inside else "tells when its cover is opened"
            said = f"{device.id} is {where}" if inside else f"{device.id} {where}"
            yield Judgement(Outcome.MET, said, "Tampering with the communicator is noticed.", (device.id,))
        else:
            yield undecided(
                f"{device.id} stands by itself and its kind does not declare that it tells when opened",
                "Tampering with the communicator is noticed.",
                about=(device.id,),
            )


@clause("EU-TMP-03")
def covers_of_detectors(evidence: Evidence) -> Iterator[Judgement]:
    """Opening of detectors is detected from grade 2."""
    if evidence.grade == 1:
        yield not_applicable("optional at grade 1")
        return
    yield from declares(evidence, PROCESSING, "tamper_opening", "tells when its cover is opened", _COVER)


def _removal(
    evidence: Evidence, families: tuple[Family, ...], *, radio: bool | None, from_grade: int
) -> Iterator[Judgement]:
    if evidence.grade < from_grade:
        yield not_applicable(f"optional at grade {evidence.grade}")
        return
    for device, kind in evidence.of(*families):
        if radio is None or kind.radio is radio:
            said = kind.words.get("tamper_removal")
            plain = "Taking a part off its wall is noticed."
            if said is None:
                yield undecided(f"{device.id}: its kind does not say", plain, about=(device.id,))
            elif said == "yes":
                yield Judgement(Outcome.MET, f"{device.id} tells when it is taken off", plain, (device.id,))
            else:
                yield Judgement(
                    Outcome.NOT_MET,
                    f"{device.id} does not tell when it is taken off; mandatory at grade {evidence.grade}",
                    "One part lacks a self-check this grade asks for.",
                    (device.id,),
                    fix="a kind that tells",
                )


@clause("EU-TMP-04")
def removal_of_radio_parts(evidence: Evidence) -> Iterator[Judgement]:
    """Removal of radio parts from their mounting is detected from grade 2."""
    yield from _removal(evidence, (Family.CONTACT, *PROCESSING), radio=True, from_grade=2)


@clause("EU-TMP-05")
def removal_of_wired_detectors(evidence: Evidence) -> Iterator[Judgement]:
    """Removal of wired movement detectors is detected from grade 3."""
    yield from _removal(evidence, MOVEMENT, radio=False, from_grade=3)


@clause("EU-TMP-06")
def removal_of_outer_sounder(evidence: Evidence) -> Iterator[Judgement]:
    """Removal of the outside sounder is detected from grade 2, of the control from grade 3."""
    yield from _removal(evidence, (Family.OUTER_SOUNDER,), radio=None, from_grade=2)
    if evidence.grade >= 3:
        yield from _removal(evidence, CONTROL, radio=None, from_grade=3)


@clause("EU-INT-03")
def radio_check_in(evidence: Evidence) -> Iterator[Judgement]:
    """A radio part checks in at least every 240 min, 120 min, 100 s or 10 s by grade."""
    for device in evidence.scheme.fitted:
        kind = evidence.kinds.get(device.id)
        if kind is not None and kind.radio:
            yield compared(
                f"check-in of {device.id}",
                kind.get("supervision_s"),
                "<=",
                SUPERVISION_S[evidence.grade],
                "s",
                plain="A radio part that falls silent is noticed.",
                about=(device.id,),
                missing="its kind does not say",
                fix="a kind that checks in more often, or a wired one",
            )


@clause("EU-PRC-01")
def signals_processed(evidence: Evidence) -> Iterator[Judgement]:
    """A signal longer than 400 ms is processed."""
    for loop in evidence.scheme.design.loops:
        yield compared(
            f"response of loop {loop.id}",
            loop.response_s * 1000.0,
            "<=",
            400.0,
            "ms",
            plain="Short signals from a detector are not missed.",
            about=(loop.id,),
            fix="a faster loop response",
        )


@clause("EU-PRC-03")
def signal_arrives(evidence: Evidence) -> Iterator[Judgement]:
    """A signal reaches its destination within 10 s, the connections working."""
    plain = "What a detector notices is at the control unit at once."
    for loop in evidence.scheme.design.loops:
        yield compared(
            f"signal of loop {loop.id}", loop.response_s, "<=", ARRIVES_S, "s", plain=plain, about=(loop.id,),
            fix="a faster loop response",
        )  # fmt: skip
    for device in evidence.scheme.fitted:
        kind = evidence.kinds.get(device.id)
        if kind is not None and kind.radio and kind.family is not Family.EXPANDER:
            yield compared(
                f"signal of {device.id}", REPEATS * MESSAGE_S, "<=", ARRIVES_S, "s", plain=plain, about=(device.id,),
                interval=(MESSAGE_S, REPEATS * (MESSAGE_S + PAUSE_S)),
                assumption=f"{REPEATS} telegrams of {1000 * MESSAGE_S:.0f} ms, pauses of up to {PAUSE_S:g} s",
            )  # fmt: skip
