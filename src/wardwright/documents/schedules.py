"""Schedules: devices, zones, loops, cables, feeds, programme, findings, estimate. One table each, for paper and CSV."""

import csv
import io
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from wardwright.analyses.attack_choices import Choice
from wardwright.analyses.cables import CablePlan
from wardwright.analyses.defeats import AttackAnalysis
from wardwright.design.system import ProtectionScheme
from wardwright.documents.ink import VERDICT_WORD
from wardwright.documents.wording import rounded
from wardwright.estimate.quote import Estimate
from wardwright.findings import Finding
from wardwright.prove import Proof

Cell = str | int | float | None


@dataclass(frozen=True)
class Schedule:
    """One table."""

    name: str
    """File name without ending."""
    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def csv_text(schedule: Schedule) -> str:
    """A schedule as CSV in which no text is ever a formula.

    Parameters
    ----------
    schedule : Schedule
        The table.

    Returns
    -------
    str
        Comma-separated, quoted where needed, lines ended by CR LF as RFC 4180 has it. Text that a spreadsheet would
        take for a formula gets an apostrophe before it; numbers stay numbers.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([harmless(column) for column in schedule.columns])
    for row in schedule.rows:
        writer.writerow([harmless(cell) for cell in row])
    return out.getvalue()


def harmless(cell: Cell) -> Cell:
    """A cell that no spreadsheet takes for a formula.

    Parameters
    ----------
    cell : str, int, float or None
        What is to be written.

    Returns
    -------
    str, int, float or None
        Numbers as they are; text with an apostrophe before a sign that would start a formula, even after blanks.
    """
    if not isinstance(cell, str):
        return cell
    text = cell.replace("\x00", "")
    start = text.lstrip(" \t\r\n\v\f\u00a0\u200b\ufeff")
    if text[:1] in ("\t", "\r", "\n") or start[:1] in tuple("=+-@|%＝＋－＠"):
        return text if re.fullmatch(r"[+-]?\d+(\.\d+)?", text) else f"'{text}"
    return text


def device_schedule(scheme: ProtectionScheme) -> Schedule:
    """Every device with its place, height, zone and what becomes of it."""
    premises = scheme.premises
    storeys = {s.id: s.name for s in premises.storeys}
    openings = {o.id: o.name for o in premises.openings}
    rows = []
    for device in scheme.design.devices:
        kind = scheme.kind_of(device)
        zones = ", ".join(str(z.number) for z in scheme.zones_of_device.get(device.id, ()))
        room = scheme.room_of(device)
        place = openings.get(device.opening_id or "", "") or (room.name if room is not None else "")
        rows.append(
            (
                device.id,
                kind.tag,
                kind.name,
                storeys.get(device.storey_id, device.storey_id),
                place,
                round(device.height_m, 2),
                "radio" if kind.radio else "wired",
                zones,
                device.status.value,
                device.condition,
            )
        )
    head = ("id", "tag", "kind", "storey", "place", "height m", "link", "zone", "status", "condition")
    return Schedule("devices", "Devices", head, tuple(rows))


def zone_schedule(scheme: ProtectionScheme) -> Schedule:
    """Every zone as the panel knows it."""
    areas = {a.id: a.name for a in scheme.design.programme.areas}
    by_zone: dict[str, list[str]] = {}
    for device_id, zones in scheme.zones_of_device.items():
        for zone in zones:
            by_zone.setdefault(zone.id, []).append(device_id)
    rows = [
        (
            zone.number,
            zone.name,
            ", ".join(areas.get(a, a) for a in zone.area_ids),
            zone.response.value,
            zone.loop_id or _link(scheme, by_zone.get(zone.id, [])),
            ", ".join(sorted(by_zone.get(zone.id, []))),
            "yes" if zone.set_with_people_inside else "no",
            "yes" if zone.may_bypass else "no",
        )
        for zone in sorted(scheme.design.programme.zones, key=lambda z: z.number)
    ]
    head = ("zone", "name", "areas", "response", "loop", "devices", "watched with people inside", "may be bypassed")
    return Schedule("zones", "Zones", head, tuple(rows))


def _link(scheme: ProtectionScheme, device_ids: Sequence[str]) -> str:
    """How a zone without a loop hears its devices."""
    radio = {scheme.kind_of(scheme.design.device(key)).radio for key in device_ids}
    return "radio" if radio == {True} else "no loop" if device_ids else "no device"


def loop_schedule(scheme: ProtectionScheme) -> Schedule:
    """Every supervised loop, its contacts in cable order, and where its resistors sit."""
    rows = [
        (
            loop.id,
            loop.at,
            loop.terminal,
            loop.scheme.value,
            " – ".join(loop.contacts),
            "; ".join(f"{rounded(r.ohm, 3)} Ω {r.role} at {r.at}" for r in loop.resistors),
            round(loop.response_s, 3),
            loop.status.value,
        )
        for loop in scheme.design.loops
    ]
    head = ("id", "at", "terminal", "scheme", "contacts in order", "resistors", "response s", "status")
    return Schedule("loops", "Loops", head, tuple(rows))


def cable_schedule(scheme: ProtectionScheme, plan: CablePlan | None = None) -> Schedule:
    """Every run of cable: those of the design that stay, then those to be laid with their ways."""
    kinds = scheme.catalogue.kinds
    planned = {item.run.cable_id for item in plan.runs} if plan is not None else set()
    rows: list[tuple[Cell, ...]] = []
    for cable in scheme.design.cables:
        if cable.id not in planned:
            name = kinds[cable.kind].name if cable.kind is not None and cable.kind in kinds else "not known"
            metres = None if cable.length_m is None else round(cable.length_m, 1)
            splices, status = cable.splices or None, cable.status.value
            rows.append((cable.id, cable.from_id, cable.to_id, name, metres, None, None, splices, status, ""))
    for item in plan.runs if plan is not None else ():
        run, way = item.run, item.run.length.way
        name = kinds[run.kind].name if run.kind is not None and run.kind in kinds else "as the tariff"
        through = "no way found" if item.blocked else run.length.how if way is None else ", ".join(way.through)
        rows.append(
            (
                run.cable_id or "",
                run.from_id,
                run.to_id,
                name,
                round(run.length.metres, 1),
                None if item.area_m2 is None or not item.current_a else round(item.area_m2 * 1e6, 2),
                None if way is None else round(way.minutes),
                None,
                "new",
                through or "ceiling of one room",
            )
        )
    head = ("id", "from", "to", "cable", "length m", "section mm²", "minutes", "splices", "status", "way")
    return Schedule("cables", "Cables", head, tuple(rows))


def feed_schedule(scheme: ProtectionScheme) -> Schedule:
    """Every run of supply, and the batteries."""
    rows: list[tuple[Cell, ...]] = [
        (feed.id, feed.from_id, feed.to_id, feed.cable_id or "", feed.fused_a, "") for feed in scheme.design.feeds
    ]
    kinds = scheme.catalogue.kinds
    for backup in scheme.design.backups:
        name = kinds[backup.kind].name if backup.kind in kinds else backup.kind
        rows.append((f"battery at {backup.at}", backup.at, "", "", None, f"{backup.count} × {name}"))
    return Schedule("feeds", "Supply", ("id", "from", "to", "cable", "fuse A", "battery"), tuple(rows))


def programme_schedule(scheme: ProtectionScheme) -> Schedule:
    """Timers, areas, outputs, reporting paths and rights: what the panel is told."""
    programme = scheme.design.programme
    rows: list[tuple[Cell, ...]] = [
        ("timer", name.removesuffix("_s").replace("_", " "), f"{value:g} s")
        for name, value in programme.timers.model_dump().items()
        if name.endswith("_s")
    ]
    rows.append(("timer", "swinger count", str(programme.timers.swinger_count)))
    for area in programme.areas:
        own = [f"{word} {value:g} s" for word, value in (("entry", area.entry_s), ("exit", area.exit_s)) if value]
        rows.append(("area", area.name, ", ".join(own) or "times of the programme"))
    for output in programme.outputs:
        rows.append(("output", output.device_id, ", ".join(output.on)))
    for path in sorted(programme.paths, key=lambda p: p.priority):
        hangs = ", ".join(d.name for d in path.hangs_on) or "nothing listed"
        rows.append(("path", f"{path.priority}: {path.kind} by {path.device_id}", f"{path.category} hangs on {hangs}"))
    for right in programme.rights:
        times = " ".join(
            filter(None, (", ".join(right.days), right.from_time and f"{right.from_time}–{right.until_time}"))
        )
        ends = f", until {right.expires}" if right.expires else ""
        rows.append(("right", right.holder, f"{', '.join(right.may)}; {times or 'any time'}{ends}"))
    rows.append(("confirmation", programme.confirmation, ""))
    return Schedule("programme", "Programme", ("what", "which", "set to"), tuple(rows))


def finding_schedule(findings: Sequence[Finding]) -> Schedule:
    """Every finding with its numbers and source."""
    rows = [
        (
            f.identity,
            f.question.value,
            VERDICT_WORD[f.outcome],
            f.weight.value,
            f.rule,
            " ".join(f.about),
            f.value,
            f.operator,
            f.limit,
            f.unit,
            f.interval[0] if f.interval else None,
            f.interval[1] if f.interval else None,
            f.explanation,
            f.assumption,
            f.fix,
            f.citation,
        )
        for f in findings
    ]
    head = (
        "finding",
        "question",
        "outcome",
        "weight",
        "rule",
        "about",
        "value",
        "operator",
        "limit",
        "unit",
        "low",
        "high",
        "explanation",
        "assumption",
        "fix",
        "source",
    )
    return Schedule("findings", "Findings", head, tuple(rows))


def attack_schedule(attacks: AttackAnalysis) -> Schedule:
    """Every way in and target, with nothing done to the system: when the word is out, when the target is gone."""
    rows = tuple(
        (
            i.opening_id,
            i.attack,
            i.target_id,
            None if i.reported_s is None else round(i.reported_s),
            i.what or "too late",
            round(i.gone_s),
            None if i.smash_s is None else round(i.smash_s),
        )
        for i in attacks.intrusions
    )
    head = ("way in", "how", "target", "word out s", "by", "gone s", "panel torn down s")
    return Schedule("intrusions", "Intrusions, nothing done to the system", head, rows)


def defeat_schedule(attacks: AttackAnalysis) -> Schedule:
    """The smallest sets of faults that keep the word in, and on which ways in."""
    rows = []
    for defeats in attacks.by_set().values():
        never = all(math.isinf(d.seconds) for d in defeats)
        ways = [d.opening_id for d in defeats]
        rows.append(
            (
                " and ".join(f.name for f in defeats[0].faults),
                ", ".join(dict.fromkeys(f.where for f in defeats[0].faults)),
                round(defeats[0].takes_s),
                len(defeats),
                "never out" if never else f"{min(d.seconds for d in defeats):.0f} s too late",
                ", ".join(defeats[0].told) or "nothing",
                "every one" if attacks.ways <= set(ways) else ", ".join(ways),
            )
        )
    head = ("what is done", "where", "takes s", "ways", "the word", "centre hears", "which")
    title = f"What the system yields to, up to {attacks.size} things at once"
    return Schedule("attacks", title, head, tuple(rows))


def choice_schedule(choices: Sequence[Choice]) -> Schedule:
    """What each choice buys."""
    rows = tuple(
        (
            c.name,
            c.ways,
            c.too_quick,
            c.yields_to_one,
            c.yields_to_two,
            None if c.word_out_s is None else round(c.word_out_s),
            None if c.ahead_of_smash_s is None else round(c.ahead_of_smash_s),
        )
        for c in choices
    )
    head = ("choice", "ways", "too quick", "yields to one", "yields to two", "word out s", "ahead of smash s")
    return Schedule("choices", "What each choice buys", head, rows)


def estimate_schedule(estimate: Estimate) -> Schedule:
    """Every line of the estimate, then what is put on top."""
    rows: list[tuple[Cell, ...]] = [
        (
            line.section,
            line.name,
            f"{line.quantity.normalize():f}",
            line.unit,
            str(line.each),
            str(line.amount),
            line.basis,
        )
        for line in estimate.lines
    ]
    for name in ("cost", "sundries", "overhead", "margin", "net", "tax", "total"):
        rows.append(("sum", name, "", "", "", str(getattr(estimate, name)), estimate.currency))
    for charge in estimate.recurring:
        rows.append(("each year", charge.name, "1", "year", str(charge.year), str(charge.year), charge.basis))
    return Schedule(
        "estimate", "Estimate", ("section", "item", "quantity", "unit", "each", "amount", "basis"), tuple(rows)
    )


def schedules(proof: Proof, *, with_findings: bool = True) -> tuple[Schedule, ...]:
    """Every schedule of a job, those without rows left out.

    Parameters
    ----------
    proof : Proof
        Building, system, and what was worked out about them.
    with_findings : bool
        List the findings too.

    Returns
    -------
    tuple of Schedule
        In the order of the dossier. A client never gets them: they say where everything is and what it yields to.
    """
    scheme = proof.scheme
    found = [
        device_schedule(scheme),
        zone_schedule(scheme),
        loop_schedule(scheme),
        cable_schedule(scheme, proof.cables),
        feed_schedule(scheme),
        programme_schedule(scheme),
    ]
    if with_findings:
        found.append(finding_schedule(proof.findings))
    if proof.attacks is not None:
        found += [attack_schedule(proof.attacks), defeat_schedule(proof.attacks), choice_schedule(proof.choices)]
    if proof.estimate is not None:
        found.append(estimate_schedule(proof.estimate))
    return tuple(s for s in found if s.rows)
