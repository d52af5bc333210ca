"""What the moving page plays: places on the drawings, moments, devices that report or sound."""

import math
from collections.abc import Mapping
from typing import Any

from wardwright.analyses.scenario.ground import Spot
from wardwright.analyses.scenario.timeline import Moment, Timeline, Track
from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.documents.drawing import Drawing
from wardwright.documents.frame import Frame
from wardwright.documents.timeline_table import report_words
from wardwright.panel.tables import INTRUDER_REPORTS

STRAY_M = 0.03
"""A track is drawn within this of where somebody was. [m]"""
SPOKEN = {"bell": "outside sounder", "inner": "inside sounder", "entry": "entry tone", "exit": "exit tone"}
LOUD = ("bell", "inner", "fire")
SOUNDS: dict[str, tuple[Family, ...]] = {
    "bell": (Family.OUTER_SOUNDER,),
    "strobe": (Family.STROBE, Family.OUTER_SOUNDER),
    "inner": (Family.INNER_SOUNDER,),
    "fire": (Family.INNER_SOUNDER,),
    "entry": (Family.KEYPAD,),
    "exit": (Family.KEYPAD,),
    "chime": (Family.KEYPAD,),
}
CHIME_MS = 1_500
PLAIN_REPORTS = {
    **dict.fromkeys(INTRUDER_REPORTS, "intruder alarm"),
    "confirmed intruder": "confirmed intruder alarm",
    "intruder restored": "a detector at rest again",
    "set away": "the system was set",
    "set inside": "the system was set with people inside",
    "unset": "the system was unset",
    "cancel": "the alarm was called off",
}
"""Reports in a client's words, where the trade's are not plain."""
PLAIN_ASKS = {
    "asks: set away": "sets the system",
    "asks: set inside": "sets the system with people inside",
    "asks: unset": "unsets the system",
}
"""Requests in a client's words."""
PLAIN_STATES = {"queued": "on its way", "acknowledged": "received", "stopped": "called back"}


def page_data(
    scheme: ProtectionScheme,
    timeline: Timeline,
    moments: list[Moment],
    drawings: Mapping[str, Drawing],
    devices: tuple[Device, ...],
    *,
    firm: bool,
) -> dict[str, Any]:
    """What the page's script plays.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    timeline : Timeline
        What happens.
    moments : list of Moment
        Those told.
    drawings : mapping of str to Drawing
        The plans, by storey id, at one scale.
    devices : tuple of Device
        Devices drawn.
    firm : bool
        With ids, codes and paths.

    Returns
    -------
    dict
        JSON values: places in millimetres of the drawings, moments in milliseconds.
    """
    index = {key: i for i, key in enumerate(drawings)}
    frame = next(iter(drawings.values())).frame if drawings else None
    drawn = {d.id for d in devices}
    hours, minutes, *rest = (int(part) for part in timeline.begins.split(":"))
    lit: dict[str, list[tuple[int, int]]] = {}
    for x in timeline.lit:
        if x.device_id in drawn:
            lit.setdefault(x.device_id, []).append((x.on_ms, x.off_ms))
    first = timeline.moments[0] if timeline.moments else None
    return {
        "begins": 3600 * hours + 60 * minutes + (rest[0] if rest else 0),
        "ends": timeline.ends_ms,
        "phases": _phases(first) if first else [],
        "tracks": [_track(t, index, frame) for t in timeline.tracks if frame is not None],
        "lit": lit,
        "sounding": _sounding(scheme, timeline, devices),
        "moments": [
            {
                "t": m.at_ms,
                "clock": m.clock,
                "cause": cause_words(m, firm=firm),
                "phases": _phases(m),
                "sounding": [SPOKEN.get(s, s) for s in m.sounding],
                "loud": any(s in LOUD for s in m.sounding),
                "keypads": list(m.keypads),
                "reports": report_lines(m, firm=firm),
            }
            for m in moments
        ],
    }


def _phases(moment: Moment) -> list[str]:
    return [f"{name}: {phase}" for name, phase in moment.phases]


def report_lines(moment: Moment, *, firm: bool) -> list[str]:
    """Reports of a moment in words; codes and paths for the firm only."""
    if firm:
        return [report_words(r) for r in moment.reports]
    return [f"{PLAIN_REPORTS.get(r.what, r.what)}: {PLAIN_STATES[r.state]}" for r in moment.reports]


def cause_words(moment: Moment, *, firm: bool) -> str:
    """What happens at a moment, in one sentence."""
    if moment.tripped:
        name = ", ".join(moment.zones) or moment.where
        ids = f" ({' '.join(moment.tripped)})" if firm else ""
        return f"{name}{ids} notices {moment.who}" if moment.who else f"{name}{ids} reports"
    what = moment.what
    if not firm:
        what = "goes to the keypad" if what.startswith("goes to the keypad") else PLAIN_ASKS.get(what, what)
    if moment.who:
        return f"{moment.who} {what}".strip()
    return f"{moment.where} {what}".strip() if moment.where else what


def _track(track: Track, index: Mapping[str, int], frame: Frame) -> dict[str, Any]:
    frames = [f for leg in track.legs for f in leg.frames if f[1][0] in index]
    points = []
    for at, (storey, x, y) in _thinned(frames):
        px, py = frame.at((x, y))
        points.append([at, index[storey], round(px, 2), round(py, 2)])
    letters = "".join(word[0] for word in track.name.split()[:2]).upper()
    return {
        "name": track.name,
        "kind": track.kind,
        "mark": "?" if track.kind == "intruder" else letters,
        "frames": points,
        "gone": [list(g) for g in track.gone],
    }


def _thinned(frames: list[tuple[int, Spot]]) -> list[tuple[int, Spot]]:
    """Moments enough to find every place by a straight line between two of them."""
    kept: list[tuple[int, Spot]] = []
    held: list[tuple[int, Spot]] = []
    for frame in sorted(frames, key=lambda f: f[0]):
        if kept and (frame[1][0] != kept[-1][1][0] or any(_stray(kept[-1], h, frame) > STRAY_M for h in held)):
            kept.append(held[-1] if held else frame)
            held = []
        if not kept:
            kept.append(frame)
        else:
            held.append(frame)
    return kept + held[-1:]


def _stray(a: tuple[int, Spot], middle: tuple[int, Spot], b: tuple[int, Spot]) -> float:
    """How far a place lies from the line between two others, in time. [m]"""
    share = (middle[0] - a[0]) / (b[0] - a[0]) if b[0] > a[0] else 0.0
    (_, ax, ay), (_, mx, my), (_, bx, by) = a[1], middle[1], b[1]
    return math.hypot(ax + share * (bx - ax) - mx, ay + share * (by - ay) - my)


def _sounding(
    scheme: ProtectionScheme, timeline: Timeline, devices: tuple[Device, ...]
) -> dict[str, list[tuple[int, int]]]:
    """When each sounder sounds and each keypad beeps. [ms]"""
    spans: dict[Family, list[tuple[int, int]]] = {}
    for output, families in SOUNDS.items():
        since: int | None = None
        for moment in timeline.moments:
            on = output in moment.sounding
            if output == "chime" and on:
                found = [(moment.at_ms, moment.at_ms + CHIME_MS)]
            elif on and since is None:
                since, found = moment.at_ms, []
            elif since is not None and not on:
                found, since = [(since, moment.at_ms)], None
            else:
                found = []
            for family in families:
                spans.setdefault(family, []).extend(found)
        if since is not None:
            for family in families:
                spans.setdefault(family, []).append((since, timeline.ends_ms + 1))
    return {d.id: spans[f] for d in devices if (f := scheme.kind_of(d).family) in spans and spans[f]}
