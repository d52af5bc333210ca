"""The building on a drawing: walls, openings, rooms, stairs, what stands about, what gives heat."""

import math
from itertools import pairwise

from shapely import LineString, Polygon, maximum_inscribed_circle, unary_union
from shapely.geometry.base import BaseGeometry

from wardwright.documents.frame import Box, Frame
from wardwright.documents.ink import INK, PAPER, QUIET
from wardwright.documents.lettering import Face, letter, text_width, wrap
from wardwright.documents.svg import area, el, group, line, path_of, polyline
from wardwright.model import XY
from wardwright.premises.fabric import RoomUse, Stair
from wardwright.premises.life import HeatSource
from wardwright.premises.openings import Leaf, LeafRole, Movement, OpeningKind
from wardwright.premises.plan import OpeningShape, StoreyPlan
from wardwright.units import FOOT_M

THIN = 0.13
EDGE = 0.2
_PASSED_THROUGH = (RoomUse.HALL, RoomUse.LANDING, RoomUse.STAIR, RoomUse.PORCH)
_SLIDES = (Movement.SLIDING, Movement.LIFT_AND_SLIDE, Movement.POCKET)
_STILL = (Movement.FIXED, Movement.LOUVRE)


def wall_layer(plan: StoreyPlan, frame: Frame) -> str:
    """Walls solid, openings cut out of them; walls put up by guess in a quieter ink."""
    holes = unary_union([s.outline for s in plan.openings if s.opening.place.kind != "slab"])
    known = unary_union([plan.bodies[w.id] for w in plan.walls if not w.assumed])
    guessed = unary_union([plan.bodies[w.id] for w in plan.walls if w.assumed]).difference(known)
    return group(
        area(frame.shape(guessed.difference(holes)), fill=QUIET),
        area(frame.shape(known.difference(holes)), fill=INK),
        class_="walls",
    )


def outline_layer(plan: StoreyPlan, frame: Frame) -> str:
    """Outlines of rooms that no wall surrounds: open boundaries, balconies, surveys without walls."""
    walls = unary_union(list(plan.bodies.values())).buffer(0.05)
    marks = []
    for shape in plan.room_shapes.values():
        for piece in lines_of(frame.shape(shape.boundary.difference(walls))):
            marks.append(polyline(list(piece.coords), stroke=QUIET, stroke_width=THIN, stroke_dasharray="0.6 0.9"))
    return group(*marks, class_="room-outlines")


def lines_of(shape: BaseGeometry) -> list[LineString]:
    """The lines of a geometry, whatever it is made of."""
    if isinstance(shape, LineString):
        return [] if shape.is_empty else [shape]
    return [part for piece in getattr(shape, "geoms", ()) for part in lines_of(piece)]


def opening_layer(plan: StoreyPlan, frame: Frame) -> str:
    """Doors with their swing, windows, sliding leaves, passages, hatches; each a group with its id."""
    return group(
        *(
            group(*_opening_marks(shape, plan, frame), data_id=shape.opening.id, class_="opening")
            for shape in plan.openings
        ),
        class_="openings",
        fill="none",
        stroke=INK,
        stroke_width=EDGE,
    )


def _opening_marks(shape: OpeningShape, plan: StoreyPlan, frame: Frame) -> list[str]:
    opening = shape.opening
    if opening.place.kind == "slab":
        corners = list(shape.outline.exterior.coords)[:-1]
        on_paper = [frame.at((x, y)) for x, y in corners]
        dashes = "1.2 0.8"
        crossed = [
            line(on_paper[0], on_paper[2], stroke_dasharray=dashes, stroke_width=THIN),
            line(on_paper[1], on_paper[3], stroke_dasharray=dashes, stroke_width=THIN),
        ]
        return [
            polyline(on_paper, closed=True, stroke_dasharray=dashes),
            *(crossed if len(on_paper) == 4 and opening.kind is not OpeningKind.ROOFLIGHT else []),
        ]
    half, deep = opening.width_m / 2, shape.depth_m / 2
    jambs = [line(_spot(shape, frame, side * half, -deep), _spot(shape, frame, side * half, deep)) for side in (-1, 1)]
    if opening.kind is OpeningKind.PASSAGE:
        return [
            line(
                _spot(shape, frame, -half, across),
                _spot(shape, frame, half, across),
                stroke_width=THIN,
                stroke_dasharray="1.2 0.8",
            )
            for across in ((-deep, deep) if deep > 0.06 else (0.0,))
        ]
    if opening.kind in (OpeningKind.DOOR, OpeningKind.BULKHEAD):
        return [*jambs, *_leaf_marks(shape, plan, frame)]
    if opening.kind is OpeningKind.GARAGE_DOOR:
        inner = _inner_side(shape, plan)
        reach = deep + min(opening.height_m, 2.2) * 0.5
        ring = [(-half, deep * inner), (half, deep * inner), (half, reach * inner), (-half, reach * inner)]
        return [
            *jambs,
            line(_spot(shape, frame, -half, 0.0), _spot(shape, frame, half, 0.0)),
            polyline(
                [_spot(shape, frame, a, b) for a, b in ring],
                closed=True,
                stroke_width=THIN,
                stroke_dasharray="1.2 0.8",
            ),
        ]
    pane = [line(_spot(shape, frame, -half, 0.0), _spot(shape, frame, half, 0.0), stroke_width=THIN)]
    faces = [
        line(_spot(shape, frame, -half, b), _spot(shape, frame, half, b), stroke_width=THIN) for b in (-deep, deep)
    ]
    return [*jambs, *faces, *pane]


def _spot(shape: OpeningShape, frame: Frame, along: float, across: float) -> XY:
    """A place on paper, from the opening's middle: metres along its wall and across it."""
    ax, ay = math.cos(shape.along_rad), math.sin(shape.along_rad)
    nx, ny = shape.normal
    return frame.at((shape.centre[0] + along * ax + across * nx, shape.centre[1] + along * ay + across * ny))


def _inner_side(shape: OpeningShape, plan: StoreyPlan) -> int:
    """The side a leaf is drawn swinging to: indoors, and out of passages into the room it serves; +1 or -1."""
    reach = shape.depth_m / 2 + 0.25
    rooms = {
        side: plan.room_at(
            (shape.centre[0] + side * reach * shape.normal[0], shape.centre[1] + side * reach * shape.normal[1])
        )
        for side in (1, -1)
    }

    def served(side: int) -> tuple[bool, bool, float]:
        room = rooms[side]
        if room is None or not room.indoors:
            return (True, True, math.inf)
        return (False, room.use in _PASSED_THROUGH, plan.room_shapes[room.id].area)

    return min((1, -1), key=served)


def _leaf_marks(shape: OpeningShape, plan: StoreyPlan, frame: Frame) -> list[str]:
    opening, inner = shape.opening, _inner_side(shape, plan)
    leaves = [leaf for leaf in opening.leaves if leaf.role is not LeafRole.TRANSOM] or [Leaf(id="leaf")]
    widths = [leaf.width_m or opening.width_m / len(leaves) for leaf in leaves]
    total = sum(widths)
    marks, start, deep = [], -opening.width_m / 2, shape.depth_m / 2
    for number, (leaf, own) in enumerate(zip(leaves, widths, strict=True)):
        width = own / total * opening.width_m
        end = start + width
        if leaf.role in (LeafRole.FIXED, LeafRole.SIDELIGHT) or leaf.movement in _STILL:
            for across in (-0.03, 0.03):
                marks.append(
                    line(_spot(shape, frame, start, across), _spot(shape, frame, end, across), stroke_width=THIN)
                )
        elif leaf.movement in _SLIDES:
            across = 0.03 if number % 2 else -0.03
            over = min(0.08, width * 0.1)
            marks.append(
                line(
                    _spot(shape, frame, start - (over if number else 0), across),
                    _spot(shape, frame, end + (over if number == 0 and len(leaves) > 1 else 0), across),
                    stroke_width=0.35,
                )
            )
        elif leaf.movement is Movement.FOLDING:
            steps = [start + width * i / 4 for i in range(5)]
            zigzag = [_spot(shape, frame, a, inner * (0.0 if i % 2 == 0 else width / 4)) for i, a in enumerate(steps)]
            marks.append(polyline(zigzag, stroke_width=0.3))
        else:
            hinge, free = (start, end) if number < max(1, len(leaves) / 2) else (end, start)
            marks += _swing(shape, frame, hinge=hinge, free=free, face=inner * deep, side=inner)
        start = end
    return marks


def _swing(shape: OpeningShape, frame: Frame, *, hinge: float, free: float, face: float, side: int) -> list[str]:
    width = abs(free - hinge)
    pivot = _spot(shape, frame, hinge, face)
    closed = _spot(shape, frame, free, face)
    opened = _spot(shape, frame, hinge, face + side * width)
    radius = width * frame.mm_per_m
    turn = (closed[0] - pivot[0]) * (opened[1] - pivot[1]) - (closed[1] - pivot[1]) * (opened[0] - pivot[0])
    arc = f"{path_of([closed])}A{radius:.3f} {radius:.3f} 0 0 {1 if turn > 0 else 0} {opened[0]:.3f} {opened[1]:.3f}"
    return [line(pivot, opened, stroke_width=0.3), el("path", d=arc, stroke_width=THIN)]


def obstacle_layer(plan: StoreyPlan, frame: Frame) -> str:
    """What stands in the way, in thin outline."""
    return group(
        *(
            area(
                frame.shape(Polygon(o.outline)),
                fill="none",
                stroke=QUIET,
                stroke_width=THIN,
                data_id=o.id,
            )
            for o in plan.obstacles
        ),
        class_="obstacles",
    )


def heat_layer(sources: tuple[HeatSource, ...], plan: StoreyPlan, frame: Frame) -> str:
    """What gives heat or blows: a thin ring with its kind beside it."""
    marks = []
    for source in sources:
        if source.storey_id != plan.storey.id:
            continue
        x, y = frame.at(source.position)
        radius = min(3.0, max(0.8, source.size_m / 2 * frame.mm_per_m))
        marks.append(el("circle", cx=x, cy=y, r=radius, fill="none", stroke=QUIET, stroke_width=THIN))
        marks.append(el("circle", cx=x, cy=y, r=radius * 0.5, fill="none", stroke=QUIET, stroke_width=THIN))
        marks.append(letter(source.kind, x, y + radius + 1.9, 1.7, fill=QUIET, text_anchor="middle", halo=PAPER))
    return group(*marks, class_="heat")


def stair_layer(stairs: tuple[Stair, ...], plan: StoreyPlan, frame: Frame) -> str:
    """Stairs that start or end on this storey: treads, and an arrow that says up or down."""
    marks: list[str] = []
    for stair in stairs:
        if plan.storey.id not in (stair.lower_storey_id, stair.upper_storey_id):
            continue
        up = plan.storey.id == stair.lower_storey_id
        start, end = (stair.foot, stair.head) if up else (stair.head, stair.foot)
        run = math.hypot(end[0] - start[0], end[1] - start[1])
        if run < 0.3:
            continue
        ux, uy = (end[0] - start[0]) / run, (end[1] - start[1]) / run
        body = stair_body(stair)
        treads = max(3, round(run / 0.27))
        for i in range(treads + 1):
            x, y = start[0] + ux * run * i / treads, start[1] + uy * run * i / treads
            across = LineString([(x - 3 * uy, y + 3 * ux), (x + 3 * uy, y - 3 * ux)]).intersection(body)
            for piece in lines_of(frame.shape(across)):
                marks.append(polyline(list(piece.coords), stroke=QUIET, stroke_width=THIN))
        marks.append(area(frame.shape(body), fill="none", stroke=QUIET, stroke_width=THIN))
        a, b = frame.at(start), frame.at(end)
        marks += [line(a, b, stroke=INK, stroke_width=THIN), *_arrow_head(a, b)]
        marks.append(
            letter("up" if up else "down", a[0], a[1] + 2.4, 1.9, face="italic", text_anchor="middle", halo=PAPER)
        )
    return group(*marks, class_="stairs")


def stair_body(stair: Stair) -> BaseGeometry:
    """Outline of a stair on plan; a straight flight of its width where none was surveyed. [m]"""
    if len(stair.outline) >= 3:
        return Polygon(stair.outline).buffer(0)
    return LineString([stair.foot, stair.head]).buffer(stair.width_m / 2, cap_style="flat")


def _arrow_head(start: XY, end: XY, size: float = 1.3) -> list[str]:
    angle = math.atan2(end[1] - start[1], end[0] - start[0])
    wings = [(end[0] - size * math.cos(angle + off), end[1] - size * math.sin(angle + off)) for off in (0.45, -0.45)]
    return [polyline([wings[0], end, wings[1]], stroke=INK, stroke_width=THIN)]


def room_labels(plan: StoreyPlan, frame: Frame, *, stairs: tuple[Stair, ...], american: bool) -> tuple[str, list[Box]]:
    """Names and areas of rooms where there is most room for them, and the boxes they take."""
    marks, boxes = [], []
    solid = plan.solid()
    busy = unary_union(
        [stair_body(s) for s in stairs if plan.storey.id in (s.lower_storey_id, s.upper_storey_id)]
        + [Polygon(o.outline) for o in plan.obstacles]
    )
    for room in plan.rooms:
        whole = plan.room_shapes[room.id].difference(solid)
        shape = frame.shape(whole.difference(busy.buffer(0.05)))
        spot = _roomiest(shape)
        if spot is None:
            shape = frame.shape(whole)
            spot = _roomiest(shape)
        if spot is None:
            continue
        floor = plan.room_shapes[room.id].area
        size_words = f"{floor / FOOT_M**2:.0f} sq ft" if american else f"{floor:.1f} m²"
        label = _fitted_label(room.name, size_words, spot, shape)
        marks.append(label[0])
        boxes.append(label[1])
    return group(*marks, class_="room-names"), boxes


def _roomiest(shape: BaseGeometry) -> XY | None:
    parts = [p for p in getattr(shape, "geoms", (shape,)) if isinstance(p, Polygon) and p.area > 1.0]
    if not parts:
        return None
    largest = max(parts, key=lambda p: p.area)
    radius = maximum_inscribed_circle(largest, tolerance=0.5)
    x, y = radius.coords[0][:2]
    return (x, y)


def _fitted_label(name: str, floor: str, spot: XY, shape: BaseGeometry) -> tuple[str, Box]:
    tries: list[tuple[float, float, bool]] = [
        (2.7, 60.0, True),
        (2.7, 18.0, True),
        (2.2, 14.0, True),
        (1.9, 11.0, False),
    ]
    for size, room, with_area in tries:
        lines = wrap(name, room, size, "semibold")
        faces: list[tuple[str, Face, float]] = [(text, "semibold", size) for text in lines]
        if with_area:
            faces.append((floor, "regular", size * 0.82))
        width = max(text_width(text, s, face) for text, face, s in faces)
        height = sum(s * 1.25 for _, _, s in faces)
        box = Box(spot[0] - width / 2, spot[1] - height / 2, width, height)
        corners = Polygon([(box.x, box.y), (box.right, box.y), (box.right, box.bottom), (box.x, box.bottom)])
        if shape.covers(corners) or (size, room, with_area) == tries[-1]:
            break
    marks, y = [], box.y
    for text, face, s in faces:
        y += s * 1.25
        marks.append(
            letter(
                text,
                spot[0],
                y - s * 0.35,
                s,
                face=face,
                halo=PAPER,
                text_anchor="middle",
                fill=INK if face == "semibold" else QUIET,
            )
        )
    return "".join(marks), box


def ends_of_walls(plan: StoreyPlan) -> list[tuple[XY, XY]]:
    """Straight pieces of every wall's axis. [m]"""
    return [(a, b) for wall in plan.walls for a, b in pairwise(wall.axis)]
