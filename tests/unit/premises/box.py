"""A one-room box to hang openings on: 4 m by 3 m inside, walls 0.30 m, floor at zero."""

from wardwright.premises.fabric import Room, Standing, Storey, Wall
from wardwright.premises.life import Surroundings
from wardwright.premises.model import Premises
from wardwright.premises.openings import OnWall, Opening, OpeningKind

SOUTH = ((-0.3, -0.15), (4.3, -0.15))
EAST = ((4.15, -0.3), (4.15, 3.3))
NORTH = ((4.3, 3.15), (-0.3, 3.15))
WEST = ((-0.15, 3.3), (-0.15, -0.3))


def window(key: str, wall: str, offset: float | None, sill: float, **more: object) -> Opening:
    return Opening(
        id=key,
        name=key,
        kind=more.pop("kind", OpeningKind.WINDOW),
        place=OnWall(wall_id=wall, offset_m=offset),
        width_m=more.pop("width", 1.0),
        height_m=more.pop("height", 1.0),
        sill_m=sill,
        sides=more.pop("sides", ("room", "outside")),
        **more,
    )


def box(
    *openings: Opening, standings: tuple[Standing, ...] = (), survey: str = "drawn", ground: float = 0.0
) -> Premises:
    walls = {"south": SOUTH, "east": EAST, "north": NORTH, "west": WEST}
    return Premises(
        name="box",
        storeys=(Storey(id="g", name="Ground", elevation_m=0.0, height_m=8.0),),
        walls=tuple(Wall(id=k, storey_id="g", axis=a, thickness_m=0.3) for k, a in walls.items()),
        rooms=(Room(id="room", name="Room", storey_id="g", outline=((0, 0), (4, 0), (4, 3), (0, 3))),),
        openings=openings,
        standings=standings,
        surroundings=Surroundings(ground_m=ground),
        survey=survey,
    )


def roof(key: str, x: float, y: float, wide: float, deep: float, level: float, **more: object) -> Standing:
    outline = ((x, y), (x + wide, y), (x + wide, y + deep), (x, y + deep))
    return Standing(id=key, name=key, kind=more.pop("kind", "roof"), outline=outline, level_m=level, **more)
