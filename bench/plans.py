"""Plans for measuring and testing, drawn from their description: no building anybody lives in."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely import Polygon, box, contains_xy, unary_union

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.model import XY
from wardwright.premises.fabric import Obstacle, Room, RoomUse, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OnWall, Opening, OpeningKind


def ten_space_house() -> Polygon:
    """Free space of a house of ten spaces, 14 x 9 m inside, walls 0.10 m, doors 0.9 m, one pillar. [m]"""
    half = 0.05

    def across(y: float, x0: float, x1: float, doors: tuple[float, ...]) -> Polygon:
        gaps = unary_union([box(d - 0.45, y - 1.0, d + 0.45, y + 1.0) for d in doors])
        return box(x0 - half, y - half, x1 + half, y + half).difference(gaps)

    walls = [across(4.0, 0.0, 10.0, (1.8, 5.0, 8.3)), across(5.2, 0.0, 14.0, (1.5, 4.6, 7.2, 9.4, 12.4))]
    walls += [box(x - half, 0.0, x + half, 4.0) for x in (3.6, 7.0, 10.0)]
    walls += [box(x - half, 5.2, x + half, 9.0) for x in (3.0, 6.2, 8.2, 10.6)]
    walls.append(box(4.9, 6.9, 5.2, 7.2))
    return box(0.0, 0.0, 14.0, 9.0).difference(unary_union(walls))


def star_2000() -> Polygon:
    """A star of 2 000 corners: sorted uniform angles, radius uniform in 5 to 10 m, seed 1. [m]"""
    rng = np.random.default_rng(1)
    angle = np.sort(rng.uniform(0.0, 2.0 * np.pi, 2000))
    radius = rng.uniform(5.0, 10.0, 2000)
    return Polygon(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))


def points_inside(shape: Polygon, count: int, seed: int = 7) -> NDArray[np.float64]:
    """Points uniform in the bounding box, those outside rejected, from the PCG64 generator. [m]"""
    rng = np.random.Generator(np.random.PCG64(seed))
    x0, y0, x1, y1 = shape.bounds
    found: list[tuple[float, float]] = []
    while len(found) < count:
        x, y = rng.uniform(x0, x1), rng.uniform(y0, y1)
        if contains_xy(shape, x, y):
            found.append((x, y))
    return np.array(found)


def ten_space_premises() -> Premises:
    """The same house as premises: one storey, rooms, doors that stand open."""
    walls, openings = [], []

    def wall(key: str, start: XY, end: XY, thickness: float, outside: bool) -> None:
        walls.append(Wall(id=key, storey_id="s0", axis=(start, end), thickness_m=thickness, outside=outside))

    def door(key: str, wall_id: str, offset: float, sides: tuple[str, str]) -> None:
        openings.append(
            Opening(
                id=key,
                name=key,
                kind=OpeningKind.DOOR,
                place=OnWall(wall_id=wall_id, offset_m=offset),
                width_m=0.9,
                height_m=2.0,
                sill_m=0.0,
                sides=sides,
            )
        )

    for key, start, end in (
        ("out-s", (-0.15, -0.15), (14.15, -0.15)),
        ("out-e", (14.15, -0.15), (14.15, 9.15)),
        ("out-n", (14.15, 9.15), (-0.15, 9.15)),
        ("out-w", (-0.15, 9.15), (-0.15, -0.15)),
    ):
        wall(key, start, end, 0.3, True)
    wall("low", (0.0, 4.0), (10.05, 4.0), 0.1, False)
    wall("high", (0.0, 5.2), (14.0, 5.2), 0.1, False)
    below, above = (0.0, 3.6, 7.0, 10.0), (0.0, 3.0, 6.2, 8.2, 10.6, 14.0)
    rooms = []
    for i, x in enumerate(below[1:]):
        wall(f"low-{i}", (x, 0.0), (x, 4.0), 0.1, False)
    for i, x in enumerate(above[1:-1]):
        wall(f"high-{i}", (x, 5.2), (x, 9.0), 0.1, False)

    def room(key: str, x0: float, y0: float, x1: float, y1: float, use: RoomUse) -> None:
        rooms.append(Room(id=key, name=key, storey_id="s0", outline=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), use=use))

    for i, use in enumerate((RoomUse.BEDROOM, RoomUse.STUDY, RoomUse.KITCHEN)):
        room(f"below-{i}", below[i] + 0.05 * (i > 0), 0.0, below[i + 1] - 0.05, 3.95, use)
        door(f"door-below-{i}", "low", (1.8, 5.0, 8.3)[i], (f"below-{i}", "hall"))
    for i, use in enumerate((RoomUse.BEDROOM, RoomUse.BEDROOM, RoomUse.BATHROOM, RoomUse.STORE, RoomUse.STUDY)):
        room(f"above-{i}", above[i] + 0.05 * (i > 0), 5.25, above[i + 1] - 0.05 * (i < 4), 9.0, use)
        door(f"door-above-{i}", "high", (1.5, 4.6, 7.2, 9.4, 12.4)[i], (f"above-{i}", "hall"))
    rooms.append(
        Room(
            id="hall",
            name="hall and living",
            storey_id="s0",
            use=RoomUse.LIVING,
            outline=((0.0, 4.05), (10.05, 4.05), (10.05, 0.0), (14.0, 0.0), (14.0, 5.15), (0.0, 5.15)),
        )
    )
    pillar = Obstacle(
        id="pillar",
        name="pillar",
        storey_id="s0",
        height_m=2.5,
        outline=((4.9, 6.9), (5.2, 6.9), (5.2, 7.2), (4.9, 7.2)),
    )
    return Premises(
        name="House of ten spaces (invented)",
        storeys=(Storey(id="s0", name="ground floor", elevation_m=0.0, height_m=2.5),),
        walls=tuple(walls),
        openings=tuple(openings),
        rooms=tuple(rooms),
        obstacles=(pillar,),
    )


PLACES = (
    (0.05, 0.05, 45),
    (3.7, 0.05, 45),
    (9.9, 0.05, 135),
    (13.95, 0.05, 135),
    (0.05, 4.6, 0),
    (13.95, 5.1, 215),
    (0.05, 8.95, -45),
    (3.1, 8.95, -45),
    (8.1, 8.95, -120),
    (8.3, 8.95, -60),
    (13.95, 8.95, -135),
    (5.0, 0.05, 90),
)
"""Where twelve detectors hang in it, and the way they look [deg]."""


def twelve_detectors(kinds: Sequence[str] = ("pir-wide",)) -> ProtectionScheme:
    """The house of ten spaces with twelve motion detectors of the kinds named, in turn."""
    devices = tuple(
        Device(
            id=f"d{i}",
            kind=kinds[i % len(kinds)],
            storey_id="s0",
            position=(x, y),
            height_m=2.2,
            heading_rad=float(np.radians(heading)),
        )
        for i, (x, y, heading) in enumerate(PLACES)
    )
    zones = tuple(
        Zone(
            id=f"z{i}",
            number=i + 1,
            name=f"zone {i + 1}",
            area_ids=("a",),
            response=ZoneResponse.INTERIOR,
            device_ids=(d.id,),
        )
        for i, d in enumerate(devices)
    )
    programme = Programme(areas=(Area(id="a", name="all"),), zones=zones)
    return ProtectionScheme(
        ten_space_premises(), Design(devices=devices, programme=programme), load_catalogue(), Brief()
    )
