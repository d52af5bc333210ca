"""What the firm's dossier says."""

import math
import re
from collections import Counter
from collections.abc import Sequence
from typing import Any

from wardwright.analyses.route_records import Route
from wardwright.catalogue.kinds import DETECTORS
from wardwright.documents.calculations.records import Calculations
from wardwright.documents.calculations.sheets import calculations
from wardwright.documents.cautions import LIMITS, cautions
from wardwright.documents.frame import is_american
from wardwright.documents.route_layer import RouteSet
from wardwright.documents.schedules import Schedule, schedules
from wardwright.documents.site_tests import site_tests
from wardwright.documents.verdict_table import (
    COLUMNS,
    VERDICT_OUTCOME,
    answers,
    standing_findings,
    verdict_words,
)
from wardwright.documents.wording import (
    chance_words,
    counted,
    date_words,
    found_words,
    limit_words,
    listed,
    margin_words,
    money,
    rounded,
    short_time,
)
from wardwright.findings import QUESTION_WORDS, Finding, Outcome, Question
from wardwright.prove import Proof
from wardwright.sources import bibliography
from wardwright.units import FOOT_M

_WIDE = (
    "kind",
    "place",
    "devices",
    "contacts in order",
    "resistors",
    "cable",
    "set to",
    "name",
    "basis",
    "way",
    "item",
    "which",
    "what is done",
    "way in",
    "choice",
)
_RIGHT = (
    "height m",
    "length m",
    "quantity",
    "each",
    "amount",
    "response s",
    "fuse A",
    "minutes",
    "section mm²",
    "splices",
    "word out s",
    "gone s",
    "panel torn down s",
    "takes s",
    "ways",
    "too quick",
    "yields to one",
    "yields to two",
    "ahead of smash s",
)
TODO_LINES = 8


def firm_data(proof: Proof, drawings: list[dict[str, Any]], routes: Sequence[RouteSet]) -> dict[str, Any]:
    """Everything the firm's template prints.

    Parameters
    ----------
    proof : Proof
        The proof.
    drawings : list of dict
        Sheets in order: file, size, title, scale, paper.
    routes : sequence of RouteSet
        The routes drawn, one set for each mode.

    Returns
    -------
    dict
        JSON values.
    """
    standing = standing_findings(proof)
    taken = {finding.identity for finding, _ in proof.accepted}
    todo = sorted((f for f in standing if f.refutes or f.blocks), key=lambda f: f.outcome is not Outcome.NOT_MET)
    tests = site_tests(
        proof.scheme,
        entry=proof.entry,
        routes=tuple(routes),
        power=proof.power,
        loops=proof.loops,
        timing=proof.timing,
        radio=proof.radio,
        audibility=proof.audibility,
    )
    sources, notes = _sources(proof)
    return {
        "heading": proof.job.title,
        "verdict": {"outcome": VERDICT_OUTCOME[proof.verdict].value, "words": verdict_words(proof)},
        "questions": [
            {
                "words": QUESTION_WORDS[question],
                "outcome": answer[0].value if answer is not None else "",
                "weight": answer[1].value if answer is not None else "",
                "counts": [sum(f.outcome is o for f in group) for o in COLUMNS],
                "findings": [_row(alike, taken) for alike in _gathered(group)],
                "quiet": _quiet(group),
            }
            for question, group, answer in answers(proof)
        ],
        "facts": _facts(proof),
        "numbers": _numbers(proof),
        "todo": [{"outcome": f.outcome.value, "text": f.explanation} for f in todo[:TODO_LINES]],
        "todo-more": max(0, len(todo) - TODO_LINES),
        "drawings": drawings,
        "routes": [_route_table(r) for r in routes],
        "routes-undecided": [text for a in proof.routes for text in a.undecided],
        "routes-note": "For each mode, the three routes of the worst way in. Chances are of being noticed before the "
        "target is reached; the spread in brackets is that of people, clothing, temperature and workmanship.",
        "schedules": [_schedule(s) for s in schedules(proof, with_findings=False)],
        "accepted": [
            {
                "what": finding.explanation,
                "who": departure.who,
                "on": date_words(departure.when),
                "why": departure.why,
                "until": date_words(departure.until) if departure.until else "what it rests on changes",
            }
            for finding, departure in proof.accepted
        ],
        "lapsed": [
            {
                "what": f"{departure.rule} {' '.join(departure.about)}",
                "who": departure.who,
                "on": date_words(departure.when),
                "why": departure.why,
                "reason": reason,
            }
            for departure, reason in proof.lapsed
        ],
        "calculations": [_calculations(c) for c in calculations(proof)],
        "tests": [{"number": t.number, "about": t.about, "act": t.do, "expect": t.expect} for t in tests],
        "intake": [
            {
                "what": note.what + (" (missing)" if note.missing else ""),
                "where": ", ".join(note.where) or "the whole file",
                "assumed": note.assumed,
                "correct": f"settled: {note.settled}" if note.settled else note.correct_by,
            }
            for note in proof.job.intake
        ],
        "issued": [
            {
                "paper": i.paper,
                "copy": str(i.copy_number),
                "to": i.to,
                "date": date_words(i.date),
                "fingerprint": i.fingerprint[:16],
            }
            for i in proof.job.issued
        ],
        "sources": sources,
        "source-notes": notes,
        "cautions": [
            {"heading": c.heading, "text": c.text, "citation": c.citation} for c in cautions(proof.scheme.brief.profile)
        ],
        "limits": list(LIMITS),
    }


def _gathered(group: Sequence[Finding]) -> list[list[Finding]]:
    """Findings that make a row of their own, and those that can share one.

    What is required and fails or is open always stands alone, and so does every way in and through. Of the rest, three
    or more of one rule with one outcome share a row; each stands in full in the embedded ``findings.csv``.
    """
    rows: dict[tuple[str, ...], list[Finding]] = {}
    for f in group:
        if f.outcome is Outcome.DOES_NOT_APPLY:
            continue
        alone = f.refutes or f.blocks or f.question in (Question.ENTRY, Question.ROUTE)
        key = (f.identity,) if alone else (f.rule, f.outcome.value, f.weight.value, f.fix)
        rows.setdefault(key, []).append(f)
    return [part for found in rows.values() for part in ([found] if len(found) > 2 else [[f] for f in found])]


def _row(alike: list[Finding], taken: set[str]) -> dict[str, str]:
    """One row: a finding, or the one with the least room of several alike."""
    if len(alike) == 1:
        return _finding(alike[0], taken)
    tightest = min(alike, key=lambda f: math.inf if f.margin is None else f.margin)
    row = _finding(tightest, taken)
    others = [", ".join(f.about) for f in alike if f is not tightest]
    least = f" with more room than {tightest.about[0]}" if tightest.margin is not None and tightest.about else ""
    row["alike"] = f"{counted(len(others), 'other')} alike{least}: {'; '.join(others)}."
    return row


def _finding(finding: Finding, taken: set[str]) -> dict[str, str]:
    text = finding.explanation
    if finding.identity in taken:
        text += " (Accepted: see “Accepted departures”.)"
    weight = "" if finding.weight.value == "required" else f" ({finding.weight.value})"
    return {
        "outcome": finding.outcome.value,
        "weight": finding.weight.value,
        "explanation": text,
        "about": f"{finding.rule}{weight} · {', '.join(finding.about)}" if finding.about else f"{finding.rule}{weight}",
        "assumption": finding.assumption,
        "fix": finding.fix if finding.outcome is not Outcome.MET else "",
        "found": found_words(finding),
        "wanted": limit_words(finding),
        "room": margin_words(finding),
        "source": finding.citation,
        "alike": "",
    }


def _quiet(group: Sequence[Finding]) -> str:
    idle = sorted({f.rule for f in group if f.outcome is Outcome.DOES_NOT_APPLY})
    if not group:
        return "Not proved in this edition of the program."
    return f"Does not apply here: {', '.join(idle)}." if idle else ""


def _calculations(subject: Calculations) -> dict[str, Any]:
    return {
        "subject": subject.subject,
        "formulas": [
            [f.text, f.source, f"{f.by_hand.replace('_', '-')}" if f.by_hand else ""] for f in subject.formulas
        ],
        "sheets": [
            {
                "heading": s.heading,
                "steps": [list(p) for p in s.steps],
                "result": s.result,
                "held": list(s.held),
                "notes": list(s.notes),
                "undecided": s.undecided,
            }
            for s in subject.sheets
        ],
    }


def _facts(proof: Proof) -> list[dict[str, str]]:
    scheme, job = proof.scheme, proof.job
    premises, programme = scheme.premises, scheme.design.programme
    area = sum(_floor(r.outline) for r in premises.rooms if r.indoors)
    floor = f"{area / FOOT_M**2:,.0f} sq ft" if is_american(scheme.brief.profile) else f"{area:.0f} m²"
    families = Counter(scheme.kind_of(d).family for d in scheme.fitted)
    detectors = sum(n for family, n in families.items() if family in DETECTORS)
    facts = [
        ("Asked for", f"{scheme.brief.profile.value}, risk {scheme.brief.risk}"),
        ("Building", f"{counted(len(premises.storeys), 'storey')}, {counted(len(premises.rooms), 'room')}, {floor}"),
        ("Survey", premises.survey),
        ("Ways in", f"{sum(o.is_outside for o in premises.openings)} openings to the outside"),
        ("System", f"{counted(len(scheme.fitted), 'device')}, {detectors} of them detectors"),
        ("Programme", f"{counted(len(programme.areas), 'area')}, {counted(len(programme.zones), 'zone')}"),
        ("Times", f"entry {programme.timers.entry_s:g} s, exit {programme.timers.exit_s:g} s"),
        ("Reports by", listed([f"{p.kind}" for p in programme.paths]) or "no path"),
        ("Catalogue", scheme.catalogue.edition),
        ("Open guesses", f"{sum(not n.settled for n in job.intake)} in the intake report"),
    ]
    if proof.accepted or proof.lapsed:
        facts.append(("Departures", f"{len(proof.accepted)} accepted, {len(proof.lapsed)} lapsed"))
    return [{"label": label, "value": value} for label, value in facts]


def _floor(outline: tuple[tuple[float, float], ...]) -> float:
    """Area of an outline. [m²]"""
    pairs = zip(outline, (*outline[1:], outline[0]), strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2


def _numbers(proof: Proof) -> list[dict[str, str]]:
    found: list[tuple[str, str]] = []
    for analysis in proof.routes:
        if analysis.routes:
            worst = analysis.routes[0]
            found.append((f"Worst route, {worst.mode}", f"noticed: {chance_words(worst.probability, worst.interval)}"))
            if worst.after_first_s is not None:
                found.append(("In the building after it", short_time(worst.after_first_s)))
    if proof.entry is not None:
        watched = {w.opening_id for w in proof.entry.ways if w.probability >= 0.5}
        every = {w.opening_id for w in proof.entry.ways if w.reachable}
        found.append(("Ways in likely noticed", f"{len(watched & every)} of {len(every)} in reach"))
    if proof.power is not None:
        for supply in proof.power.standby:
            hours = "open" if supply.predicted_h is None else f"{rounded(supply.predicted_h)} h"
            found.append((f"Battery at {supply.at}", f"{hours}; asked for {rounded(supply.demand_h, 3)} h"))
        fed = [v for v in proof.power.voltages if not v.undecided]
        if fed:
            low = min(fed, key=lambda v: v.voltage_v - (v.minimum_v or 0.0))
            need = "" if low.minimum_v is None else f", needs {low.minimum_v:.1f} V"
            found.append(("Least voltage in hand", f"{low.voltage_v:.1f} V at {low.device_id}{need}"))
    if proof.loops is not None:
        gaps = [r for r in proof.loops.reports if r.tightest_gap is not None]
        if gaps:
            tight = min(gaps, key=lambda r: r.tightest_gap if r.tightest_gap is not None else 0.0)
            found.append(("Tightest loop", f"{rounded((tight.tightest_gap or 0.0) * 100)} % at {tight.loop_id}"))
    if proof.timing is not None:
        walks = [w for w in proof.timing.walks if w.walk_s is not None]
        if walks:
            slow = max(walks, key=lambda w: w.walk_s or 0.0)
            found.append(("Longest walk in", f"{slow.walk_s:.0f} s of {slow.entry_s:.0f} s"))
    if proof.estimate is not None:
        found.append(("Price with tax", money(proof.estimate.total, proof.estimate.currency)))
        found.append(("Cost before margin", money(proof.estimate.cost, proof.estimate.currency)))
        found.append(("Hours", rounded(float(proof.estimate.hours), 3)))
    return [{"label": label, "value": value} for label, value in found]


def _route_table(routes: RouteSet) -> dict[str, Any]:
    return {
        "heading": f"{routes.mode[:1].upper()}{routes.mode[1:]}: {routes.way_in} to {routes.target.name}",
        "rows": [
            [
                r.kind,
                f"{r.length_m:.0f} m",
                short_time(r.time_s),
                chance_words(r.probability, r.interval),
                _first(r),
                _confirmed(r),
                short_time(r.after_first_s) if r.after_first_s is not None else "–",
            ]
            for r in routes.routes
        ],
        "notes": list(
            dict.fromkeys(
                text
                for r in routes.routes
                for text in (
                    f"Governed by: {r.assumption}.",
                    f"Several noticings by one detector: {r.dependence}.",
                    *(f"Assumed: {a}." for a in r.assumed),
                )
            )
        ),
    }


def _first(route: Route) -> str:
    if route.first_device_id is None or route.first_s is None:
        return "by nothing"
    left = f", {short_time(route.left_to_run_s)} left to run" if route.left_to_run_s is not None else ""
    return f"{route.first_device_id} at {short_time(route.first_s)}{left}"


def _confirmed(route: Route) -> str:
    if route.confirm_gap_s is None:
        return "not confirmed"
    return f"{short_time(route.confirm_gap_s)}; {chance_words(route.confirmed_probability)}"


def _schedule(schedule: Schedule) -> dict[str, Any]:
    empty = [all(row[i] in ("", None) for row in schedule.rows) for i in range(len(schedule.columns))]
    keep = [i for i, bare in enumerate(empty) if not bare]
    columns = [schedule.columns[i] for i in keep]
    return {
        "title": schedule.title,
        "columns": columns,
        "wide": [c for c in columns if c in _WIDE] or columns[-1:],
        "align": ["right" if c in _RIGHT else "left" for c in columns],
        "rows": [["" if row[i] is None else str(row[i]) for i in keep] for row in schedule.rows],
    }


def _sources(proof: Proof) -> tuple[list[dict[str, str]], list[str]]:
    """The entries of the bibliography that this paper cites, and what it cites that is none."""
    known = bibliography()
    cited = [f.citation for f in proof.findings if f.citation]
    cited += [c.citation for c in cautions(proof.scheme.brief.profile)]
    cited += [s.demand_citation for s in proof.power.standby] if proof.power is not None else []
    cited += [f.source for subject in calculations(proof) for f in subject.formulas]
    kinds = {scheme_kind.id: scheme_kind for scheme_kind in (proof.scheme.kind_of(d) for d in proof.scheme.fitted)}
    cited += [figure.source for kind in kinds.values() for figure in kind.figures.values()]
    keys: set[str] = set()
    for text in cited:
        words = re.findall(r"[\w./-]+", text)
        keys |= {word.strip(".") for word in words} & known.keys()
    entries = [
        {"key": s.key, "title": s.title, "edition": s.edition, "status": s.status}
        for s in (known[key] for key in sorted(keys))
    ]
    notes = []
    for label in ("common practice", "assumption", "from memory"):
        count = sum(label in text for text in cited)
        if count:
            notes.append(
                f"{counted(count, 'figure or limit rests', 'figures or limits rest')} on “{label}”, and say so."
            )
    return entries, notes
