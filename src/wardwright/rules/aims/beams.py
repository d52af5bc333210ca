"""Do the photo-beams catch somebody who runs, and do they stand fog and clutter? Findings."""

from collections.abc import Iterable

from wardwright.analyses.beam_reserve import DENSE_FOG_M, BeamReserve
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import CATALOGUE, PRACTICE, bounded


def beam_findings(reserves: Iterable[BeamReserve]) -> tuple[Finding, ...]:
    """Findings on photo-beams.

    Parameters
    ----------
    reserves : iterable of BeamReserve
        Every beam where it stands.

    Returns
    -------
    tuple of Finding
        Three for each beam, all recommended.
    """
    return tuple(finding for one in reserves for finding in (_runner(one), _gain(one), _clear(one)))


def _runner(one: BeamReserve) -> Finding:
    return bounded(
        "route.beam-catches-runner",
        Question.ROUTE,
        Weight.RECOMMENDED,
        (one.device_id,),
        f"A running body breaks {one.device_id} for {1000 * one.broken_s:.0f} ms.",
        value=one.response_s,
        operator="<=",
        limit=one.broken_s,
        unit="s",
        good="The beams answer to somebody who runs.",
        bad="One beam is set to answer more quickly.",
        citation=CATALOGUE,
        fix="A shorter response.",
    )


def _gain(one: BeamReserve) -> Finding:
    fog = f" in fog of {DENSE_FOG_M:.0f} m" if one.outdoors else ""
    return bounded(
        "nuisance.beam-gain",
        Question.NUISANCE,
        Weight.RECOMMENDED,
        (one.device_id,),
        f"{one.device_id}, {one.length_m:.0f} m: {one.undecided or f'{one.gain:.2g} times the light it needs{fog}'}, "
        "lenses dirty.",
        value=None if one.undecided else one.gain,
        operator=">=",
        limit=1.0,
        good="The beams have light to spare.",
        bad="One beam is shortened, or gets a stronger kind.",
        citation=f"{PRACTICE}; Kruse's form of fog, from memory",
        assumption="the fog of the place, and dirt on the lenses",
        fix="A shorter beam, or a kind of longer reach.",
    )


def _clear(one: BeamReserve) -> Finding:
    return Finding(
        "nuisance.beam-clear",
        Question.NUISANCE,
        Outcome.NOT_MET if one.in_the_way else Outcome.MET,
        Weight.RECOMMENDED,
        (one.device_id, *one.in_the_way),
        f"{', '.join(one.in_the_way)} stands in or beside {one.device_id}."
        if one.in_the_way
        else f"Nothing drawn stands in or beside {one.device_id}.",
        "Something is moved out of the way of one beam." if one.in_the_way else "Nothing stands in the beams.",
        citation=PRACTICE,
        fix="Clear it, or move the beam." if one.in_the_way else "",
    )
