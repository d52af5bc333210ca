"""Which openings an intruder can get at: computed from sills, ground, roofs and what can be climbed.

Three published ways of deciding it and one assumption of our own, each a :class:`ReachRules`. The rules judge a place,
not a person: an opening that can be reached may still be too small for a body, which ``man_size`` says.

Limits: a surface is level, so a pitched roof counts at the level it is drawn at (its eaves); a surface above the head
of an opening is not counted as a way down to it; a pole, a rope or a ladder brought along is outside every rule here.
"""

import math
from dataclasses import dataclass, replace

from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.model import XY
from wardwright.premises.fabric import Standing
from wardwright.premises.model import Premises
from wardwright.premises.openings import NEIGHBOUR, OUTSIDE, Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, StoreyPlan, storey_plans
from wardwright.units import FOOT_M, INCH_M

SIDEWAYS_M = 1.0
"""A surface this near, on plan, serves an opening: an arm and a lean. Assumption, no source. [m]"""
APPROXIMATE_M = 0.10
"""Uncertainty of a sill in an approximate survey: nearer the limit than this is not decided. Assumption. [m]"""
GROUND = "ground"


@dataclass(frozen=True)
class Limit:
    """One distance of a rule, with the row it is known by."""

    value_m: float
    row: str
    citation: str
    inclusive: bool = True
    """The limit itself still counts as within."""

    def holds(self, value_m: float) -> bool:
        """True when the value lies within the limit; a hundredth of a millimetre is rounding, not distance."""
        return value_m <= self.value_m + 1e-5 if self.inclusive else value_m < self.value_m - 1e-5


@dataclass(frozen=True)
class ReachRules:
    """How one body of rules decides what can be reached."""

    name: str
    above_ground: Limit
    """Lower edge of the opening above the ground."""
    above_surface: Limit
    """Lower edge of the opening above a roof or another surface one can stand on."""
    surface_width_m: float
    """A surface narrower than this does not count as a surface. [m]"""
    roof_above_ground: Limit | None
    """A roof higher than this above the ground does not count. None: every roof counts."""
    any_roof: bool
    """True: a roof counts however one gets there. False: only one that can be got onto."""
    across: Limit | None = None
    """To a fire stair, roof or window of other premises opposite."""
    beside: Limit | None = None
    """To an opening or stair of other premises in the same or the adjacent wall."""
    from_opening: Limit | None = None
    """From an opening that can itself be reached, in an adjacent or the opposite wall, within the fans of the rule."""
    man_size_m2: float = 96 * INCH_M**2
    man_size_sure_m: float = 6 * INCH_M
    man_size_least_m: float = 4 * INCH_M
    man_size_row: str = "US-ACC-09"
    man_size_citation: str = "UL681-2014, from memory: 96 square inches; least side 4 or 6 in, unclear"
    """An opening of at least this area lets a person through; its least side is 4 or 6 in, which is not known."""


_ULC = "ULC-EXTENTS-2006; UL681-2014 from memory"
_HOME = "UL1641-2015 cl. 18.1"
_OWN = "assumption, no source"
_Q = "ADQ-2015, easily accessible"

RESIDENTIAL_US = ReachRules(
    name="homes, United States",
    above_ground=Limit(12 * FOOT_M, "US-ACC-04", _HOME),
    above_surface=Limit(12 * FOOT_M, "US-ACC-04", _HOME),
    surface_width_m=4 * FOOT_M,
    roof_above_ground=None,
    any_roof=True,
    from_opening=Limit(12 * FOOT_M, "US-ACC-05", "UL1641-2015 cl. 18.2"),
)
COMMERCIAL_US = ReachRules(
    name="businesses, United States",
    above_ground=Limit(18 * FOOT_M, "US-ACC-01", _ULC, inclusive=False),
    above_surface=Limit(18 * FOOT_M, "US-ACC-01", _ULC, inclusive=False),
    surface_width_m=0.0,
    roof_above_ground=None,
    any_roof=True,
    across=Limit(14 * FOOT_M, "US-ACC-02", _ULC, inclusive=False),
    beside=Limit(3 * FOOT_M, "US-ACC-03", _ULC, inclusive=False),
)
EUROPE = ReachRules(
    name="Europe, our own default",
    above_ground=Limit(3.0, "EU-ACC-01", _OWN),
    above_surface=Limit(3.0, "EU-ACC-02", _OWN),
    surface_width_m=0.0,
    roof_above_ground=None,
    any_roof=False,
)
ENGLAND = ReachRules(
    name="dwellings, England",
    above_ground=Limit(2.0, "UK-ACC-01", _Q),
    above_surface=Limit(2.0, "UK-ACC-02", _Q),
    surface_width_m=0.0,
    roof_above_ground=Limit(3.5, "UK-ACC-02", _Q),
    any_roof=True,
)


@dataclass(frozen=True)
class Reach:
    """Whether one opening can be reached, from where, and by which rule."""

    opening_id: str
    reachable: bool | None
    """None: not decided; ``explanation`` says what to measure."""
    man_size: bool | None
    """A person's body fits through the whole opening. None: not decided."""
    surface_id: str | None
    """``ground``, a surface's id or another opening's id: what it is reached from, or comes nearest to be."""
    rise_m: float | None
    """Lower edge of the opening above that surface. [m]"""
    distance_m: float | None
    """On plan to that surface, or straight to that opening. [m]"""
    limit_m: float | None
    row: str
    citation: str
    explanation: str


@dataclass(frozen=True)
class _Surface:
    id: str
    name: str
    level_m: float
    outline: Polygon | None
    """None: everywhere."""
    kind: str
    width_m: float
    open_to_all: bool
    """Ground, or something climbed onto without a ladder."""


@dataclass(frozen=True)
class _Hole:
    """An opening as seen from outside."""

    opening: Opening
    storey_id: str
    sill_m: float
    head_m: float
    line: BaseGeometry
    """Outer edge on plan where the place is known; the whole wall where it is not."""
    outward: XY | None
    """Unit normal pointing out of doors. None for a rooflight or hatch, or where it could not be told."""
    placed: bool


def reach(premises: Premises, rules: ReachRules) -> dict[str, Reach]:
    """Which openings to the outside an intruder can get at.

    Parameters
    ----------
    premises : Premises
        The building with its ground, roofs and whatever else can be stood on.
    rules : ReachRules
        Whose distances apply.

    Returns
    -------
    dict of str to Reach
        One for every opening that leads outside or to other premises, and for every opening of which that is not
        known; openings between two rooms are not listed.
    """
    plans = storey_plans(premises)
    holes = {
        s.opening.id: _hole(premises, plan, s)
        for plan in plans.values()
        for s in plan.openings
        if s.opening.is_outside or None in s.opening.sides
    }
    surfaces = _surfaces(premises, rules)
    found = {key: _from_surfaces(premises, hole, surfaces, rules) for key, hole in holes.items()}
    if rules.across is not None or rules.beside is not None:
        for key, hole in holes.items():
            if not found[key].reachable:
                found[key] = _from_other_premises(hole, holes, surfaces, rules) or found[key]
    if rules.from_opening is not None:
        _spread(holes, found, rules.from_opening)
    return {key: _with_size(result, holes[key].opening, rules) for key, result in found.items()}


def _hole(premises: Premises, plan: StoreyPlan, shape: OpeningShape) -> _Hole:
    opening, place = shape.opening, shape.opening.place
    base = plan.storey.elevation_m + opening.sill_m
    if place.kind == "slab":
        return _Hole(opening, plan.storey.id, base, base, shape.outline, None, True)
    (nx, ny), deep = shape.normal, shape.depth_m / 2
    x, y = shape.centre
    rooms = [plan.room_at((x + side * nx * (deep + 0.15), y + side * ny * (deep + 0.15))) for side in (1.0, -1.0)]
    outward = None
    if (rooms[0] is None) != (rooms[1] is None):
        outward = (nx, ny) if rooms[0] is None else (-nx, -ny)
    placed = not opening.position_assumed and not (place.kind == "wall" and place.offset_m is None)
    ax, ay, half = math.cos(shape.along_rad), math.sin(shape.along_rad), opening.width_m / 2
    ox, oy = (outward[0] * deep, outward[1] * deep) if outward else (0.0, 0.0)
    line: BaseGeometry = LineString(
        [(x + ox - ax * half, y + oy - ay * half), (x + ox + ax * half, y + oy + ay * half)]
    )
    if not placed and place.kind == "wall":
        line = LineString(premises.wall(place.wall_id).axis)
    return _Hole(opening, plan.storey.id, base, base + opening.height_m, line, outward, placed)


def _surfaces(premises: Premises, rules: ReachRules) -> list[_Surface]:
    """Ground and every drawn surface, marked with whether anybody gets onto it."""
    drawn = [_surface(s) for s in premises.standings]
    ground = _Surface(GROUND, "the ground", premises.surroundings.ground_m, None, GROUND, math.inf, True)
    waiting = [s for s in drawn if not s.open_to_all]
    reached = [ground, *(s for s in drawn if s.open_to_all)]
    moved = True
    while moved:
        moved = False
        for surface in list(waiting):
            if any(_steps_onto(lower, surface, rules) for lower in reached):
                reached.append(replace(surface, open_to_all=True))
                waiting.remove(surface)
                moved = True
    return reached + waiting


def _surface(standing: Standing) -> _Surface:
    outline = Polygon(standing.outline)
    x, y = outline.minimum_rotated_rectangle.exterior.coords.xy
    sides = [math.hypot(x[i + 1] - x[i], y[i + 1] - y[i]) for i in (0, 1)]
    return _Surface(
        standing.id,
        f"“{standing.name}”",
        standing.level_m,
        outline,
        standing.kind,
        min(sides),
        standing.climbable or standing.kind == GROUND,
    )


def _steps_onto(lower: _Surface, upper: _Surface, rules: ReachRules) -> bool:
    limit = rules.above_ground if lower.kind == GROUND else rules.above_surface
    near = lower.outline is None or upper.outline is None or lower.outline.distance(upper.outline) <= SIDEWAYS_M
    return near and limit.holds(upper.level_m - lower.level_m)


def _counts(surface: _Surface, rules: ReachRules, ground_m: float) -> bool:
    if surface.kind == GROUND:
        return True
    is_roof = surface.kind in ("roof", "neighbouring roof")
    if is_roof and rules.roof_above_ground is not None:
        return rules.roof_above_ground.holds(surface.level_m - ground_m)
    return surface.open_to_all or (is_roof and rules.any_roof)


def _from_surfaces(premises: Premises, hole: _Hole, surfaces: list[_Surface], rules: ReachRules) -> Reach:
    opening = hole.opening
    if not opening.is_outside:
        return _undecided(opening, "it is not known whether this opening leads outside; look at both its sides")
    if NEIGHBOUR in opening.sides and OUTSIDE not in opening.sides:
        said = "leads into other premises and can be got at from there"
        return Reach(opening.id, True, None, NEIGHBOUR, None, 0.0, None, "", "by where it leads", f"It {said}.")
    ground_m = premises.surroundings.ground_m
    own_ground = [s for s in surfaces if s.kind == GROUND and s.outline is not None and _distances(hole, s)[0] <= 0.5]
    results: list[tuple[tuple[int, bool, float], Reach]] = []
    for surface in surfaces:
        if (surface.id == GROUND and own_ground) or not _counts(surface, rules, ground_m):
            continue
        near, far = _distances(hole, surface)
        if near > SIDEWAYS_M:
            continue
        if surface.kind != GROUND and surface.level_m > max(hole.head_m, hole.sill_m + 0.01):
            continue
        limit = rules.above_ground if surface.kind == GROUND else rules.above_surface
        rise = hole.sill_m - surface.level_m
        held: bool | None = limit.holds(rise)
        doubts = []
        if premises.survey == "approximate" and abs(rise - limit.value_m) < APPROXIMATE_M:
            doubts.append("The survey is approximate: measure this sill.")
        if held and far > SIDEWAYS_M:
            doubts.append(
                f"Its place along the wall is not known, and the wall reaches {far:.1f} m from there: measure it."
            )
        if held and surface.width_m < rules.surface_width_m:
            doubts.append(
                f"That surface is {surface.width_m:.2f} m wide, less than the {rules.surface_width_m:.2f} m the rule "
                "wants; whether it serves as a ledge is for the surveyor to judge."
            )
        held = None if doubts else held
        text = " ".join([_sentence(surface, rise, limit, held), *doubts])
        # Sure before unsure before no; from the ground before from anything else; then the least climb.
        order = ({True: 0, None: 1, False: 2}[held], bool(held) and surface.kind != GROUND, rise - limit.value_m)
        row = Reach(opening.id, held, None, surface.id, rise, near, limit.value_m, limit.row, limit.citation, text)
        results.append((order, row))
    if not results:
        return Reach(opening.id, False, None, None, None, None, None, "", "", "No surface lies beside or below it.")
    return min(results, key=lambda r: r[0])[1]


def _sentence(surface: _Surface, rise: float, limit: Limit, held: bool | None) -> str:
    edge = f"Its lower edge is {rise:.2f} m above {surface.name}"
    if rise <= 0.0:
        edge = f"Its lower edge is no higher than {surface.name}"
    takes = f"the rule takes {'at most' if limit.inclusive else 'less than'} {limit.value_m:.2f} m"
    verdict = {True: "within reach", None: "not decided", False: "out of reach"}[held]
    return f"{edge}, and {takes}: {verdict}."


def _undecided(opening: Opening, why: str) -> Reach:
    return Reach(opening.id, None, None, None, None, None, None, "", "", f"Not decided: {why}.")


def _distances(hole: _Hole, surface: _Surface) -> tuple[float, float]:
    """Nearest and farthest the opening can lie from a surface, on plan. [m]"""
    if surface.outline is None:
        return 0.0, 0.0
    near = float(surface.outline.distance(hole.line))
    if hole.placed:
        return near, near
    return near, max(float(surface.outline.distance(Point(p))) for p in hole.line.coords)


def _gap(a: _Hole, b: _Hole) -> float:
    """Straight distance between the nearest edges of two openings. [m]"""
    up = max(a.sill_m - b.head_m, b.sill_m - a.head_m, 0.0)
    return math.hypot(float(a.line.distance(b.line)), up)


def _from_other_premises(
    hole: _Hole, holes: dict[str, _Hole], surfaces: list[_Surface], rules: ReachRules
) -> Reach | None:
    """The commercial rule on what stands opposite or beside and belongs to somebody else."""
    opening = hole.opening
    if rules.across is not None and hole.outward is not None:
        for surface in surfaces:
            if surface.kind not in ("fire stair", "neighbouring roof") or surface.outline is None:
                continue
            up = (
                0.0
                if hole.sill_m <= surface.level_m <= hole.head_m
                else min(abs(hole.sill_m - surface.level_m), abs(hole.head_m - surface.level_m))
            )
            gap = math.hypot(float(surface.outline.distance(hole.line)), up)
            if rules.across.holds(gap) and _faces(hole, surface.outline.centroid):
                return _near(opening, surface.id, surface.name, gap, rules.across, "opposite")
    for other in holes.values():
        if other.opening.id == opening.id or NEIGHBOUR not in other.opening.sides:
            continue
        gap, name = _gap(hole, other), f"“{other.opening.name}” of other premises"
        angle = _between(hole, other)
        if rules.beside is not None and angle is not None and angle <= math.radians(100) and rules.beside.holds(gap):
            return _near(opening, other.opening.id, name, gap, rules.beside, "beside it")
        facing = _faces(hole, other.line.centroid)
        opposite = angle is not None and angle > math.radians(100) and facing
        if rules.across is not None and opposite and rules.across.holds(gap):
            return _near(opening, other.opening.id, name, gap, rules.across, "opposite")
    return None


def _near(opening: Opening, key: str, name: str, gap: float, limit: Limit, where: str) -> Reach:
    text = f"It lies {gap:.2f} m from {name} {where}; within reach: the rule takes less than {limit.value_m:.2f} m."
    return Reach(opening.id, True, None, key, None, gap, limit.value_m, limit.row, limit.citation, text)


def _faces(hole: _Hole, point: Point) -> bool:
    if hole.outward is None:
        return False
    centre = hole.line.centroid
    return bool((point.x - centre.x) * hole.outward[0] + (point.y - centre.y) * hole.outward[1] > 0.0)


def _between(a: _Hole, b: _Hole) -> float | None:
    """Angle between the outward normals. [rad]"""
    if a.outward is None or b.outward is None:
        return None
    dot = a.outward[0] * b.outward[0] + a.outward[1] * b.outward[1]
    return math.acos(max(-1.0, min(1.0, dot)))


def _spread(holes: dict[str, _Hole], found: dict[str, Reach], limit: Limit) -> None:
    """Carry reach from opening to opening by the residential rule until nothing changes."""
    for wanted in (True, None):
        moved = True
        while moved:
            moved = False
            for key, hole in holes.items():
                if found[key].reachable or (wanted is None and found[key].reachable is None):
                    continue
                for other_key, other in holes.items():
                    if other_key == key or found[other_key].reachable is not wanted:
                        continue
                    step = _fan(other, hole, limit)
                    if step is not None:
                        found[key] = _carried(hole, other, step, limit, wanted)
                        moved = True
                        break


def _carried(hole: _Hole, other: _Hole, step: tuple[float, str, str], limit: Limit, sure: bool | None) -> Reach:
    gap, row, clause = step
    sure = sure if hole.placed and other.placed else None
    text = (
        f"It lies {gap:.2f} m from “{other.opening.name}”, which "
        + ("can be reached" if sure else "may be within reach")
        + f"; the rule takes at most {limit.value_m:.2f} m within its angle."
    )
    if not (hole.placed and other.placed):
        text += " The place along the wall is not known: measure it."
    return Reach(
        hole.opening.id, sure, None, other.opening.id, None, gap, limit.value_m, row, f"UL1641-2015 {clause}", text
    )


def _fan(reached: _Hole, wanted: _Hole, limit: Limit) -> tuple[float, str, str] | None:
    """Distance, row and clause by which one opening is reached from another, or None. [m]"""
    angle = _between(reached, wanted)
    if angle is None or reached.outward is None or wanted.outward is None:
        return None
    same_floor = reached.storey_id == wanted.storey_id
    if math.radians(60) <= angle <= math.radians(120):
        gap = _line_at_45(reached, wanted) if same_floor else None
        return (gap, "US-ACC-05", "cl. 18.2 a") if gap is not None and limit.holds(gap) else None
    gap = _gap(reached, wanted)
    if angle < math.radians(150) or not limit.holds(gap):
        return None
    a, b = reached.line.centroid, wanted.line.centroid
    ahead = (b.x - a.x) * reached.outward[0] + (b.y - a.y) * reached.outward[1]
    if ahead <= 0.0:
        return None
    aside = math.sqrt(max(0.0, (b.x - a.x) ** 2 + (b.y - a.y) ** 2 - ahead**2))
    if same_floor:
        return (gap, "US-ACC-06", "cl. 18.2 b") if math.atan2(aside, ahead) <= math.radians(45) else None
    up = (wanted.sill_m + wanted.head_m - reached.sill_m - reached.head_m) / 2
    within = math.atan2(math.hypot(aside, up), ahead) <= math.radians(75)
    return (gap, "US-ACC-07", "cl. 18.2 c") if within else None


def _line_at_45(a: _Hole, b: _Hole) -> float | None:
    """Shortest line that joins two openings round an inner corner at equal angles to both walls, if there is one. [m]

    With walls at right angles those are the 45 degrees of the rule.
    """
    assert a.outward is not None
    assert b.outward is not None
    dx, dy = a.outward[0] - b.outward[0], a.outward[1] - b.outward[1]
    size = math.hypot(dx, dy)
    dx, dy = dx / size, dy / size

    def spread(hole: _Hole) -> list[tuple[float, float]]:
        ends = [(-x * dy + y * dx, x * dx + y * dy) for x, y in hole.line.coords]
        return sorted([ends[0], ends[-1]])

    def along(ends: list[tuple[float, float]], across: float) -> float:
        (u0, t0), (u1, t1) = ends
        return t0 if u1 - u0 < 1e-9 else t0 + (t1 - t0) * (across - u0) / (u1 - u0)

    from_a, to_b = spread(a), spread(b)
    low, high = max(from_a[0][0], to_b[0][0]), min(from_a[1][0], to_b[1][0])
    if low > high + 1e-9:
        return None
    lengths = [along(to_b, u) - along(from_a, u) for u in (low, high)]
    ahead = [t for t in lengths if t > 0.0]
    return min(ahead) if ahead else None


def _with_size(result: Reach, opening: Opening, rules: ReachRules) -> Reach:
    """The answer with whether a person fits through, said where it is not a plain yes."""
    fits = _man_size(opening, rules)
    said = {True: "", False: " Nobody fits through it", None: " Whether somebody fits through it is not decided"}[fits]
    by = f" ({rules.man_size_citation})." if said else ""
    return replace(result, man_size=fits, explanation=f"{result.explanation}{said}{by}")


def _man_size(opening: Opening, rules: ReachRules) -> bool | None:
    """Whether a body fits through the opening as a whole."""
    if opening.kind is OpeningKind.PASSAGE:
        return True
    least = min(opening.width_m, opening.height_m)
    if opening.width_m * opening.height_m < rules.man_size_m2 or least < rules.man_size_least_m:
        return False
    return True if least >= rules.man_size_sure_m else None
