"""Local law: the outside sounder where nothing is known of the place."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.en_50131_1_2006.notification import local_limit
from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable
from wardwright.rules.local_codes import sounder_limit_known
from wardwright.rules.profiles import grade_of
from wardwright.rules.register import clause


@clause("LAW-15")
def outside_sounder(evidence: Evidence) -> Iterator[Judgement]:
    """Where the local limit is not known: 10 min in the United States, 15 min in Europe; a stricter place wins."""
    if not evidence.of(Family.OUTER_SOUNDER):
        return
    if sounder_limit_known(evidence):
        yield not_applicable("the code of the place is known")
        return
    limit = evidence.scheme.premises.surroundings.sounder_limit_s
    if limit is not None:
        yield from local_limit(evidence, limit)
        return
    default = 600.0 if grade_of(evidence.scheme.brief.profile) is None else 900.0
    yield compared(
        "outside sounder",
        evidence.timers.bell_s,
        "<=",
        default,
        "s",
        plain="The outside sounder keeps to a time that is usual; the local limit is still to be asked for.",
        about=("programme",),
        assumption="the local limit is not entered in the job",
        fix="a shorter sounder time, and the local limit entered with the surroundings",
    )
