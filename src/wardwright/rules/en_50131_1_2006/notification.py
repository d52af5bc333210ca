"""EN 50131-1:2006, clause 8.6 and Table 10: sounders, reporting and the choice between them."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.evidence import SOUNDERS, Evidence
from wardwright.rules.judgement import Judgement, compared, stated, undecided
from wardwright.rules.panel_runs import ran, rings_while_unset
from wardwright.rules.register import clause

SHORTEST_S, LONGEST_S = 90.0, 900.0


def _has_audible(evidence: Evidence) -> bool:
    return bool(evidence.of(*SOUNDERS))


@clause("EU-NOT-01")
def sounder_long_enough(evidence: Evidence) -> Iterator[Judgement]:
    """An audible warning device runs at least 90 s."""
    if _has_audible(evidence):
        yield compared(
            "sounder time",
            evidence.bell_s,
            ">=",
            SHORTEST_S,
            "s",
            plain="The sounders run long enough to be noticed.",
            about=("programme",),
            fix="a longer sounder time, if local law lets you",
        )


@clause("EU-NOT-02")
def sounder_short_enough(evidence: Evidence) -> Iterator[Judgement]:
    """It runs no longer than 15 minutes."""
    if _has_audible(evidence):
        yield compared(
            "sounder time",
            evidence.bell_s,
            "<=",
            LONGEST_S,
            "s",
            plain="The sounders stop before they become a nuisance.",
            about=("programme",),
            fix="a sounder time of 15 minutes or less",
        )


@clause("EU-NOT-03")
def sounder_by_local_law(evidence: Evidence) -> Iterator[Judgement]:
    """Local law may ask for less."""
    limit = evidence.scheme.premises.surroundings.sounder_limit_s
    if evidence.of(Family.OUTER_SOUNDER) and limit is not None:
        yield from local_limit(evidence, limit)


def local_limit(evidence: Evidence, limit: float) -> Iterator[Judgement]:
    """Sounder time against the limit the job gives for its place.

    Parameters
    ----------
    evidence : Evidence
        The scheme.
    limit : float
        Longest time by local law, as entered in the job. [s]

    Yields
    ------
    Judgement
        One.
    """
    yield compared(
        "outside sounder",
        evidence.bell_s,
        "<=",
        limit,
        "s",
        plain="The outside sounder keeps to the time local law allows.",
        about=("programme",),
        fix="a shorter sounder time",
        known_here=True,
    )


def _counts(evidence: Evidence) -> tuple[int, int, int]:
    """Remotely powered sounders, self-powered sounders, reporting paths."""
    sounders = evidence.of(*SOUNDERS)
    own = sum(kind.words.get("self_powered") == "yes" for _, kind in sounders)
    remote = len(sounders) - own + len(evidence.of(Family.ALL_IN_ONE))
    return remote, own, len(evidence.programme.paths) if evidence.scheme.brief.monitored else 0


@clause("EU-OPT-A")
def notification_option(evidence: Evidence) -> Iterator[Judgement]:
    """One of the options of Table 10 is filled: sounders and paths in one of the combinations allowed."""
    remote, own, paths = _counts(evidence)
    asks_path = evidence.grade > 1
    filled = []
    if remote >= 2 and (paths or not asks_path):
        filled.append("A (two sounders fed by the panel" + (", and reporting)" if asks_path else ")"))
    if own >= 1 and (paths or not asks_path):
        filled.append("B (one self-powered sounder" + (", and reporting)" if asks_path else ")"))
    if paths >= 2 or (paths and not asks_path):
        filled.append("C (reporting " + ("by two paths)" if asks_path else "only)"))
    plain = "When something happens, it is heard or reported in one of the ways the standard allows."
    said = f"{remote} sounders fed by the panel, {own} self-powered, {paths} reporting paths"
    if not filled and paths == 1 and evidence.grade > 1:
        yield undecided(
            f"{said}: only option D would do, a single path of a better class; the classes of each grade are not known "
            "in the present edition",
            plain,
        )
        return
    yield stated(
        bool(filled),
        f"{said}: option {' and '.join(filled)}; the class of the path for the grade is for a person to compare",
        f"{said}: no option of Table 10 is filled at grade {evidence.grade}",
        plain=plain if filled else "Warning and reporting do not yet make up one of the combinations allowed.",
        fix="a self-powered outer sounder, or a second reporting path",
    )


@clause("EU-OPT-X")
def one_sounder_no_report(evidence: Evidence) -> Iterator[Judgement]:
    """United Kingdom, grade 2: one self-powered sounder and no reporting is enough."""
    _, own, paths = _counts(evidence)
    if paths == 0:
        yield stated(
            own >= 1,
            "one self-powered sounder and no reporting",
            "neither a self-powered sounder nor reporting",
            plain="The system warns by its own sounder; nobody is called.",
            fix="a self-powered outer sounder",
        )


@clause("EU-PRC-04")
def outer_sounder_quiet_while_unset(evidence: Evidence) -> Iterator[Judgement]:
    """The control equipment does not trigger an outside sounder while unset."""
    outer = {d.id for d, _ in evidence.of(Family.OUTER_SOUNDER)}
    for output in evidence.programme.outputs:
        if output.device_id in outer:
            noisy = [on for on in output.on if on in ("exit", "technical")]
            yield stated(
                not noisy,
                f"{output.device_id} is driven only while the system is set",
                f"{output.device_id} is driven on {' and '.join(noisy)}, which happens while the system is unset",
                plain="The outside sounder keeps quiet while the system is off.",
                about=(output.device_id,),
                fix="leave those events to the inner sounder",
            )
    if outer and evidence.panel is not None:
        loud = rings_while_unset(evidence.panel)
        yield ran(
            not loud,
            "run: nothing that happens while unset sounds the outer sounder",
            f"run: while unset, the outer sounder sounds: {', '.join(loud)}",
            "The outside sounder keeps quiet while the system is off.",
            ("programme",),
        )
