"""Routes on a drawing: a line that thins as the chance of having been noticed grows, and numbered dots.

Only for the firm: no client's paper ever shows one.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from shapely import LineString

from wardwright.analyses.route_records import Noticing, Route
from wardwright.design.system import ProtectionScheme
from wardwright.documents.fabric_layers import lines_of
from wardwright.documents.frame import Box, Frame
from wardwright.documents.ink import INK, PAPER, QUIET
from wardwright.documents.lettering import letter
from wardwright.documents.sheet import LegendRow, heading_row
from wardwright.documents.svg import el, group, line, polyline
from wardwright.model import XY
from wardwright.premises.life import Target

WIDE, NARROW = 1.7, 0.3
"""Width of a route not noticed at all, and of one that has been for certain. [mm]"""
SAME_PLACE_M = 0.4
"""Two noticings by one device nearer than this share a dot. [m]"""
OFFSET = 1.15
"""Routes that share a way are drawn this far apart. [mm]"""
_DASHES: dict[str, str | None] = {"quietest": None, "fastest": "3.2 1.4", "best-timed": "5 1.2 0.9 1.2"}
_LETTER = {"quietest": "Q", "fastest": "F", "best-timed": "T"}


@dataclass(frozen=True)
class Dot:
    """A place where a device first notices somebody; one dot where several routes pass the same place."""

    number: int
    device_id: str
    storey_id: str
    position: XY
    times: tuple[tuple[str, float], ...]
    """Kind of route and expected time on it. [s]"""


@dataclass(frozen=True)
class RouteSet:
    """The routes of one way in, with what is needed to draw and explain them."""

    routes: tuple[Route, ...]
    target: Target
    target_storey_id: str
    dots: tuple[Dot, ...]
    way_in: str
    mode: str


def route_set(scheme: ProtectionScheme, routes: tuple[Route, ...]) -> RouteSet | None:
    """The quietest, fastest and best-timed route of the worst way in.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    routes : tuple of Route
        All routes of one mode, worst first.

    Returns
    -------
    RouteSet or None
        The routes from the way in that heads the list to its target, one of each kind; None where there are none.
    """
    if not routes:
        return None
    worst = routes[0]
    same = [r for r in routes if (r.opening_id, r.target_id) == (worst.opening_id, worst.target_id)]
    chosen: dict[str, Route] = {}
    for route in same:
        chosen.setdefault(route.kind, route)
    picked = tuple(chosen[kind] for kind in _LETTER if kind in chosen)
    target = _wanted(scheme, worst.target_id)
    return RouteSet(
        routes=picked,
        target=target,
        target_storey_id=scheme.premises.room(target.room_id).storey_id,
        dots=_dots(picked),
        way_in=scheme.premises.opening(worst.opening_id).name,
        mode=worst.mode,
    )


def _wanted(scheme: ProtectionScheme, key: str) -> Target:
    """What a route leads to; a bed is drawn like anything else that must not be reached."""
    bed = next((b for b in scheme.premises.beds if b.id == key), None)
    if bed is None:
        return scheme.premises.target(key)
    name = f"Bed in {scheme.premises.room(bed.room_id).name}"
    return Target(id=bed.id, name=name, room_id=bed.room_id, position=bed.position)


def _dots(routes: tuple[Route, ...]) -> tuple[Dot, ...]:
    """One dot for each device and place, numbered in the order of time."""
    found: list[tuple[Noticing, list[tuple[str, float]]]] = []
    for route in routes:
        for noticing in route.noticings:
            for seen, times in found:
                same = (seen.device_id, seen.storey_id) == (noticing.device_id, noticing.storey_id)
                if same and math.dist(seen.position, noticing.position) < SAME_PLACE_M:
                    times.append((route.kind, noticing.time_s))
                    break
            else:
                found.append((noticing, [(route.kind, noticing.time_s)]))
    found.sort(key=lambda item: min(time for _, time in item[1]))
    return tuple(
        Dot(number, n.device_id, n.storey_id, n.position, tuple(times)) for number, (n, times) in enumerate(found, 1)
    )


def route_storeys(routes: RouteSet) -> list[str]:
    """Storeys the routes run over, in the order they are entered."""
    found: list[str] = []
    for route in routes.routes:
        for storey_id, _, _ in route.points:
            if storey_id not in found:
                found.append(storey_id)
    return found


def noticed_by(route: Route, time: float) -> float:
    """Chance of having been noticed by a time on a route, each device counted once at its expected time.

    Parameters
    ----------
    route : Route
        The route.
    time : float
        From the start of the attack. [s]

    Returns
    -------
    float
        Chance, devices taken as independent, never more than the route's own. [-]
    """
    missed = 1.0
    for noticing in route.noticings:
        if noticing.time_s <= time:
            missed *= 1.0 - noticing.probability
    return min(1.0 - missed, max(route.probability, 0.0))


def route_boxes(routes: RouteSet, storey_id: str, frame: Frame) -> list[Box]:
    """Where numbered dots and targets lie, so that tags keep off them. [mm]"""
    boxes = []
    for _, (x, y) in _dot_places(routes, storey_id, frame):
        boxes.append(Box(x - 1.7, y - 1.7, 3.4, 3.4))
    for route in routes.routes:
        if route.points and route.points[0][0] == storey_id:
            x, y = frame.at(route.points[0][1:])
            boxes.append(Box(x - 6.0, y - 6.0, 12.0, 12.0))
    if storey_id == routes.target_storey_id:
        x, y = frame.at(routes.target.position)
        boxes.append(Box(x - 2.0, y - 2.0, 4.0, 6.5))
    return boxes


def route_layer(routes: RouteSet, storey_id: str, frame: Frame) -> str:
    """Lines, starting letters, numbered dots and the target."""
    marks: list[str] = []
    for place, route in enumerate(routes.routes):
        shift = (place - (len(routes.routes) - 1) / 2) * OFFSET
        marks.append(group(*_route_marks(route, storey_id, frame, shift), class_="route", data_id=route.kind))
    if storey_id == routes.target_storey_id:
        marks += _target_marks(routes.target, frame)
    for dot, (x, y) in _dot_places(routes, storey_id, frame):
        marks.append(el("circle", cx=x, cy=y, r=1.55, fill=PAPER, stroke=INK, stroke_width=0.25))
        marks.append(letter(str(dot.number), x, y + 0.62, 1.9, face="semibold", text_anchor="middle"))
    return group(*marks, class_="routes")


def _target_marks(target: Target, frame: Frame) -> list[str]:
    x, y = frame.at(target.position)
    return [
        line((x - 1.4, y - 1.4), (x + 1.4, y + 1.4), stroke=INK, stroke_width=0.4),
        line((x - 1.4, y + 1.4), (x + 1.4, y - 1.4), stroke=INK, stroke_width=0.4),
        letter(target.name, x, y + 4.0, 2.1, face="italic", text_anchor="middle", halo=PAPER),
    ]


def _route_marks(route: Route, storey_id: str, frame: Frame, shift: float) -> list[str]:
    marks: list[str] = []
    first = True
    for points, times in _stretches(route, storey_id):
        places = [frame.at(p) for p in points]
        for width, piece in _by_width(route, places, times):
            shifted = piece.offset_curve(shift) if abs(shift) > 1e-6 and piece.length > 0.5 else piece
            for part in lines_of(shifted):
                marks.append(
                    polyline(
                        list(part.coords),
                        stroke=INK,
                        stroke_width=width,
                        stroke_dasharray=_DASHES[route.kind],
                        stroke_linejoin="round",
                    )
                )
        if first and len(places) > 1:
            marks.append(_start_mark(route, places, shift))
            first = False
    return marks


def _stretches(route: Route, storey_id: str) -> list[tuple[list[XY], list[float]]]:
    """Runs of points on one storey, with their times."""
    runs: list[tuple[list[XY], list[float]]] = []
    before = None
    for (storey, x, y), time in zip(route.points, route.times_s, strict=True):
        if storey == storey_id:
            if before != storey_id:
                runs.append(([], []))
            runs[-1][0].append((x, y))
            runs[-1][1].append(time)
        before = storey
    return runs


def _by_width(route: Route, places: list[XY], times: list[float]) -> list[tuple[float, LineString]]:
    """Pieces of equal width: the line is cut where a device notices."""
    pieces: list[tuple[float, list[XY]]] = []
    for (start, end), (t0, t1) in zip(pairwise(places), pairwise(times), strict=True):
        cuts = sorted({n.time_s for n in route.noticings if t0 < n.time_s < t1})
        stops = [t0, *cuts, t1]
        for a, b in pairwise(stops):
            share = [0.0 if t1 <= t0 else (t - t0) / (t1 - t0) for t in (a, b)]
            p, q = ((start[0] + s * (end[0] - start[0]), start[1] + s * (end[1] - start[1])) for s in share)
            width = WIDE - (WIDE - NARROW) * noticed_by(route, (a + b) / 2)
            if pieces and abs(pieces[-1][0] - width) < 1e-9:
                pieces[-1][1].append(q)
            else:
                pieces.append((width, [p, q]))
    return [(w, LineString(p)) for w, p in pieces if len(set(p)) > 1]


def _start_mark(route: Route, places: list[XY], shift: float) -> str:
    """The route's letter, just before where it starts."""
    (x0, y0) = places[0]
    x1, y1 = next((p for p in places if math.dist(p, places[0]) > 0.5), (x0 + 1.0, y0))
    reach = math.hypot(x1 - x0, y1 - y0)
    ux, uy = (x1 - x0) / reach, (y1 - y0) / reach
    apart = 3.0 * shift / OFFSET
    x, y = x0 - 4.5 * ux - apart * uy, y0 - 4.5 * uy + apart * ux
    return el("circle", cx=x, cy=y, r=1.4, fill=INK, stroke=PAPER, stroke_width=0.2) + letter(
        _LETTER[route.kind], x, y + 0.66, 2.0, face="semibold", fill=PAPER, text_anchor="middle"
    )


def _dot_places(routes: RouteSet, storey_id: str, frame: Frame) -> list[tuple[Dot, XY]]:
    """Dots on this storey, moved apart where they would cover each other."""
    placed: list[tuple[Dot, XY]] = []
    for dot in routes.dots:
        if dot.storey_id != storey_id:
            continue
        x0, y0 = frame.at(dot.position)
        spot = (x0, y0)
        for turn in range(1, 400):
            if all(math.hypot(spot[0] - x, spot[1] - y) >= 3.3 for _, (x, y) in placed):
                break
            radius, angle = 1.7 * math.sqrt(turn), 2.4 * turn
            spot = (x0 + radius * math.cos(angle), y0 + radius * math.sin(angle))
        placed.append((dot, spot))
    return placed


def route_rows(routes: RouteSet) -> list[LegendRow]:
    """The legend: which line is which, and what each dot stands for."""
    rows = [heading_row(f"{routes.way_in} to {routes.target.name}, {routes.mode}")]
    for route in routes.routes:
        mark = line((-3.4, 0), (3.4, 0), stroke=INK, stroke_width=0.6, stroke_dasharray=_small(_DASHES[route.kind]))
        rows.append(
            LegendRow(mark, f"{_LETTER[route.kind]}  {route.kind}: {route.length_m:.0f} m, {route.time_s:.0f} s")
        )
    rows.append(LegendRow(_taper(), "thins as the chance of having been noticed grows"))
    rows.append(heading_row("First noticed by"))
    for dot in routes.dots:
        mark = el("circle", cx=0, cy=0, r=1.55, fill=PAPER, stroke=INK, stroke_width=0.25) + letter(
            str(dot.number), 0, 0.62, 1.9, face="semibold", text_anchor="middle"
        )
        times = ", ".join(f"{_LETTER[kind]} {time:.0f} s" for kind, time in dot.times)
        rows.append(LegendRow(mark, f"{dot.device_id}: {times}"))
    if not routes.dots:
        rows.append(LegendRow("", "no device at all"))
    return rows


def _small(dashes: str | None) -> str | None:
    return None if dashes is None else " ".join(f"{float(part) * 0.45:.2f}" for part in dashes.split())


def _taper() -> str:
    return polyline([(-3, -0.8), (3, -0.15), (3, 0.15), (-3, 0.8)], closed=True, fill=QUIET)
