"""Is every way in watched? One finding for each opening and mode, by the attack least noticed."""

from collections.abc import Iterable

from wardwright.analyses.entry_records import EntryAnalysis, WayIn
from wardwright.analyses.mode import Mode
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.spread import in_words, judge_at_least

RULE = "entry.way-in-watched"
BRIEF = "the brief"
PLAIN = {
    Outcome.MET: "Anybody who tries this way in is likely to be noticed at once.",
    Outcome.NOT_MET: "One of the ways in needs better watching; our proposal says what we would add.",
    Outcome.NOT_DECIDED: "Something about one of the ways in has still to be looked at or tried on site.",
    Outcome.DOES_NOT_APPLY: "One of the openings cannot be reached from outside without special effort.",
}
WHEN = {Mode.AWAY.value: "set with nobody in", Mode.INSIDE.value: "set with people inside"}


def entry_findings(scheme: ProtectionScheme, analysis: EntryAnalysis) -> tuple[Finding, ...]:
    """Findings on every way in.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    analysis : EntryAnalysis
        Who notices what, in every mode wanted.

    Returns
    -------
    tuple of Finding
        Required: each opening in each mode. Recommended: contacts that cannot notice are put right.
    """
    if not analysis.ways:
        return (_none_drawn(),)
    groups: dict[tuple[str, str], list[WayIn]] = {}
    for way in analysis.ways:
        groups.setdefault((way.opening_id, way.mode), []).append(way)
    found = [_opening(scheme, ways) for ways in groups.values()]
    return (*found, *_deaf(scheme, analysis.ways))


def bounds(way: WayIn) -> tuple[float, float]:
    """Pessimistic and optimistic chance; where places were not measured only contacts and the like are sure."""
    if way.undecided and any(n.rests_on_position for n in way.notices):
        return way.sure, 1.0
    return way.interval


def _opening(scheme: ProtectionScheme, ways: list[WayIn]) -> Finding:
    first = ways[0]
    opening = scheme.premises.opening(first.opening_id)
    limit = scheme.brief.notice_way_in
    rule = RULE if first.mode == Mode.AWAY.value else f"{RULE}-with-people-inside"
    if first.reachable is False:
        return Finding(
            rule,
            Question.ENTRY,
            Outcome.DOES_NOT_APPLY,
            Weight.REQUIRED,
            (opening.id,),
            f"“{opening.name}” is out of reach by the distances of {scheme.brief.profile.value}.",
            PLAIN[Outcome.DOES_NOT_APPLY],
            citation=BRIEF,
        )
    outcomes = [judge_at_least(bounds(w), limit) for w in ways]
    for wanted in (Outcome.NOT_MET, Outcome.NOT_DECIDED, Outcome.MET):
        if wanted in outcomes:
            break
    worst = min((w for w, o in zip(ways, outcomes, strict=True) if o is wanted), key=lambda w: (*bounds(w), w.delay_s))
    outcome = wanted
    if outcome is Outcome.NOT_MET and first.reachable is None:
        outcome = Outcome.NOT_DECIDED
    return Finding(
        rule=rule,
        question=Question.ENTRY,
        outcome=outcome,
        weight=Weight.REQUIRED,
        about=(opening.id,),
        explanation=_explain(opening.name, worst),
        plain=PLAIN[outcome],
        value=worst.probability,
        operator=">=",
        limit=limit,
        interval=bounds(worst),
        assumption=_assumption(worst),
        citation=BRIEF,
        fix="" if outcome is Outcome.MET else _fix(worst, outcome),
        digits=2,
    )


def _explain(name: str, way: WayIn) -> str:
    leaf = f", leaf {way.leaf_id}," if way.leaf_id else ""
    by = "; ".join(f"{n.device_id} ({n.how}, {in_words(n.probability)})" for n in way.notices) or "nothing"
    said = f"“{name}”{leaf} {way.attack}, {WHEN[way.mode]}: noticed by {by}."
    deaf = "; ".join(f"{device}: {why}" for device, why in way.deaf)
    if deaf:
        said += f" Not counted: {deaf}."
    return f"{said} {way.undecided}".strip()


def _assumption(way: WayIn) -> str:
    if way.undecided:
        return way.undecided
    widest = max(way.notices, key=lambda n: n.interval[1] - n.interval[0], default=None)
    return widest.assumption if widest is not None else ""


def _fix(way: WayIn, outcome: Outcome) -> str:
    if outcome is Outcome.NOT_DECIDED and way.undecided:
        return f"{way.undecided[0].upper()}{way.undecided[1:]}"
    if outcome is Outcome.NOT_DECIDED and way.notices:
        return f"Find out on site: {_assumption(way)}. Or add a second device that notices this attack."
    inside = way.mode == Mode.INSIDE.value
    watched = ", watched also with people inside" if inside else ""
    if way.attack in ("opened", "forced", "lifted out") or "reached through" in way.attack:
        leaf = f"leaf {way.leaf_id}" if way.leaf_id else "the leaf that moves"
        return f"Put a contact on {leaf}{watched}."
    if "glass" in way.attack:
        return f"Put a glass-break detector in line of sound of the pane, or a shock detector on it{watched}."
    if inside:
        return "Put a shock detector on the frame, or a motion detector that sees it in an area nobody walks at night."
    return "Put a motion detector where it looks across the opening, or a shock detector on its frame."


def _none_drawn() -> Finding:
    return Finding(
        RULE,
        Question.ENTRY,
        Outcome.NOT_DECIDED,
        Weight.REQUIRED,
        (),
        "No opening to the outside is drawn, so nothing can be said about the ways in.",
        "The doors and windows have still to be surveyed.",
        citation=BRIEF,
        fix="Survey every door, window and hatch to the outside.",
    )


def _deaf(scheme: ProtectionScheme, ways: Iterable[WayIn]) -> list[Finding]:
    """One finding for each contact that cannot notice although somebody listens to it."""
    reasons = {
        device: (way.opening_id, why) for way in ways for device, why in way.deaf if why != "not watched in this mode"
    }
    return [
        Finding(
            rule="entry.contact-works",
            question=Question.ENTRY,
            outcome=Outcome.NOT_MET,
            weight=Weight.RECOMMENDED,
            about=(device,),
            explanation=f"{device} on “{scheme.premises.opening(opening).name}”: {why}.",
            plain="One of the contacts has to be changed or moved to do its work.",
            citation="common practice, no source",
            fix="A contact that operates at that gap, its magnet placed for the position wanted, or the other loop.",
        )
        for device, (opening, why) in reasons.items()
    ]
