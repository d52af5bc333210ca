"""Where an intruder can walk: one graph over all storeys, joined by doors, passages, stairs and hatches.

Every storey is laid with square cells; a cell whose centre is free is a place. From each place one may step along 32
headings to another place if every cell the straight step touches is free too. Lengths are those of the steps, so a
route over the graph is longer than the true one by at most 0.76 % (half the widest gap between headings is 7.0 degrees)
plus the cell it cannot cut at each corner.

A person needs room: walls and furniture are grown by half a body, except in a doorway, where one goes sideways: any
door from 0.4 m up lets a person through.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.analyses.free_floor import (
    HALF_WIDTH_M,
    STEP_M,
    free_floor,
    indoor_rooms,
    is_inner_way,
    is_way_in,
    storey_grid,
)
from wardwright.analyses.grid import Grid
from wardwright.model import XY
from wardwright.premises.fabric import Stair
from wardwright.premises.model import Premises
from wardwright.premises.openings import Opening, OpeningKind
from wardwright.premises.plan import OpeningShape, storey_plans
from wardwright.worked_out import once

STAIR_PACE = 0.8
"""Pace along the slope of a stair as a share of the pace on the flat: 0.95 against 1.19 m/s (from memory). [-]"""
LADDER_PACE = 0.25
"""The same on a ladder. Assumption, no source. [-]"""
NEAR_M = 2.0
"""An opening, a stair's end or a target farther than this from any free cell is not joined to it. [m]"""
OPEN_DOOR_S = 2.0
"""Time to open an inner door that is shut but not locked, and to step round it. Assumption, no source. [s]"""


def _moves() -> tuple[tuple[int, int], ...]:
    base = [(1, 0), (4, 1), (2, 1), (3, 2), (1, 1), (2, 3), (1, 2), (1, 4)]
    turned = list(base)
    for _ in range(3):
        base = [(-y, x) for x, y in base]
        turned += base
    return tuple(turned)


MOVES = _moves()
"""Steps in cells (dx, dy), anticlockwise from +x. Index + 16, modulo 32, is the way back."""
HEADING_RAD = np.array([math.atan2(y, x) % (2.0 * math.pi) for x, y in MOVES])
"""Direction of each step. [rad]"""
MOVE_CELLS = np.array([math.hypot(x, y) for x, y in MOVES])
"""Length of each step in cells. [-]"""
BACK = (np.arange(32) + 16) % 32
"""Index of the step back."""


def _touched(dx: int, dy: int) -> list[tuple[int, int]]:
    """Cells other than its ends that a step from cell to cell touches (corners included)."""
    line = LineString([(0, 0), (dx, dy)])
    cells = [(x, y) for x in range(min(0, dx), max(0, dx) + 1) for y in range(min(0, dy), max(0, dy) + 1)]
    ends = ((0, 0), (dx, dy))
    return [
        c
        for c in cells
        if c not in ends and line.intersects(shapely.box(c[0] - 0.5, c[1] - 0.5, c[0] + 0.5, c[1] + 0.5))
    ]


TOUCHED = tuple(_touched(dx, dy) for dx, dy in MOVES)


@dataclass(frozen=True)
class Link:
    """A stair, or a hatch between two storeys."""

    id: str
    lower: int
    upper: int
    length_m: float
    """Along the slope. [m]"""
    pace: float
    """Pace as a share of that on the flat. [-]"""
    opening_id: str | None = None
    """The hatch, where it is one."""


@dataclass(frozen=True, eq=False)
class Crossing:
    """All steps that go through one inner door."""

    opening: Opening
    nodes: NDArray[np.int32]
    moves: NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class WalkGraph:
    """Places and steps. ``neighbour[n, k]`` is where step k leads from place n, or -1; columns from 32 on are links."""

    premises: Premises
    step_m: float
    storey_ids: tuple[str, ...]
    grids: dict[str, Grid]
    storey: NDArray[np.int16]
    """Index of each place's storey."""
    iy: NDArray[np.int32]
    ix: NDArray[np.int32]
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    room_ids: tuple[str, ...]
    room: NDArray[np.int16]
    """Index of each place's room; -1 in a doorway."""
    neighbour: NDArray[np.int32]
    links: tuple[Link, ...]
    link_at: dict[tuple[int, int], int]
    """Link by (node, column)."""
    crossings: tuple[Crossing, ...]
    unlinked: tuple[str, ...]
    """Stairs and hatches that could not be joined to the floor, in plain words."""

    @property
    def size(self) -> int:
        """Number of places."""
        return len(self.x)

    @cached_property
    def _pattern(self) -> tuple[NDArray[np.bool_], NDArray[np.int32], NDArray[np.int32]]:
        there = self.neighbour >= 0
        starts = np.concatenate([[0], np.cumsum(there.sum(axis=1))]).astype(np.int32)
        return there, self.neighbour[there], starts

    def matrix(self, weights: NDArray[np.floating]) -> csr_array:
        """A cost for each step as a sparse matrix.

        Parameters
        ----------
        weights : array
            Cost of each step, same shape as ``neighbour``; where there is no step it is ignored.

        Returns
        -------
        csr_array
            Costs by (from, to).
        """
        there, columns, starts = self._pattern
        costs = np.asarray(weights[there], dtype=np.float64)
        return csr_array((costs, columns, starts), shape=(self.size, self.size))

    @cached_property
    def lengths_m(self) -> NDArray[np.float64]:
        """Length of each step, same shape as ``neighbour``; for links along the slope. [m]"""
        lengths = np.zeros(self.neighbour.shape)
        lengths[:, :32] = MOVE_CELLS * self.step_m
        for (node, column), link in self.link_at.items():
            lengths[node, column] = self.links[link].length_m
        return lengths

    @cached_property
    def flat_m(self) -> NDArray[np.float64]:
        """Length on the flat that takes as long as each step: more than its length on stairs. [m]"""
        lengths = self.lengths_m.copy()
        for (node, column), link in self.link_at.items():
            lengths[node, column] = self.links[link].length_m / self.links[link].pace
        return lengths

    @cached_property
    def part(self) -> NDArray[np.int32]:
        """Number of the connected part each place lies in: an outbuilding, or another dwelling, is a part by itself."""
        _, labels = connected_components(self.matrix(np.ones(self.neighbour.shape)), directed=False)
        return np.asarray(labels, dtype=np.int32)

    def nearest(self, storey_id: str, point: XY, room_id: str | None = None, within: float = NEAR_M) -> int | None:
        """The place nearest to a point.

        Parameters
        ----------
        storey_id : str
            Storey the point is on.
        point : (float, float)
            The point. [m]
        room_id : str, optional
            Only places in this room.
        within : float
            Farther places do not count. [m]

        Returns
        -------
        int or None
            Its number; None where there is none near enough.
        """
        wanted = self.storey == self.storey_ids.index(storey_id)
        if room_id is not None:
            if room_id not in self.room_ids:
                return None
            wanted &= self.room == self.room_ids.index(room_id)
        candidates = np.flatnonzero(wanted)
        if not len(candidates):
            return None
        away = np.hypot(self.x[candidates] - point[0], self.y[candidates] - point[1])
        best = int(np.argmin(away))
        return int(candidates[best]) if away[best] <= within else None


def walk_graph(premises: Premises, step: float = STEP_M, half_width: float = HALF_WIDTH_M) -> WalkGraph:
    """The graph of all places and steps in a building. Worked out once for each premises value.

    Parameters
    ----------
    premises : Premises
        The building.
    step : float
        Cell size. [m]
    half_width : float
        Half the width of a person. [m]

    Returns
    -------
    WalkGraph
        The graph; doors count as passable, whatever their state: a search adds what opening them costs.
    """
    return _build(premises, step, half_width)


@once(8)
def _build(premises: Premises, step: float, half_width: float) -> WalkGraph:
    plans = {key: plan for key, plan in storey_plans(premises).items() if any(r.indoors for r in plan.rooms)}
    room_ids = tuple(r.id for plan in plans.values() for r in plan.rooms)
    grids: dict[str, Grid] = {}
    parts: list[tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.int32], NDArray[np.int16]]] = []
    crossings: list[Crossing] = []
    count = 0
    for plan in plans.values():
        grid = storey_grid(plan, step)
        assert grid is not None  # storeys without rooms were left out above
        grids[plan.storey.id] = grid
        free = _free_cells(grid, free_floor(premises, plan, half_width, step))
        rows, columns = np.nonzero(free)
        number = np.full(free.shape, -1, dtype=np.int32)
        number[rows, columns] = np.arange(count, count + len(rows), dtype=np.int32)
        neighbour = _steps(number)[rows, columns]
        inside = np.full(len(rows), -1, dtype=np.int16)
        x = np.asarray(grid.x0_m + step * columns, dtype=np.float64)
        y = np.asarray(grid.y0_m + step * rows, dtype=np.float64)
        for room in plan.rooms:
            inside[shapely.contains_xy(plan.room_shapes[room.id], x, y)] = room_ids.index(room.id)
        ways = [s for s in plan.openings if is_inner_way(premises, s.opening)]
        crossings += [_crossing(s, x, y, neighbour, count, step) for s in ways]
        parts.append((rows, columns, neighbour, inside))
        count += len(rows)
    storey = np.concatenate(
        [np.full(len(p[0]), i, dtype=np.int16) for i, p in enumerate(parts)] or [np.zeros(0, np.int16)]
    )
    iy = np.asarray(np.concatenate([np.zeros(0, np.intp), *(p[0] for p in parts)]), dtype=np.int32)
    ix = np.asarray(np.concatenate([np.zeros(0, np.intp), *(p[1] for p in parts)]), dtype=np.int32)
    origin = np.array([(g.x0_m, g.y0_m) for g in grids.values()] or [(0.0, 0.0)])
    bare = WalkGraph(
        premises=premises,
        step_m=step,
        storey_ids=tuple(plans),
        grids=grids,
        storey=storey,
        iy=iy,
        ix=ix,
        x=origin[storey, 0] + step * ix,
        y=origin[storey, 1] + step * iy,
        room_ids=room_ids,
        room=np.concatenate([p[3] for p in parts] or [np.zeros(0, np.int16)]),
        neighbour=np.concatenate([p[2] for p in parts] or [np.zeros((0, 32), np.int32)]),
        links=(),
        link_at={},
        crossings=tuple(crossings),
        unlinked=(),
    )
    return _with_links(bare)


def _free_cells(grid: Grid, floor: BaseGeometry) -> NDArray[np.bool_]:
    if floor.is_empty:
        return np.zeros((grid.ny, grid.nx), dtype=bool)
    shapely.prepare(floor)
    xx, yy = grid.centres()
    return np.asarray(shapely.contains_xy(floor, xx, yy))


def _steps(number: NDArray[np.int32]) -> NDArray[np.int32]:
    """Where each step leads from each cell, -1 where it is barred; shape (ny, nx, 32)."""
    ny, nx = number.shape
    edge = 4  # the longest step, in cells
    wide = np.full((ny + 2 * edge, nx + 2 * edge), -1, dtype=np.int32)
    wide[edge:-edge, edge:-edge] = number

    def shifted(dx: int, dy: int) -> NDArray[np.int32]:
        return wide[edge + dy : edge + dy + ny, edge + dx : edge + dx + nx]

    leads = np.empty((ny, nx, 32), dtype=np.int32)
    for k, (dx, dy) in enumerate(MOVES):
        clear = np.ones((ny, nx), dtype=bool)
        for cx, cy in TOUCHED[k]:
            clear &= shifted(cx, cy) >= 0
        leads[..., k] = np.where(clear, shifted(dx, dy), -1)
    return leads


def _crossing(
    shape: OpeningShape,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    neighbour: NDArray[np.int32],
    first: int,
    step: float,
) -> Crossing:
    """Steps that pass the middle line of a doorway, by place number and step."""
    cos, sin = math.cos(shape.along_rad), math.sin(shape.along_rad)
    dx, dy = x - shape.centre[0], y - shape.centre[1]
    along, across = dx * cos + dy * sin, dy * cos - dx * sin
    beside = shape.opening.width_m / 2 + step
    near = (np.abs(along) <= beside) & (np.abs(across) <= shape.depth_m / 2 + 5 * step)
    here = np.flatnonzero(near)
    to = neighbour[here] - first
    inside = (neighbour[here] >= 0) & near[np.maximum(to, 0)]
    passes = inside & ((across[here] < 0.0)[:, None] != (across[np.maximum(to, 0)] < 0.0))
    row, move = np.nonzero(passes)
    return Crossing(shape.opening, (here[row] + first).astype(np.int32), move.astype(np.int32))


def _with_links(graph: WalkGraph) -> WalkGraph:
    """The graph with its stairs and hatches joined in."""
    links: list[Link] = []
    unlinked: list[str] = []
    for stair in graph.premises.stairs:
        link = _stair_link(graph, stair)
        if link is None:
            unlinked.append(f"the stair “{stair.name}” ends where there is no floor to step on")
        else:
            links.append(link)
    for opening in graph.premises.openings:
        if opening.place.kind != "slab" or is_way_in(graph.premises, opening):
            continue
        link = _hatch_link(graph, opening)
        if link is None:
            unlinked.append(f"the hatch “{opening.name}” does not join two storeys with floor on both")
        else:
            links.append(link)
    used: dict[int, int] = {}
    places: dict[tuple[int, int], int] = {}
    for i, link in enumerate(links):
        for node in (link.lower, link.upper):
            column = 32 + used.get(node, 0)
            used[node] = column - 31
            places[(node, column)] = i
    extra = np.full((graph.size, max(used.values(), default=0)), -1, dtype=np.int32)
    for (node, column), i in places.items():
        extra[node, column - 32] = links[i].upper if node == links[i].lower else links[i].lower
    return WalkGraph(
        **{
            **{name: getattr(graph, name) for name in WalkGraph.__dataclass_fields__},
            "neighbour": np.concatenate([graph.neighbour, extra], axis=1),
            "links": tuple(links),
            "link_at": places,
            "unlinked": tuple(unlinked),
        }
    )


def _stair_link(graph: WalkGraph, stair: Stair) -> Link | None:
    if stair.lower_storey_id not in graph.storey_ids or stair.upper_storey_id not in graph.storey_ids:
        return None
    lower = graph.nearest(stair.lower_storey_id, stair.foot)
    upper = graph.nearest(stair.upper_storey_id, stair.head)
    if lower is None or upper is None:
        return None
    low, high = (graph.premises.storey(key) for key in (stair.lower_storey_id, stair.upper_storey_id))
    rise = high.elevation_m - low.elevation_m
    run = math.hypot(stair.head[0] - stair.foot[0], stair.head[1] - stair.foot[1])
    if stair.kind != "ladder":
        run = max(run, rise)  # a winding stair: foot and head close together, steps no steeper than 45 degrees
    pace = LADDER_PACE if stair.kind == "ladder" else STAIR_PACE
    return Link(stair.id, lower, upper, math.hypot(run, rise), pace)


def _hatch_link(graph: WalkGraph, opening: Opening) -> Link | None:
    rooms = [graph.premises.room(key) for key in opening.room_ids]
    if len({r.storey_id for r in rooms}) != 2:
        return None
    rooms.sort(key=lambda r: graph.premises.storey(r.storey_id).elevation_m)
    place = opening.place
    assert place.kind == "slab"  # the caller looks at slab openings only
    centre = Polygon(place.outline).centroid
    ends = [graph.nearest(r.storey_id, (centre.x, centre.y), r.id) for r in rooms]
    if ends[0] is None or ends[1] is None:
        return None
    low, high = (graph.premises.storey(r.storey_id).elevation_m for r in rooms)
    return Link(opening.id, ends[0], ends[1], high - low, LADDER_PACE, opening.id)


def entry_place(graph: WalkGraph, shape: OpeningShape) -> int | None:
    """The place an intruder stands on when he has come in by an opening.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    shape : OpeningShape
        The opening on plan.

    Returns
    -------
    int or None
        Number of the place; None where there is no floor near it on the side indoors.
    """
    rooms = indoor_rooms(graph.premises, shape.opening)
    away = shape.depth_m / 2 + NEAR_M + HALF_WIDTH_M
    if rooms:
        storey_id = graph.premises.room(rooms[0]).storey_id
        if storey_id not in graph.storey_ids:
            return None
        found = graph.nearest(storey_id, shape.centre, rooms[0], away)
        if found is not None:
            return found
    if shape.storey_id not in graph.storey_ids:
        return None
    return graph.nearest(shape.storey_id, shape.centre, None, away)


def door_delays(graph: WalkGraph, open_ids: frozenset[str]) -> tuple[tuple[Crossing, float], ...]:
    """Inner doors that stand shut, and what opening each costs.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    open_ids : frozenset of str
        Doors that stand open.

    Returns
    -------
    tuple of (Crossing, float)
        Each shut door with the time to open it. [s]
    """
    return tuple(
        (crossing, OPEN_DOOR_S)
        for crossing in graph.crossings
        if crossing.opening.kind is not OpeningKind.PASSAGE and crossing.opening.id not in open_ids
    )


def step_times(graph: WalkGraph, speed: float, open_ids: frozenset[str]) -> NDArray[np.float64]:
    """Time of every step, doors that stand shut included.

    Parameters
    ----------
    graph : WalkGraph
        The building's places.
    speed : float
        Pace on the flat. [m/s]
    open_ids : frozenset of str
        Doors that stand open.

    Returns
    -------
    array
        Same shape as ``graph.neighbour``. [s]
    """
    times = graph.flat_m / speed
    for crossing, delay in door_delays(graph, open_ids):
        times[crossing.nodes, crossing.moves] += delay
    return times


def nearest_heading(angle: float) -> int:
    """The heading nearest to a direction.

    Parameters
    ----------
    angle : float
        Direction, anticlockwise from +x. [rad]

    Returns
    -------
    int
        Index into ``MOVES``.
    """
    return int(np.argmin(np.abs(np.angle(np.exp(1j * (HEADING_RAD - angle))))))


def link_heading(graph: WalkGraph, start: int, end: int) -> int:
    """Heading of a stair or hatch on plan, as an index into ``MOVES``."""
    return nearest_heading(float(np.arctan2(graph.y[end] - graph.y[start], graph.x[end] - graph.x[start])))
