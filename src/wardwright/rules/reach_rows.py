"""Which openings can be reached: the rows that say so, judged by :mod:`wardwright.premises.reach`."""

from collections.abc import Iterator

from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, stated, undecided
from wardwright.rules.register import Clause, clause

_ROWS = (
    "US-ACC-01",
    "US-ACC-02",
    "US-ACC-03",
    "US-ACC-04",
    "US-ACC-05",
    "US-ACC-06",
    "US-ACC-07",
    "EU-ACC-01",
    "EU-ACC-02",
    "UK-ACC-01",
    "UK-ACC-02",
)


def _speaker(row_id: str) -> Clause:
    """The judge of one row: it speaks of the openings which that row decides, so each is told of once."""

    def openings_within_reach(evidence: Evidence) -> Iterator[Judgement]:
        decided = [r for r in evidence.reach.values() if r.row == row_id]
        sure = tuple(r.opening_id for r in decided if r.reachable is not None)
        within = [r.opening_id for r in decided if r.reachable]
        plain = "Which windows and doors somebody could get at is worked out, not guessed."
        if sure:
            yield stated(
                True,
                f"{len(within)} of {len(sure)} openings this row decides can be reached: {', '.join(within) or 'none'}",
                "",
                plain=plain,
                about=sure,
            )
        for opening in decided:
            if opening.reachable is None:
                yield undecided(
                    f"{opening.opening_id}: {opening.explanation}",
                    "Each way in is measured.",
                    about=(opening.opening_id,),
                )

    return openings_within_reach


for _row in _ROWS:
    clause(_row)(_speaker(_row))
