"""Do the radio devices get through? Findings on reserve, listening, time on the air and collisions."""

from collections.abc import Iterator

from wardwright.analyses.radio import Link, RadioAnalysis
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.physics.radio import fading_margin
from wardwright.rules.aims.judging import PRACTICE, bounded
from wardwright.rules.aims.readings import readings

SPOTS = 0.9
"""Share of spots in a room full of reflections at which a device shall be heard. Common practice, no source. [-]"""
LATER_DB = 6.0
"""Kept for what is put into the room later. Common practice, no source. [dB]"""
RESERVE_DB = fading_margin(SPOTS) + LATER_DB
"""Wanted over the weakest signal. [dB]"""
COLLISIONS = 0.01
"""Share of messages that may meet another one. Assumption. [-]"""


def radio_findings(analysis: RadioAnalysis) -> tuple[Finding, ...]:
    """Findings on radio links.

    Parameters
    ----------
    analysis : RadioAnalysis
        Its links.

    Returns
    -------
    tuple of Finding
        Under power: reserve (required), listening, time on the air, collisions; readings.
    """
    return (
        *(_reserve(link) for link in analysis.links),
        *_unlinked(analysis),
        *_duty(analysis),
        *_collisions(analysis),
        *readings(analysis.compared, Question.POWER),
    )


def _reserve(link: Link) -> Finding:
    about = (link.device_id, link.receiver_id)
    if link.reserve_db is None:
        return Finding(
            "power.radio-reserve",
            Question.POWER,
            Outcome.NOT_DECIDED,
            Weight.REQUIRED,
            about,
            f"{link.device_id} to {link.receiver_id}: {link.undecided}.",
            "Whether one radio device is heard has still to be settled.",
            citation=PRACTICE,
            fix="Choose kinds whose radio figures are known and agree.",
        )
    through = ", ".join(link.through) or "nothing"
    how = "measured" if link.measured else "predicted"
    return bounded(
        "power.radio-reserve",
        Question.POWER,
        Weight.REQUIRED,
        about,
        f"{link.device_id} to {link.receiver_id}, {link.distance_m or 0.0:.1f} m through {through}: "
        f"{link.level_dbm or 0.0:.0f} dBm {how}.",
        value=link.reserve_db,
        operator=">=",
        limit=RESERVE_DB,
        unit="dB",
        interval=link.interval_db,
        assumption=link.assumption,
        good="The radio devices are heard with plenty in hand.",
        bad="One radio device is moved, or gets a receiver nearer to it.",
        unsettled="The radio signal of one device is measured where it is to hang.",
        citation=PRACTICE,
        fix="Measure the level where it is to hang; move the receiver towards it, add one, or run a wire.",
    )


def _unlinked(analysis: RadioAnalysis) -> Iterator[Finding]:
    for key in analysis.unlinked:
        yield Finding(
            "power.radio-heard",
            Question.POWER,
            Outcome.NOT_MET,
            Weight.REQUIRED,
            (key,),
            f"{key} is a radio device and no receiver is named for it.",
            "One radio device has still to be joined to the system.",
            citation="the design itself",
            fix="Name the receiver or all-in-one control that it talks to.",
        )


def _duty(analysis: RadioAnalysis) -> Iterator[Finding]:
    """Time on the air, by the device nearest to its limit."""
    known = [x for x in analysis.links if x.on_air_s_h is not None and x.duty]
    if not known:
        return
    link = max(known, key=lambda x: (x.on_air_s_h or 0.0) / (x.duty or 1.0))
    sends, allowed = link.on_air_s_h or 0.0, 3600.0 * (link.duty or 0.0)
    yield bounded(
        "power.radio-duty",
        Question.POWER,
        Weight.RECOMMENDED,
        (link.device_id,),
        f"Of {len(known)} radio devices {link.device_id} comes nearest to its limit: about {sends:.2g} s an hour, its "
        f"band allows {allowed:.2g} s.",
        value=sends,
        operator="<=",
        limit=allowed,
        unit="s/h",
        interval=(sends / 3.0, sends * 3.0),
        assumption="how long one message is and how often it is repeated",
        good="The radio devices keep to the time they may send.",
        bad="One radio device sends more than its band allows.",
        citation="the catalogue's figure for this kind",
        fix="A longer interval between check-ins, as far as the grade allows.",
    )


def _collisions(analysis: RadioAnalysis) -> Iterator[Finding]:
    for receiver, share in analysis.collisions.items():
        count = sum(link.receiver_id == receiver for link in analysis.links)
        yield bounded(
            "power.radio-collisions",
            Question.POWER,
            Weight.RECOMMENDED,
            (receiver,),
            f"{count} devices talk to {receiver}: {share:.2g} of the messages meet another one.",
            value=share,
            operator="<=",
            limit=COLLISIONS,
            interval=(share / 3.0, min(1.0, share * 3.0)),
            assumption="how long one message is and how often it is repeated",
            good="The radio devices leave one another room to speak.",
            bad="The radio devices are shared out over more receivers.",
            citation=PRACTICE,
            fix="A second receiver, or fewer radio devices.",
        )
