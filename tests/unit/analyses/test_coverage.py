"""Coverage in a plain hall: directions, doors, glass, furniture, warmth, settings, two technologies, beams."""

import math
from collections.abc import Sequence

import numpy as np
import pytest

from wardwright.analyses import field_store
from wardwright.analyses.coverage import coverage_map, hazard_fields
from wardwright.analyses.mode import Mode
from wardwright.analyses.motion_sensor import motion_sensor
from wardwright.analyses.room_heat import contrast_level, warmth
from wardwright.analyses.single_walk import walk_margin
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Reading
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.premises.fabric import Obstacle, Room, Storey, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import OnWall, Opening, OpeningKind

HALL = ((0.0, 0.0), (14.0, 0.0), (14.0, 10.0), (0.0, 10.0))
NEXT = ((14.1, 0.0), (18.0, 0.0), (18.0, 10.0), (14.1, 10.0))
ACROSS_AT = (5.0, 6.0, 7.0, 8.0)


@pytest.fixture(autouse=True)
def _own_store(monkeypatch, tmp_path) -> None:
    monkeypatch.setenv("WARDWRIGHT_CACHE", "on")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    field_store.forget()


def building(*, door: str | None = None, obstacles: Sequence[Obstacle] = (), **hall: float) -> Premises:
    def wall(key: str, *axis: tuple[float, float], thickness: float = 0.3) -> Wall:
        return Wall(id=key, storey_id="g", axis=axis, thickness_m=thickness)

    walls = (
        wall("s", (-0.3, -0.15), (18.3, -0.15)), wall("n", (-0.3, 10.15), (18.3, 10.15)),
        wall("w", (-0.15, -0.3), (-0.15, 10.3)), wall("e", (18.15, -0.3), (18.15, 10.3)),
        wall("mid", (14.05, 0.0), (14.05, 10.0), thickness=0.1),
    )  # fmt: skip
    openings = (
        Opening(
            id="win", name="window", kind=OpeningKind.WINDOW, place=OnWall(wall_id="s", offset_m=7.3), width_m=2.0,
            height_m=1.2, sill_m=0.9, sides=("outside", "hall"),
        ),
    )  # fmt: skip
    if door is not None:
        openings += (
            Opening(
                id="door", name="door", kind=OpeningKind.DOOR, place=OnWall(wall_id="mid", offset_m=5.0), width_m=1.0,
                height_m=2.0, sill_m=0.0, sides=("hall", "next"), usually=door,
            ),
        )  # fmt: skip
    return Premises(
        name="hall (invented)",
        storeys=(Storey(id="g", name="ground", elevation_m=0.0, height_m=2.6),),
        walls=walls, openings=openings, obstacles=tuple(obstacles),
        rooms=(
            Room(id="hall", name="hall", storey_id="g", outline=HALL, **hall),
            Room(id="next", name="next room", storey_id="g", outline=NEXT),
        ),
    )  # fmt: skip


def scheme(
    premises: Premises,
    kind: str = "pir-wide",
    *,
    position: tuple[float, float] = (0.0, 5.0),
    heading: float = 0.0,
    height: float = 2.2,
    settings: dict[str, float] | None = None,
    readings: tuple[Reading, ...] = (),
    zoned: bool = True,
) -> ProtectionScheme:
    device = Device(
        id="d", kind=kind, storey_id="g", position=position, height_m=height, heading_rad=heading,
        settings={"m_cal_db": 0.0} if settings is None else settings,
    )  # fmt: skip
    zones = (
        Zone(id="z", number=1, name="hall", area_ids=("a",), response=ZoneResponse.INTERIOR, device_ids=("d",),
             set_with_people_inside=False),
    ) if zoned else ()  # fmt: skip
    programme = Programme(areas=(Area(id="a", name="all"),), zones=zones)
    return ProtectionScheme(
        premises, Design(devices=(device,), programme=programme), load_catalogue(), Brief(), readings
    )


def walk(s: ProtectionScheme, *points: tuple[float, float], speed: float = 1.0, **more) -> float:
    return walk_margin(s, s.design.devices[0], points, speed, Mode.AWAY, **more)


def test_walking_straight_in_is_noticed_less_and_later_than_walking_across() -> None:
    s = scheme(building())
    across = {r: walk(s, (r, 3.5), (r, 6.5)) for r in ACROSS_AT}
    towards = {r: walk(s, (r + 1.5, 5.0), (r - 1.5, 5.0)) for r in ACROSS_AT}
    for r in ACROSS_AT:
        assert across[r] > towards[r] + 4.0, f"across at {r} m"
    across_from = max(r for r in np.arange(1.0, 14.0, 0.5) if walk(s, (r, 3.5), (r, 6.5)) >= 0.0)
    towards_from = next(r for r in np.arange(12.0, 0.5, -0.25) if walk(s, (13.5, 5.0), (r, 5.0)) >= 0.0)
    assert towards_from < 0.75 * across_from


def test_the_field_shows_it_too() -> None:
    s = scheme(building())
    field = hazard_fields(s, Mode.AWAY)["g"][1.0]
    iy, ix = field.grid.cell(7.0, 5.0)
    margin = field.margin_db[0]
    block = margin[:, iy - 4 : iy + 5, ix - 4 : ix + 5]
    radial = np.median(block[[0, 8]])
    tangential = np.median(block[[4, 12]])
    assert tangential > radial + 4.0
    assert field.heading_rad[4] == pytest.approx(math.pi / 2)


def test_doors_glass_and_walls() -> None:
    beyond = ((16.0, 4.0), (16.0, 6.0))
    assert walk(scheme(building(door="shut")), *beyond) == -math.inf
    assert walk(scheme(building()), *beyond) == -math.inf
    assert walk(scheme(building(door="open")), *beyond) > -20.0
    outside_window = ((6.0, -1.0), (8.0, -1.0))
    assert walk(scheme(building()), *outside_window) == -math.inf
    s = scheme(building(), position=(7.0, 10.0), heading=-math.pi / 2)
    through = ((7.0, -0.6), (7.0, 2.0), (9.0, 2.0))
    assert walk(s, *through, also_open=frozenset({"win"})) > 0.0


def test_furniture_hides_and_a_cupboard_hides_more() -> None:
    def behind(height: float) -> float:
        screen = Obstacle(id="o", name="screen", storey_id="g", height_m=height,
                          outline=((3.0, 2.0), (3.1, 2.0), (3.1, 8.0), (3.0, 8.0)))  # fmt: skip
        return walk(scheme(building(obstacles=[screen])), (5.0, 3.5), (5.0, 6.5))

    clear = walk(scheme(building()), (5.0, 3.5), (5.0, 6.5))
    assert behind(0.5) == pytest.approx(clear, abs=0.1)
    assert behind(1.5) < clear - 2.0
    assert behind(2.4) == -math.inf
    hanging = Obstacle(id="o", name="cupboard", storey_id="g", base_m=1.4, height_m=2.4,
                       outline=((3.0, 2.0), (3.1, 2.0), (3.1, 8.0), (3.0, 8.0)))  # fmt: skip
    assert walk(scheme(building(obstacles=[hanging])), (5.0, 3.5), (5.0, 6.5)) < clear


def test_warm_rooms_hide_people() -> None:
    path = ((8.0, 3.5), (8.0, 6.5))
    cool = walk(scheme(building(temperature_min_c=17, temperature_max_c=19)), *path)
    warm = walk(scheme(building(temperature_min_c=27, temperature_max_c=29)), *path)
    assert cool - warm == pytest.approx(contrast_level(18) - contrast_level(28), abs=1e-6)
    assert cool - warm > 8.0
    # the blind temperature inside a range is found although neither end is blind
    field = hazard_fields(scheme(building(temperature_min_c=22, temperature_max_c=36)), Mode.AWAY)["g"][1.0]
    iy, ix = field.grid.cell(7.0, 5.0)
    assert field.shift_db(-1)[iy, ix] < -20.0
    assert field.shift_db(0).max() == 0.0
    assert warmth(None).low_db < 0.0 < warmth(None).high_db


def test_settings_and_walk_tests_overrule_the_catalogue() -> None:
    path = ((8.0, 3.5), (8.0, 6.5))
    plain = walk(scheme(building(), settings={}), *path)
    assert walk(scheme(building(), settings={"m_cal_db": 0.0}), *path) == pytest.approx(plain - 3.0)
    test = Reading(
        id="r", quantity="walk test range", at="d", value=8.0, unit="m", date="2024-05-01", instrument="tape"
    )
    s = scheme(building(), readings=(test,))
    sensor = motion_sensor(s, s.design.devices[0])
    assert sensor.in_hand_from == "walk test"
    # noticed at 8 m at the farthest means just noticed there: no margin left for the standard target
    assert walk(s, *path, sway=0.0) == pytest.approx(contrast_level(20.0), abs=2.0)
    two = walk(scheme(building(), settings={"m_cal_db": 0.0, "pulse_count": 2}), *path)
    assert two < plain - 3.0


def test_two_technologies_need_both_directions() -> None:
    s = scheme(building(), "dual")
    infrared_alone = scheme(building(), "pir-wide")
    across, slanting = ((6.0, 4.3), (6.0, 5.7)), ((7.0, 4.0), (5.0, 6.0))
    assert walk(infrared_alone, *across) > 0.0
    assert walk(s, *across, sway=0.0) == -math.inf  # hardly any movement along the line of sight
    assert walk(s, *slanting) > 0.0
    field = hazard_fields(s, Mode.AWAY)["g"][1.0]
    iy, ix = field.grid.cell(7.0, 5.0)
    assert field.margin_db[0, 4, iy, ix] == -np.inf
    assert field.margin_db[0, 2, iy, ix] > -6.0


def test_a_beam_is_broken_only_by_walks_that_cross_it() -> None:
    s = scheme(building(), "photo-beam", position=(0.0, 5.0), height=0.7)
    field = hazard_fields(s, Mode.AWAY)["g"][1.0]
    iy, ix = field.grid.cell(7.0, 6.0)
    assert field.margin_db[0, 4, iy, ix] > 10.0
    assert field.margin_db[0, 0, iy, ix] == -np.inf
    assert hazard_fields(scheme(building(), "photo-beam", height=2.3), Mode.AWAY)["g"][1.0].margin_db.max() == -np.inf


def test_who_watches() -> None:
    assert hazard_fields(scheme(building(), zoned=False), Mode.AWAY)["g"][1.0].device_ids == ()
    assert hazard_fields(scheme(building()), Mode.INSIDE)["g"][1.0].device_ids == ()
    outside = hazard_fields(scheme(building(), position=(-5.0, 5.0)), Mode.AWAY)["g"][1.0]
    assert outside.margin_db.max() == -np.inf


def test_coverage_map_has_the_weakest_direction() -> None:
    s = scheme(building())
    held = coverage_map(s, Mode.AWAY)["g"]
    fields = hazard_fields(s, Mode.AWAY)["g"]
    iy, ix = held.grid.cell(7.0, 5.0)
    both = np.minimum(fields[0.3].margin_db[0, :, iy, ix], fields[1.0].margin_db[0, :, iy, ix])
    assert held.worst_db[iy, ix] == both.min()
    assert held.worst_heading_rad[iy, ix] == fields[1.0].heading_rad[both.argmin()]
    assert np.isnan(held.worst_db[0, 0])
    assert 0.0 < held.share(6.0) < held.share(0.0) < 1.0
    bare = coverage_map(s, Mode.AWAY, device_ids=())["g"]
    assert bare.share() == 0.0


def test_a_damaged_store_is_computed_again(tmp_path) -> None:
    s = scheme(building())
    first = hazard_fields(s, Mode.AWAY)["g"][1.0].margin_db.copy()
    files = list((tmp_path / "wardwright" / "fields").glob("*.npz"))
    assert len(files) == 1
    field_store.forget()
    assert np.array_equal(hazard_fields(s, Mode.AWAY)["g"][1.0].margin_db, first)
    for damage in (b"", b"PK\x03\x04 not an archive", files[0].read_bytes()[:-400]):
        files[0].write_bytes(damage)
        field_store.forget()
        assert np.array_equal(hazard_fields(s, Mode.AWAY)["g"][1.0].margin_db, first)
