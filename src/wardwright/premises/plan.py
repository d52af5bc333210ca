"""Plan shapes of a storey: wall bodies, holes for openings, rooms, what stands about."""

import math
from dataclasses import dataclass, field

from shapely import LineString, Point, Polygon, unary_union
from shapely.geometry.base import BaseGeometry

from wardwright.errors import GeometryError
from wardwright.model import XY
from wardwright.premises.fabric import Layer, Obstacle, Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import Opening, OpeningKind
from wardwright.worked_out import once

REACH_M = 0.02
"""How far an opening's hole is drawn beyond the faces of its wall, so that no sliver of wall is left. [m]"""


@dataclass(frozen=True)
class OpeningShape:
    """An opening on plan."""

    opening: Opening
    storey_id: str
    centre: XY
    along_rad: float
    """Direction of its wall at the opening. [rad]"""
    depth_m: float
    """Thickness of its wall. [m]"""
    outline: Polygon
    """The hole it makes, through the wall and a little beyond."""

    @property
    def normal(self) -> XY:
        """Unit vector across the wall, 90 degrees anticlockwise from ``along_rad``."""
        return (-math.sin(self.along_rad), math.cos(self.along_rad))


@dataclass(frozen=True)
class StoreyPlan:
    """Everything solid and everything open on one storey."""

    storey: Storey
    walls: tuple[Wall, ...]
    bodies: dict[str, Polygon]
    """Wall body by wall id, openings not cut out."""
    rooms: tuple[Room, ...]
    room_shapes: dict[str, Polygon]
    openings: tuple[OpeningShape, ...]
    obstacles: tuple[Obstacle, ...]
    build_ups: dict[str, tuple[Layer, ...]] = field(default_factory=dict)
    """Layers of walls whose construction is known, outside to inside, by wall id."""

    def layers_of(self, wall: Wall) -> tuple[Layer, ...]:
        """Layers of a wall; none where its construction is not known."""
        return self.build_ups.get(wall.id, ())

    def solid(self, *, open_ids: frozenset[str] = frozenset()) -> BaseGeometry:
        """Wall bodies with the holes of passages and of the openings named cut out.

        Parameters
        ----------
        open_ids : frozenset of str
            Openings that stand open. Passages always do.

        Returns
        -------
        BaseGeometry
            What nobody walks or sees through. Shut doors and all glass are solid: glass is opaque in the far infrared.
        """
        holes = [s.outline for s in self.openings if s.opening.kind is OpeningKind.PASSAGE or s.opening.id in open_ids]
        fabric = unary_union(list(self.bodies.values()))
        return fabric.difference(unary_union(holes)) if holes else fabric

    def room_at(self, point: XY) -> Room | None:
        """The room a point lies in; the smallest where rooms overlap."""
        spot = Point(point)
        inside = [r for r in self.rooms if self.room_shapes[r.id].covers(spot)]
        return min(inside, key=lambda r: self.room_shapes[r.id].area, default=None)


def wall_body(wall: Wall) -> Polygon:
    """Outline of a wall on plan.

    Parameters
    ----------
    wall : Wall
        The wall; its axis may have any number of points.

    Returns
    -------
    Polygon
        The body, ends square. [m]

    Raises
    ------
    GeometryError
        If the axis has no length.
    """
    line = LineString(wall.axis)
    if line.length <= 0.0:
        raise GeometryError("the wall has no length", where=wall.id)
    body = line.buffer(wall.thickness_m / 2, cap_style="flat", join_style="mitre")
    if not isinstance(body, Polygon):
        raise GeometryError("the wall's axis crosses itself", where=wall.id)
    return body


def room_shape(room: Room) -> Polygon:
    """Outline of a room on plan.

    Parameters
    ----------
    room : Room
        The room.

    Returns
    -------
    Polygon
        Its floor. [m]

    Raises
    ------
    GeometryError
        If the outline crosses itself.
    """
    shape = Polygon(room.outline, room.holes)
    if not shape.is_valid:
        raise GeometryError(f"the outline of “{room.name}” crosses itself", where=room.id)
    return shape


def opening_shape(premises: Premises, opening: Opening) -> OpeningShape:
    """Where an opening lies on plan.

    Parameters
    ----------
    premises : Premises
        The building.
    opening : Opening
        One of its openings.

    Returns
    -------
    OpeningShape
        Centre, direction, depth and hole. An opening whose place along its wall is not known is put at the middle of
        the wall; its ``position_assumed`` says so.

    Raises
    ------
    GeometryError
        If the opening reaches beyond the end of its wall.
    """
    place = opening.place
    if place.kind == "slab":
        outline = Polygon(place.outline)
        box = outline.minimum_rotated_rectangle
        (x0, y0), (x1, y1) = list(box.exterior.coords)[:2]
        centre = outline.centroid
        return OpeningShape(
            opening, place.storey_id, (centre.x, centre.y), math.atan2(y1 - y0, x1 - x0), opening.height_m, outline
        )
    if place.kind == "line":
        (x0, y0), (x1, y1) = place.start, place.end
        line = LineString([place.start, place.end])
        hole = line.buffer(0.05 + REACH_M, cap_style="flat")
        return OpeningShape(
            opening,
            place.storey_id,
            ((x0 + x1) / 2, (y0 + y1) / 2),
            math.atan2(y1 - y0, x1 - x0),
            0.1,
            hole if isinstance(hole, Polygon) else Polygon(),
        )
    wall = premises.wall(place.wall_id)
    axis = LineString(wall.axis)
    offset = axis.length / 2 if place.offset_m is None else place.offset_m
    half = opening.width_m / 2
    if offset - half < -0.05 or offset + half > axis.length + 0.05:
        raise GeometryError(
            f"the opening “{opening.name}” ({opening.width_m:.2f} m wide, centred {offset:.2f} m along) reaches "
            f"beyond its wall, which is {axis.length:.2f} m long",
            where=opening.id,
        )
    centre = axis.interpolate(offset)
    before, after = axis.interpolate(max(0.0, offset - half)), axis.interpolate(min(axis.length, offset + half))
    along = math.atan2(after.y - before.y, after.x - before.x)
    cos, sin = math.cos(along), math.sin(along)
    deep = wall.thickness_m / 2 + REACH_M
    corners = [
        (centre.x + a * cos - b * sin, centre.y + a * sin + b * cos)
        for a, b in ((-half, -deep), (half, -deep), (half, deep), (-half, deep))
    ]
    return OpeningShape(opening, wall.storey_id, (centre.x, centre.y), along, wall.thickness_m, Polygon(corners))


@once(8)
def storey_plans(premises: Premises) -> dict[str, StoreyPlan]:
    """Plan shapes of every storey, by storey id. Worked out once for each premises value.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    dict of str to StoreyPlan
        One plan per storey.

    Raises
    ------
    GeometryError
        If a wall, room or opening has an impossible shape.
    """
    shapes = [opening_shape(premises, o) for o in premises.openings]
    made = {c.id: c.layers for c in premises.constructions}
    plans: dict[str, StoreyPlan] = {}
    for storey in premises.storeys:
        walls = tuple(w for w in premises.walls if w.storey_id == storey.id)
        rooms = tuple(r for r in premises.rooms if r.storey_id == storey.id)
        plans[storey.id] = StoreyPlan(
            storey=storey,
            walls=walls,
            bodies={w.id: wall_body(w) for w in walls},
            rooms=rooms,
            room_shapes={r.id: room_shape(r) for r in rooms},
            openings=tuple(s for s in shapes if s.storey_id == storey.id),
            obstacles=tuple(o for o in premises.obstacles if o.storey_id == storey.id),
            build_ups={w.id: made[w.construction_id] for w in walls if w.construction_id in made},
        )
    return plans
