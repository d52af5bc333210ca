"""A scenario as one page that moves: plan, people, devices and panel along a time line. Nothing is fetched.

The page is one file. What it may do is said in its head: its own script and style by their fingerprints, its own
typeface, nothing else.
"""

import base64
import hashlib
import io
import json
import re
from collections import Counter
from collections.abc import Iterable
from functools import cache, lru_cache
from html import escape
from importlib import resources

from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

from wardwright.analyses.scenario.timeline import Moment, Timeline
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.documents.drawing import Drawing, plan_drawing
from wardwright.documents.frame import A4
from wardwright.documents.ink import INK, PAPER, QUIET
from wardwright.documents.lettering import font_folder
from wardwright.documents.playing_data import cause_words, page_data, report_lines
from wardwright.documents.sheet import INVENTED, TitleBlock
from wardwright.documents.timeline_table import shown
from wardwright.premises.plan import storey_plans

ROUND_MM = 2.0
"""Kept free round the building, for tags and names. [mm]"""
OUTSIDE_M = 1.5
"""Ground round the building that is shown, where people come and go. [m]"""


def playing_page(
    scheme: ProtectionScheme,
    timeline: Timeline,
    *,
    devices: tuple[Device, ...],
    firm: bool,
    subtitle: str,
    invented: bool,
) -> str:
    """The page of a timeline.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    timeline : Timeline
        What happens; for a client as :func:`wardwright.documents.client_story.client_story` gives it.
    devices : tuple of Device
        Devices it may show.
    firm : bool
        With device ids, report codes and paths.
    subtitle : str
        Who made it, for whom.
    invented : bool
        The job is invented; the page says so.

    Returns
    -------
    str
        HTML.
    """
    drawings = _drawings(scheme, frozenset(d.id for d in devices))
    figures = "".join(_figure(scheme, key, drawing) for key, drawing in drawings.items())
    moments = list(shown(timeline, every=False))
    data = json.dumps(page_data(scheme, timeline, moments, drawings, devices, firm=firm), separators=(",", ":"))
    style = f"{_faces()}\n{_resource('playing.css')}"
    script = _resource("playing.js")
    policy = (
        f"default-src 'none'; style-src '{_fingerprint(style)}'; script-src '{_fingerprint(script)}'; "
        "font-src data:; base-uri 'none'; form-action 'none'"
    )
    lot = "the likeliest course" if timeline.seed is None else f"one course drawn by lot (seed {timeline.seed})"
    marks = f'<p class="quiet">{escape(INVENTED)}</p>' if invented else ""
    table = "".join(_row(m, firm=firm) for m in moments)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{escape(policy, quote=True)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="referrer" content="no-referrer">
<title>{escape(timeline.title)}</title>
<style>{style}</style>
</head>
<body>
<header>
<h1>{escape(timeline.title)}</h1>
<p class="sub">{escape(subtitle)} · {escape(timeline.date)}, from {escape(timeline.begins)} · computed: {lot}</p>
</header>
<main>
<div class="plans">{figures}</div>
<aside aria-label="What the system does">
<section><p id="clock" aria-live="off"></p><p id="cause"></p></section>
<section><h2>Areas</h2><ul id="areas"></ul></section>
<section><h2>Keypads show</h2><p id="keypad"></p></section>
<section><h2>Sounding</h2><p id="sounding"></p></section>
<section><h2>Reports</h2><ul id="reports"></ul></section>
</aside>
</main>
<nav aria-label="Time">
<button id="play" type="button">Play</button>
<button id="back" type="button" aria-label="Previous moment">Back</button>
<button id="on" type="button" aria-label="Next moment">Next</button>
<div class="scrub">{_ticks(moments, timeline)}<input id="time" type="range" min="0" max="{timeline.ends_ms}" value="0"
 step="100" aria-label="Time of day"></div>
<label>Speed <select id="speed"><option value="1">1×</option><option value="4" selected>4×</option>
<option value="15">15×</option><option value="60">60×</option></select></label>
<label class="box"><input id="skip" type="checkbox" checked> pass over quiet time</label>
</nav>
<div class="below">
{marks}
<ul class="legend">{_legend(scheme, timeline, devices)}</ul>
<p class="quiet">Keys: space plays and pauses, the arrows go from moment to moment, Home and End to the ends.</p>
<table><thead><tr><th>Time</th><th>What happens</th><th>What the system does</th></tr></thead>
<tbody>{table}</tbody></table>
</div>
<script id="timeline" type="application/json">{data.replace("<", chr(92) + "u003c")}</script>
<script>{script}</script>
</body>
</html>
"""


def _resource(name: str) -> str:
    return resources.files("wardwright.documents").joinpath("templates").joinpath(name).read_text(encoding="utf-8")


def _fingerprint(text: str) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}"


@cache
def _faces() -> str:
    """The shipped typeface, cut down to the letters a page may need."""
    rules = []
    for name, weight in (("SourceSans3-Regular.otf", 400), ("SourceSans3-Semibold.otf", 600)):
        options = Options(layout_features=["kern", "tnum"], notdef_outline=True)
        cutter = Subsetter(options)
        cutter.populate(unicodes=[*range(0x20, 0x7F), *range(0xA0, 0x180), *map(ord, "–—‘’“”…·×²³−≤≥→")])
        with TTFont(font_folder() / name) as font:
            cutter.subset(font)
            out = io.BytesIO()
            font.save(out)
        data = base64.b64encode(out.getvalue()).decode()
        rules.append(
            f'@font-face{{font-family:"Source Sans 3";font-weight:{weight};src:url(data:font/otf;base64,{data})}}'
        )
    return "\n".join(rules)


@lru_cache(maxsize=4)
def _drawings(scheme: ProtectionScheme, device_ids: frozenset[str]) -> dict[str, Drawing]:
    """The storeys with rooms, from below, all at one scale; several scenarios of one job share them."""
    block = TitleBlock(firm="", job="", address="", drawing="Plan", storey="", date="", revision="", mark="")
    devices = tuple(d for d in scheme.fitted if d.id in device_ids)
    storeys = sorted(scheme.premises.storeys, key=lambda s: s.elevation_m)
    roomy = [s.id for s in storeys if any(r.storey_id == s.id for r in scheme.premises.rooms)]
    return {
        key: plan_drawing(scheme, key, paper=A4, block=block, devices=devices, captions=False, heat=False, bare=True)
        for key in roomy
    }


def _figure(scheme: ProtectionScheme, storey_id: str, drawing: Drawing) -> str:
    """A storey without the paper round it, in the page's own colours."""
    plan, frame = storey_plans(scheme.premises)[storey_id], drawing.frame
    assert frame is not None  # a plan drawing always has one
    shapes = [frame.shape(s).bounds for s in (*plan.bodies.values(), *plan.room_shapes.values())]
    out = OUTSIDE_M * frame.mm_per_m if any(o.is_outside for o in scheme.premises.openings) else 0.0
    boxes = [(x0 - out, y0 - out, x1 + out, y1 + out) for x0, y0, x1, y1 in shapes]
    boxes += [(b.x, b.y, b.right, b.bottom) for b in drawing.tag_boxes]
    x0, y0 = min(b[0] for b in boxes) - ROUND_MM, min(b[1] for b in boxes) - ROUND_MM
    x1, y1 = max(b[2] for b in boxes) + ROUND_MM, max(b[3] for b in boxes) + ROUND_MM
    inner = drawing.svg[drawing.svg.index(">") + 1 : drawing.svg.rindex("</svg>")]
    inner = re.sub(r"<title>.*?</title>", "", inner, count=1)
    for colour, name in ((PAPER, "--paper"), (INK, "--ink"), (QUIET, "--quiet")):
        inner = inner.replace(f'"{colour}"', f'"var({name})"')
    name = scheme.premises.storey(storey_id).name
    box = f"{x0:.1f} {y0:.1f} {x1 - x0:.1f} {y1 - y0:.1f}"
    return (
        f"<figure><figcaption>{escape(name)}</figcaption>"
        f'<svg viewBox="{box}" role="img" aria-label="{escape(name, quote=True)}">{inner}</svg></figure>'
    )


def _ticks(moments: Iterable[Moment], timeline: Timeline) -> str:
    """Where on the time line something happens; alarms heavier."""
    span = max(timeline.ends_ms, 1)
    lines = []
    for m in moments:
        alarm = any("alarm: " in k for k in m.keypads)
        x = f"{1000 * m.at_ms / span:.1f}"
        kind = ' class="alarm"' if alarm else ""
        lines.append(f'<line x1="{x}" x2="{x}" y1="{0 if alarm else 6}" y2="12"{kind}/>')
    return f'<svg viewBox="0 0 1000 12" preserveAspectRatio="none" aria-hidden="true">{"".join(lines)}</svg>'


def _row(moment: Moment, *, firm: bool) -> str:
    does = [*moment.keypads, *report_lines(moment, firm=firm)]
    return (
        f'<tr><td><button type="button" data-t="{moment.at_ms}">{moment.clock}</button></td>'
        f"<td>{escape(cause_words(moment, firm=firm))}</td><td>{'<br>'.join(map(escape, does))}</td></tr>"
    )


def _legend(scheme: ProtectionScheme, timeline: Timeline, devices: tuple[Device, ...]) -> str:
    kinds = Counter(scheme.kind_of(d).id for d in devices)
    entries = {scheme.kind_of(d).id: scheme.kind_of(d) for d in devices}
    items = [f"<li><b>{escape(k.tag)}</b> {escape(k.name)} ({kinds[key]})</li>" for key, k in sorted(entries.items())]
    marks = {"person": "disc: a person", "intruder": "filled diamond: an intruder", "animal": "triangle: an animal"}
    items += [f"<li>{marks[kind]}</li>" for kind in marks if any(t.kind == kind for t in timeline.tracks)]
    items.append("<li>tag filled with ink: it reports, or sounds</li>")
    return "".join(items)
