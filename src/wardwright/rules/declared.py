"""Clauses that ask what a kind of device declares."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, stated, undecided


def declares(evidence: Evidence, families: tuple[Family, ...], word: str, what: str, fix: str) -> Iterator[Judgement]:
    """Every device of some families declares ``word`` as yes.

    Parameters
    ----------
    evidence : Evidence
        The scheme.
    families : tuple of Family
        Whose devices are asked.
    word : str
        The figure that is a word.
    what : str
        What it does, after the device's id.
    fix : str
        The ordinary edit.

    Yields
    ------
    Judgement
        One for each device.
    """
    for device, kind in evidence.of(*families):
        said = kind.words.get(word)
        plain = f"Each {kind.family.value} does what its grade asks."
        if said is None:
            yield undecided(f"{device.id}: its kind does not say whether it {what}", plain, about=(device.id,))
            continue
        yield stated(
            said == "yes",
            f"{device.id} {what}",
            f"the catalogue does not declare that {device.id} {what}",
            plain=plain if said == "yes" else f"One {kind.family.value} lacks something its grade asks for.",
            about=(device.id,),
            fix=fix,
        )
