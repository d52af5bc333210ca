"""What may be drilled for a cable, and what a hole takes by the construction it goes through: assumptions."""

from dataclasses import dataclass

from shapely import LineString, Point

from wardwright.model import XY
from wardwright.premises.model import Premises
from wardwright.premises.openings import OpeningKind
from wardwright.premises.plan import StoreyPlan

HOLE_MIN = {"stud": 6.0, "masonry": 15.0, "floor": 20.0, "ceiling": 10.0, "none": 0.0}
"""One hole, made good. Assumption. [min]"""
LEAST_M = 0.01
"""Less of a wall on the line is a sliver of the drawing. [m]"""
MASONRY = ("brick", "block", "concrete", "stone")
THIN_M = 0.15
"""An inside wall no thicker than this is taken for studs where nobody said. Assumption. [m]"""
ONLY_ABOVE, ONLY_BELOW = "finished ceiling", "slab"


@dataclass(frozen=True)
class Hole:
    """One hole to be drilled and made good."""

    kind: str
    """A key of :data:`HOLE_MIN`."""
    storey_id: str
    x: float
    y: float

    @property
    def minutes(self) -> float:
        """To drill it. [min]"""
        return HOLE_MIN[self.kind]


def forbidden(premises: Premises) -> tuple[set[str], set[str], set[str]]:
    """What the survey says may not be drilled.

    Parameters
    ----------
    premises : Premises
        The building with its marks.

    Returns
    -------
    tuple of set of str
        Walls, and rooms in whose walls nothing is drilled; rooms whose ceiling is not; rooms whose floor is not.
    """
    walls: set[str] = set()
    up: set[str] = set()
    down: set[str] = set()
    for mark in premises.no_drilling:
        if mark.reason == ONLY_ABOVE:
            up.update(mark.room_ids)
        elif mark.reason == ONLY_BELOW:
            down.update(mark.room_ids)
        else:
            walls.update(mark.wall_ids, mark.room_ids)
            up.update(mark.room_ids)
            down.update(mark.room_ids)
    return walls, up, down


def wall_between(plan: StoreyPlan, a: XY, b: XY) -> tuple[str, str]:
    """What is drilled between two places.

    Parameters
    ----------
    plan : StoreyPlan
        The storey.
    a, b : (float, float)
        On either side. [m]

    Returns
    -------
    kind : str
        A key of :data:`HOLE_MIN`.
    wall_id : str
        The wall; empty where none lies between, or an open way does.
    """
    line = LineString([a, b])
    # rooms drawn to the middle of their walls touch there: then the wall is the one they touch in
    spot = line.centroid if line.length > 0.0 else Point(a)
    if any(s.opening.kind is OpeningKind.PASSAGE and s.outline.covers(spot) for s in plan.openings):
        return "none", ""
    met = [
        (not w.outside, plan.bodies[w.id].intersection(line).length, w)
        for w in plan.walls
        if plan.bodies[w.id].covers(spot) or plan.bodies[w.id].intersection(line).length >= LEAST_M
    ]
    if not met:
        return "none", ""
    wall = max(met, key=lambda item: item[:2])[2]
    layers = plan.layers_of(wall)
    if layers:
        solid = any(layer.material in MASONRY for layer in layers)
    else:
        solid = wall.thickness_m > THIN_M or bool(wall.outside) or wall.party
    return ("masonry" if solid else "stud"), wall.id
