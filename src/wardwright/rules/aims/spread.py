"""Judging a chance that is only known within an interval.

Met only if the pessimistic end meets the limit; not met only if the optimistic end fails it; otherwise not decided, and
the governing assumption says what to find out.
"""

from wardwright.findings import Outcome


def judge_at_least(interval: tuple[float, float], limit: float) -> Outcome:
    """Outcome of a chance that should be at least a limit.

    Parameters
    ----------
    interval : (float, float)
        Pessimistic and optimistic end. [-]
    limit : float
        Wanted at least. [-]

    Returns
    -------
    Outcome
        Met, not met or not decided.
    """
    low, high = interval
    if low >= limit:
        return Outcome.MET
    return Outcome.NOT_MET if high < limit else Outcome.NOT_DECIDED


def in_words(chance: float) -> str:
    """A chance in words, for sentences that should promise no more than is known.

    Parameters
    ----------
    chance : float
        Probability. [-]

    Returns
    -------
    str
        ``hardly ever``, ``unlikely``, ``doubtful``, ``likely`` or ``very likely``; bounds at 5, 35, 65 and 90 per cent
        (our own).
    """
    for bound, word in ((0.05, "hardly ever"), (0.35, "unlikely"), (0.65, "doubtful"), (0.90, "likely")):
        if chance < bound:
            return word
    return "very likely"
