"""EN 50131-5-3, radio interconnections: the reserve that must be left."""

from collections.abc import Iterator

from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, compared, undecided
from wardwright.rules.register import clause

RESERVE_DB = {1: 3.0, 2: 6.0, 3: 9.0, 4: 12.0}
"""Attenuation that a link must still stand, by grade. [dB] From memory."""


@clause("EU-RF-01")
def reserve(evidence: Evidence) -> Iterator[Judgement]:
    """Each radio link still works with so much more loss."""
    plain = "The radio devices are heard with something in hand."
    if evidence.radio is None:
        yield undecided("the radio links were not worked out", plain)
        return
    for link in evidence.radio.links:
        yield compared(
            f"reserve from {link.device_id} to {link.receiver_id}",
            link.reserve_db,
            ">=",
            RESERVE_DB[evidence.grade],
            "dB",
            plain=plain,
            about=(link.device_id, link.receiver_id),
            missing=link.undecided,
            interval=link.interval_db,
            assumption=link.assumption,
            fix="a receiver nearer to it, or a wire",
        )
