"""Invented buildings to measure on: a building of rooms in rows, and an open hall with racks."""

from wardwright.premises.fabric import Obstacle, Room, RoomUse, Storey, Wall
from wardwright.premises.life import Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import OUTSIDE, Glazing, Leaf, Lock, Movement, OnWall, Opening, OpeningKind

THICK_M = 0.3
INNER_M = 0.1
STOREY = "floor"


def rooms_in_rows(columns: int, rows: int, wide: float, deep: float, *, targets: int = 4) -> Premises:
    """A building of equal rooms, each joined to its neighbours by a door, with a window on every outside wall.

    Parameters
    ----------
    columns, rows : int
        Rooms along and across.
    wide, deep : float
        Of one room, wall to wall. [m]
    targets : int
        Rooms that hold something worth stealing, spread over the building.
    """
    length, depth = columns * wide, rows * deep
    walls: list[Wall] = []
    openings: list[Opening] = []
    rooms: list[Room] = []
    for r in range(rows):
        for c in range(columns):
            x0, y0 = c * wide, r * deep
            gap = INNER_M / 2.0
            ring = (
                (x0 + (gap if c else 0.0), y0 + (gap if r else 0.0)),
                (x0 + wide - (gap if c < columns - 1 else 0.0), y0 + (gap if r else 0.0)),
                (x0 + wide - (gap if c < columns - 1 else 0.0), y0 + deep - (gap if r < rows - 1 else 0.0)),
                (x0 + (gap if c else 0.0), y0 + deep - (gap if r < rows - 1 else 0.0)),
            )
            use = RoomUse.HALL if (r, c) == (0, 0) else RoomUse.OFFICE
            rooms.append(Room(id=f"r{r}{c}", name=f"Room {r + 1}{c + 1}", storey_id=STOREY, outline=ring, use=use))
    half = THICK_M / 2.0
    for name, y, row in (("south", -half, 0), ("north", depth + half, rows - 1)):
        axis = ((-THICK_M, y), (length + THICK_M, y))
        walls.append(Wall(id=name, storey_id=STOREY, axis=axis, thickness_m=THICK_M, outside=True))
        for c in range(columns):
            at = THICK_M + (c + 0.5) * wide
            if (name, c) == ("south", 0):
                openings.append(_front_door(name, at, f"r{row}{c}"))
            else:
                openings.append(_window(f"{name}-{c}", name, at, f"r{row}{c}"))
    for name, x, column in (("west", -half, 0), ("east", length + half, columns - 1)):
        walls.append(Wall(id=name, storey_id=STOREY, axis=((x, 0.0), (x, depth)), thickness_m=THICK_M, outside=True))
        openings += [_window(f"{name}-{r}", name, (r + 0.5) * deep, f"r{r}{column}") for r in range(rows)]
    for c in range(1, columns):
        walls.append(_inner(f"v{c}", ((c * wide, 0.0), (c * wide, depth))))
        openings += [_door(f"dv{c}-{r}", f"v{c}", (r + 0.5) * deep, f"r{r}{c - 1}", f"r{r}{c}") for r in range(rows)]
    for r in range(1, rows):
        walls.append(_inner(f"h{r}", ((0.0, r * deep), (length, r * deep))))
        openings += [_door(f"dh{r}-{c}", f"h{r}", (c + 0.3) * wide, f"r{r - 1}{c}", f"r{r}{c}") for c in range(columns)]
    step = max(1, len(rooms) // max(1, targets))
    goods = tuple(
        Target(
            id=f"goods-{i}",
            name=f"Goods {i + 1}",
            room_id=room.id,
            position=(room.outline[0][0] + 0.7 * wide, room.outline[0][1] + 0.6 * deep),
        )
        for i, room in enumerate(rooms[step - 1 :: step][:targets])
    )
    return Premises(
        name="Rooms in rows (invented)",
        storeys=(Storey(id=STOREY, name="Floor", elevation_m=0.0, height_m=2.8),),
        walls=tuple(walls),
        rooms=tuple(rooms),
        openings=tuple(openings),
        targets=goods,
        survey="measured",
    )


def open_hall(length: float = 40.0, depth: float = 20.0) -> Premises:
    """One hall with two rows of racks, doors on three sides, windows along both long walls."""
    hall = rooms_in_rows(1, 1, length, depth, targets=1)
    racks = tuple(
        Obstacle(
            id=f"rack-{i}-{j}",
            name="Rack",
            storey_id=STOREY,
            outline=((x, y), (x + 6.0, y), (x + 6.0, y + 1.0), (x, y + 1.0)),
            height_m=2.6,
        )
        for i, x in enumerate((4.0, 14.0, 24.0))
        for j, y in enumerate((5.0, 9.5, 14.0))
    )
    along = (5.0, 12.0, 28.0, 35.0)
    windows = tuple(
        _window(f"{wall}-w{k}", wall, THICK_M + x, "r00") for wall in ("south", "north") for k, x in enumerate(along)
    )
    goods = tuple(
        Target(id=f"goods-{i}", name=f"Goods {i + 1}", room_id="r00", position=p)
        for i, p in enumerate(((12.0, 10.0), (22.0, 7.5), (32.0, 12.0)))
    )
    return hall.model_copy(
        update={
            "name": "Open hall (invented)",
            "obstacles": racks,
            "openings": (*hall.openings, *windows),
            "targets": goods,
        }
    )


def _inner(key: str, axis: tuple[tuple[float, float], tuple[float, float]]) -> Wall:
    return Wall(id=key, storey_id=STOREY, axis=axis, thickness_m=INNER_M, outside=False)


def _door(key: str, wall: str, at: float, one: str, other: str) -> Opening:
    return Opening(
        id=key,
        name=f"Door {one}/{other}",
        kind=OpeningKind.DOOR,
        place=OnWall(wall_id=wall, offset_m=at),
        width_m=0.9,
        height_m=2.0,
        sill_m=0.0,
        sides=(one, other),
    )


def _front_door(wall: str, at: float, room: str) -> Opening:
    leaf = Leaf(id="front.1", movement=Movement.HINGED, material="timber", lock=Lock(kind="mortice"))
    return Opening(
        id="front",
        name="Front door",
        kind=OpeningKind.DOOR,
        place=OnWall(wall_id=wall, offset_m=at),
        width_m=1.0,
        height_m=2.1,
        sill_m=0.0,
        sides=(OUTSIDE, room),
        leaves=(leaf,),
        final_exit=True,
    )


def _window(key: str, wall: str, at: float, room: str) -> Opening:
    leaf = Leaf(id=f"{key}.1", movement=Movement.HINGED, material="plastic", glazing=Glazing(panes=2))
    return Opening(
        id=key,
        name=f"Window {key}",
        kind=OpeningKind.WINDOW,
        place=OnWall(wall_id=wall, offset_m=at),
        width_m=1.2,
        height_m=1.2,
        sill_m=0.9,
        sides=(OUTSIDE, room),
        leaves=(leaf,),
    )
