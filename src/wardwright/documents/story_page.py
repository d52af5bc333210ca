"""How the system works, told from scenarios made from the job itself: a small plan and a table for each."""

from collections.abc import Iterator
from typing import Any

from wardwright.analyses.scenario.standard import Story
from wardwright.analyses.scenario.timeline import Moment, Timeline
from wardwright.documents.client_story import client_story
from wardwright.documents.client_view import visible_devices
from wardwright.documents.drawing import Drawing, plan_drawing
from wardwright.documents.frame import A4, Box, Frame
from wardwright.documents.ink import INK, PAPER
from wardwright.documents.lettering import letter
from wardwright.documents.playing_data import SPOKEN, cause_words, report_lines
from wardwright.documents.sheet import TitleBlock
from wardwright.documents.svg import el, number, polyline
from wardwright.documents.timeline_table import shown
from wardwright.documents.wording import counted, listed
from wardwright.errors import InputError
from wardwright.premises.model import Premises
from wardwright.premises.plan import storey_plans
from wardwright.prove import Proof

DOT_MM = 3.2
PLAN_WIDTH_MM = 58.0
"""A small plan is at most this wide on the page. [mm]"""
PLAN_HEIGHT_MM = 42.0
"""And this high. [mm]"""
ROUND_MM = 3.0
"""Kept free round what is shown. [mm]"""
ACKNOWLEDGED = "the receiving centre acknowledges"
TELLING = ("intruder alarm", "confirmed intruder alarm", "the system was")
"""Reports worth a line on a client's paper."""


def stories(proof: Proof, *, firm: bool) -> tuple[list[dict[str, Any]], dict[str, str]]:
    """The stories of a proof as the templates print them.

    Parameters
    ----------
    proof : Proof
        The proof; without stories nothing is printed.
    firm : bool
        For the firm, with ids and codes; else only what a client may see.

    Returns
    -------
    list of dict, and dict of str to str
        JSON values; SVG text by file name.
    """
    found, files = [], {}
    for index, story in enumerate(proof.stories, 1):
        timeline = story.timeline if firm else _for_client(proof, story)
        if timeline is None:
            continue
        rows = firm_rows(timeline) if firm else _client_rows(timeline)
        plans: list[dict[str, Any]] = []
        for storey, svg, box in _plans(proof, timeline, firm=firm):
            name = f"story-{index}-{len(plans) + 1}.svg"
            files[name] = svg
            noticed = counted(len(_numbered(timeline)), "detector")
            alt = f"{story.heading}, {storey}: the way taken, and where {noticed} noticed it."
            width = min(box.width, PLAN_WIDTH_MM, PLAN_HEIGHT_MM * box.width / box.height)
            plans.append({"file": name, "name": storey, "width": width, "alt": alt})
        found.append({"heading": story.heading, "rows": rows, "plans": plans})
    return found, files


def _for_client(proof: Proof, story: Story) -> Timeline | None:
    try:
        told = client_story(proof.scheme, story.scenario, story.timeline, proof.timing)
    except InputError:
        return None
    return None if told.left_out else told.timeline


def firm_rows(timeline: Timeline) -> list[dict[str, str]]:
    """Every moment worth a line, with ids and codes."""
    rows = []
    for moment in shown(timeline, every=False):
        reports = [f"{r[:1].upper()}{r[1:]}." for r in report_lines(moment, firm=True)]
        rows.append(_row(moment, cause_words(moment, firm=True), [*_answers(moment, timeline), *reports]))
    return rows


def _client_rows(timeline: Timeline) -> list[dict[str, str]]:
    """The story in a client's words: the first detector by itself, the others together, every sort of report once."""
    rows: list[dict[str, str]] = []
    noticed: list[str] = []
    together = -1
    said: set[str] = set()
    for moment in shown(timeline, every=False):
        received = [r for r in report_lines(moment, firm=False) if r.startswith(TELLING) and r.endswith("received")]
        told = [f"The receiving centre has it: {r.partition(':')[0]}." for r in received if r not in said]
        said.update(received)
        if moment.tripped and noticed:
            noticed += [z for z in moment.zones if z not in noticed]
            also = noticed[1:]
            if also:
                what = f"{listed(also)} {'notices' if len(also) == 1 else 'notice'} it too"
                if together < 0:
                    together = len(rows)
                    rows.append(_row(moment, what, ["Each is reported as it comes."]))
                rows[together]["what"] = what
        elif moment.tripped:
            rows.append(_row(moment, cause_words(moment, firm=False), [*_answers(moment, timeline), *told]))
            noticed += moment.zones if any("alarm: " in k for k in moment.keypads) else ()
        elif moment.what == ACKNOWLEDGED:
            if told:
                rows.append(_row(moment, "the report arrives", told))
        elif not moment.what.startswith("goes to the keypad"):
            rows.append(_row(moment, cause_words(moment, firm=False), [*_answers(moment, timeline), *told]))
    return rows


def _row(moment: Moment, cause: str, does: list[str]) -> dict[str, str]:
    return {"time": moment.clock, "what": cause[:1].upper() + cause[1:], "does": " ".join(does)}


def _answers(moment: Moment, timeline: Timeline) -> list[str]:
    """What the keypads show and what begins to sound."""
    sounds = _new_sounds(moment, timeline)
    return [*(f"Keypad: {k}." for k in moment.keypads), *([f"Sounds: {sounds}."] if sounds else [])]


def _new_sounds(moment: Moment, timeline: Timeline) -> str:
    """What begins to sound at a moment."""
    at = timeline.moments.index(moment)
    before = timeline.moments[at - 1].sounding if at else ()
    return ", ".join(SPOKEN.get(s, s) for s in moment.sounding if s not in before)


def _plans(proof: Proof, timeline: Timeline, *, firm: bool) -> Iterator[tuple[str, str, Box]]:
    """Every storey somebody walks on, with the way taken and a numbered dot where each detector first noticed."""
    scheme = proof.scheme
    devices = scheme.fitted if firm else visible_devices(scheme)
    block = TitleBlock(firm="", job="", address="", drawing="Plan", storey="", date="", revision="", mark="")
    walked = {f[1][0] for t in timeline.tracks for leg in t.legs for f in leg.frames}
    numbers = _numbered(timeline)
    for storey in sorted(scheme.premises.storeys, key=lambda s: s.elevation_m):
        if storey.id not in walked or not any(r.storey_id == storey.id for r in scheme.premises.rooms):
            continue
        drawing = plan_drawing(
            scheme, storey.id, paper=A4, block=block, devices=(), captions=False, heat=False, bare=True
        )
        frame = drawing.frame
        assert frame is not None  # a plan drawing always has one
        marks = _ways(timeline, storey.id, frame)
        for device in devices:
            if device.storey_id == storey.id and device.id in numbers:
                x, y = frame.at(device.position)
                marks.append(el("circle", cx=x, cy=y, r=DOT_MM, fill=INK, stroke=PAPER, stroke_width=0.3))
                marks.append(
                    letter(str(numbers[device.id]), x, y + 1.5, 4.2, face="semibold", fill=PAPER, text_anchor="middle")
                )
        box = _box(scheme.premises, timeline, storey.id, frame)
        yield storey.name, _cropped(drawing, marks, box), box


def _numbered(timeline: Timeline) -> dict[str, int]:
    """Devices the panel listened to, in the order in which they first reported."""
    order = dict.fromkeys(d for m in timeline.moments for d in m.tripped if m.answered)
    return {device_id: i for i, device_id in enumerate(order, 1)}


def _ways(timeline: Timeline, storey_id: str, frame: Frame) -> list[str]:
    """The ways everybody took on one storey."""
    marks = []
    for track in timeline.tracks:
        for leg in track.legs:
            points = [frame.at(spot[1:]) for _, spot in leg.frames if spot[0] == storey_id]
            if len(set(points)) > 1:
                marks.append(polyline(points, stroke=PAPER, stroke_width=1.3))
                marks.append(polyline(points, stroke=INK, stroke_width=0.5, stroke_dasharray="1.6 0.9"))
    return marks


def _box(premises: Premises, timeline: Timeline, storey_id: str, frame: Frame) -> Box:
    """The building on one storey, and the ways taken round it."""
    plan = storey_plans(premises)[storey_id]
    bounds = [frame.shape(s).bounds for s in (*plan.bodies.values(), *plan.room_shapes.values())]
    spots = [f[1] for t in timeline.tracks for leg in t.legs for f in leg.frames if f[1][0] == storey_id]
    bounds += [(x, y, x, y) for x, y in (frame.at(spot[1:]) for spot in spots)]
    x0, y0 = min(b[0] for b in bounds) - ROUND_MM, min(b[1] for b in bounds) - ROUND_MM
    x1, y1 = max(b[2] for b in bounds) + ROUND_MM, max(b[3] for b in bounds) + ROUND_MM
    return Box(x0, y0, x1 - x0, y1 - y0)


def _cropped(drawing: Drawing, marks: list[str], box: Box) -> str:
    """A drawing without the paper round it, with marks over it."""
    inner = drawing.svg[drawing.svg.index(">") + 1 : drawing.svg.rindex("</svg>")]
    view = " ".join(number(v) for v in (box.x, box.y, box.width, box.height))
    size = f'width="{number(box.width)}mm" height="{number(box.height)}mm"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="{view}">{inner}{"".join(marks)}</svg>'
