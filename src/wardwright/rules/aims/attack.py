"""What if they attack the system itself? Findings on targets gone too soon, single faults, and the panel torn down."""

from collections.abc import Iterator

from wardwright.analyses.defeats import AttackAnalysis, Defeat, Intrusion
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import PRACTICE, bounded

ROUTE_SPREAD = 0.3
"""Times on foot and at a lock differ by this share. Assumption. [-]"""
SAID = "a device notices where it is more likely than not; times on foot and at locks within 30 %"


def attack_findings(analysis: AttackAnalysis) -> tuple[Finding, ...]:
    """Findings on attacks. All are recommended: a standard's own demands are judged by its clauses.

    Parameters
    ----------
    analysis : AttackAnalysis
        Every intrusion, and the sets that defeat it.

    Returns
    -------
    tuple of Finding
        Under attack. The client's sentences name neither way nor means.
    """
    if analysis.undecided and not analysis.intrusions:
        why = analysis.undecided[0]
        return (
            Finding(
                "attack.reported",
                Question.ATTACK,
                Outcome.NOT_DECIDED,
                Weight.RECOMMENDED,
                (),
                f"{why[0].upper()}{why[1:]}.",
                "How the system calls for help has still to be settled.",
                citation=PRACTICE,
                fix="Design a reporting path, or say in the brief that nobody listens.",
            ),
        )
    return (*_quick(analysis), *_single(analysis), *_smashed(analysis))


def _quick(analysis: AttackAnalysis) -> Iterator[Finding]:
    """For each target, whether it is reported before it is gone, by the worst way in."""
    for target in dict.fromkeys(i.target_id for i in analysis.intrusions):
        mine = [i for i in analysis.intrusions if i.target_id == target]
        quick = [i for i in mine if i.reported_s is None]
        worst = min(quick or mine, key=_left)
        late = f"gone after {worst.gone_s:.0f} s by the quickest of {len(mine)} ways in"
        told = "the word is not out by then" if quick else f"the word is out after {worst.reported_s or 0.0:.0f} s"
        left = None if worst.reported_s is None else worst.gone_s - worst.reported_s
        low, high = (1.0 - ROUTE_SPREAD, 1.0 + ROUTE_SPREAD)
        ends = (
            None
            if worst.reported_s is None
            else (worst.gone_s * low - worst.reported_s, worst.gone_s * high - worst.reported_s)
        )
        if left is None:
            yield Finding(
                "attack.reported",
                Question.ATTACK,
                Outcome.NOT_MET,
                Weight.RECOMMENDED,
                (target, *(i.opening_id for i in quick)),
                f"“{target}” is {late}; {told}. This holds on {len(quick)} of {len(mine)} ways in, with nothing done "
                "to the system.",
                "One thing of worth could be carried off before help is called; it is better kept elsewhere.",
                assumption=SAID,
                citation=PRACTICE,
                fix="Keep it deeper in the building or locked up, shorten abort and entry time.",
            )
            continue
        yield bounded(
            "attack.reported",
            Question.ATTACK,
            Weight.RECOMMENDED,
            (target, worst.opening_id),
            f"“{target}” is {late}; {told} ({worst.what}).",
            value=left,
            operator=">=",
            limit=0.0,
            unit="s",
            interval=ends,
            assumption=SAID,
            good="Help is called before this thing of worth could be carried off.",
            bad="One thing of worth could be carried off before help is called; it is better kept elsewhere.",
            unsettled="Whether help is called in time for one thing of worth is close.",
            citation=PRACTICE,
            fix="Keep it deeper in the building or locked up, or shorten abort and entry time.",
        )


def _left(i: Intrusion) -> float:
    return i.gone_s if i.reported_s is None else i.gone_s - i.reported_s


def _single(analysis: AttackAnalysis) -> Iterator[Finding]:
    """Each single fault that keeps the word in; one finding where there is none."""
    found = False
    for keys, defeats in analysis.by_set().items():
        if len(keys) != 1:
            continue
        found = True
        yield _one(defeats, len(analysis.ways))
    if not found and analysis.ways:
        yield Finding(
            "attack.one-fault",
            Question.ATTACK,
            Outcome.MET,
            Weight.RECOMMENDED,
            (),
            f"No single fault of {len(analysis.faults)} keeps an intrusion on any of {len(analysis.ways)} ways in from "
            f"being reported in time. Up to {analysis.size} at once were tried, {analysis.tried} courses of events.",
            "No single fault or act against the system keeps it from calling for help.",
            assumption=SAID,
            citation=PRACTICE,
        )


def _one(defeats: tuple[Defeat, ...], ways: int) -> Finding:
    fault, first = defeats[0].faults[0], defeats[0]
    told = first.told
    warned = f" The centre is told first: {', '.join(told)}." if told else ""
    never = all(d.seconds == float("inf") for d in defeats)
    late = "never gets out" if never else f"comes {min(d.seconds for d in defeats):.0f} s too late or later"
    return Finding(
        "attack.one-fault",
        Question.ATTACK,
        Outcome.MET if told else Outcome.NOT_MET,
        Weight.RECOMMENDED,
        (fault.key, *(d.opening_id for d in defeats)),
        f"{fault.name[0].upper()}{fault.name[1:]} ({fault.where}, {fault.takes_s:.0f} s): on {len(defeats)} of {ways} "
        f"ways in the word {late}.{warned}",
        "Somebody hears of it before the system can be put out of action."
        if told
        else "One improvement against deliberate attack is recommended.",
        value=float(len(defeats)),
        operator="<=",
        limit=float(len(defeats)) if told else 0.0,
        unit="ways in",
        assumption=f"{fault.assumption}; {SAID}" if fault.assumption else SAID,
        citation=PRACTICE,
        fix="" if told else _fix(fault.key),
    )


def _fix(key: str) -> str:
    kind = key.partition("-")[0]
    return {
        "mains": "Give what the path hangs on its own battery, or add a path that does not hang on the mains.",
        "battery": "A larger battery, and mains loss reported so that somebody comes.",
        "path": "A second path of another kind.",
        "wi": "Wire the communicator to the router, or add a path of another kind.",
        "jam": "Wired devices on this way, or a receiver that tells of jamming.",
        "magnet": "A contact that a foreign magnet does not hold, or a second device on this way.",
        "mask": "A detector that tells when it is covered, or a second one on this way.",
        "loop": "Supervise this loop with resistors at its far end.",
        "smash": "Hang it out of the way in a locked enclosure, or report the start of entry time.",
    }.get(kind, "A second device or path.")


def _smashed(analysis: AttackAnalysis) -> Iterator[Finding]:
    """How long the word is out before the panel can be torn down."""
    both = [i for i in analysis.intrusions if i.reported_s is not None and i.smash_s is not None]
    if not both:
        return
    worst = min(both, key=lambda i: (i.smash_s or 0.0) - (i.reported_s or 0.0))
    smash, out = worst.smash_s or 0.0, worst.reported_s or 0.0
    yield bounded(
        "attack.word-before-smash",
        Question.ATTACK,
        Weight.RECOMMENDED,
        (worst.opening_id,),
        f"Going for the control equipment first, by the worst way in it is torn down after {smash:.0f} s; on the way "
        f"to “{worst.target_id}” the first alarm is out after {out:.0f} s. A torn lid may still report by itself.",
        value=smash - out,
        operator=">=",
        limit=0.0,
        unit="s",
        interval=(smash * (1.0 - ROUTE_SPREAD) - out, smash * (1.0 + ROUTE_SPREAD) - out),
        assumption=SAID,
        good="Help is called before the control equipment could be put out of action.",
        bad="The control equipment is better protected against being put out of action.",
        unsettled="Whether help is called before the control equipment could be put out of action is close.",
        citation=PRACTICE,
        fix="Hang it farther from the ways in, locked; report the start of entry time; shorten abort time.",
    )
