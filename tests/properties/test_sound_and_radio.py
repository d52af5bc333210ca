"""Sound and radio only fall with distance and with what stands between; shut doors only take away."""

import math

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from wardwright.physics.acoustics import air_absorption, free_field, room_transfer, sum_of_levels
from wardwright.physics.coupled_rooms import coupled_levels
from wardwright.physics.glass_break import REFERENCE_ROOM, shatter_margin, thump_margin
from wardwright.physics.magnetics import reed_field
from wardwright.physics.partitions import composite_loss, covering_loss, through_partition
from wardwright.physics.radio import free_space_loss, indoor_loss_by_floors, multi_wall_loss
from wardwright.physics.radio_slabs import radio_materials, stack_loss, wall_loss

near = st.floats(0.3, 40.0)
farther = st.floats(1.001, 5.0)
band = st.sampled_from([433.92e6, 868.3e6, 915e6, 2.4e9])
solid = st.sampled_from(["concrete", "brick", "plasterboard", "timber", "glass", "chipboard"])
layer = st.tuples(solid, st.floats(0.004, 0.3))


@given(near, farther, st.floats(1.0, 300.0), st.floats(200.0, 8000.0))
def test_sound_falls_with_distance(r: float, times: float, constant: float, tone: float) -> None:
    air = air_absorption(tone)
    assert free_field(100.0, 1.0, r * times, air=air) < free_field(100.0, 1.0, r, air=air)
    assert room_transfer(r * times, constant, air=air) < room_transfer(r, constant, air=air)
    assert room_transfer(r, constant, in_sight=False) < room_transfer(r, constant)


@given(st.floats(0.5, 5.9), st.floats(1.001, 2.0), st.floats(0.0, 20.0), st.floats(0.1, 10.0))
def test_shatter_falls_with_distance_and_coverings(r: float, times: float, cover: float, more: float) -> None:
    def margin(distance: float, covering: float) -> float:
        return shatter_margin(distance, REFERENCE_ROOM, 50.0, rated_range=6.0, frequency=4000.0, covering=covering)

    assert margin(r * times, cover) < margin(r, cover)
    assert margin(r, cover + more) < margin(r, cover)
    assert thump_margin(50.0 * times, 1.0, 1.0, least_side=0.3) < thump_margin(50.0, 1.0, 1.0, least_side=0.3)


@given(
    st.floats(0.05, 2.0), st.floats(20.0, 5000.0), st.floats(125.0, 8000.0), st.floats(0.0, 0.9), st.floats(0.01, 0.1)
)
def test_coverings_take_and_gaps_give_back(mass: float, cloth: float, tone: float, gap: float, more: float) -> None:
    loss = covering_loss(mass, cloth, tone, open_share=gap)
    assert loss >= 0.0
    assert covering_loss(mass, cloth, tone, open_share=gap + more) <= loss + 1e-12
    assert covering_loss(mass * 1.5, cloth, tone, open_share=gap) >= loss - 1e-12


@given(st.floats(1.0, 30.0), st.floats(0.5, 3.0), st.floats(1.0, 40.0), st.floats(0.0, 30.0), st.floats(0.1, 30.0))
def test_a_shut_door_only_takes_away(absorbed: float, door: float, behind: float, loss: float, more: float) -> None:
    parts = [[(0, 1, 8.0, 33.0), (0, 1, door, r)] for r in (loss, loss + more)]
    ajar, shut = (coupled_levels([absorbed, behind], p, np.array([1e-3, 0.0])) for p in parts)
    assert shut[1] < ajar[1]
    assert shut[0] >= ajar[0] - 1e-9  # what does not get out stays in
    levels = [
        through_partition(90.0, composite_loss([(8.0, 33.0), (door, r)]), 8.0 + door, behind)
        for r in (loss, loss + more)
    ]
    assert levels[1] < levels[0]


@given(st.lists(st.floats(30.0, 120.0), min_size=1, max_size=6), st.floats(30.0, 120.0))
def test_another_sounder_never_makes_it_quieter(levels: list[float], another: float) -> None:
    both = sum_of_levels([*levels, another])
    assert both >= max(sum_of_levels(levels), another) - 1e-9
    assert both <= max(*levels, another) + 10.0 * math.log10(len(levels) + 1) + 1e-9


@given(band, st.floats(1.0, 60.0), farther, st.integers(0, 4), st.integers(0, 3), st.integers(0, 3))
def test_radio_falls_with_distance_and_walls(
    f: float, d: float, times: float, light: int, heavy: int, floors: int
) -> None:
    assert free_space_loss(f, d * times) > free_space_loss(f, d)
    assert indoor_loss_by_floors(f, d * times) > indoor_loss_by_floors(f, d)
    here = multi_wall_loss(f, d, light=light, heavy=heavy, floors=floors)
    assert multi_wall_loss(f, d * times, light=light, heavy=heavy, floors=floors) > here
    assert multi_wall_loss(f, d, light=light + 1, heavy=heavy, floors=floors) > here
    assert multi_wall_loss(f, d, light=light, heavy=heavy + 1, floors=floors) > here
    assert multi_wall_loss(f, d, light=light, heavy=heavy, floors=floors + 1) > here


@settings(max_examples=60)
@given(st.lists(layer, min_size=1, max_size=3), band, st.floats(0.0, 1.3))
def test_a_wall_never_strengthens_radio(layers: list[tuple[str, float]], f: float, angle: float) -> None:
    assert {m for m, _ in layers} <= set(radio_materials())
    for across in (True, False):
        assert stack_loss(layers, f, angle=angle, across=across) >= 0.0
    assert wall_loss(layers, f, angle=angle) >= 0.0


@given(st.floats(0.012, 0.06), st.floats(1.01, 3.0), st.floats(0.003, 0.02))
def test_a_magnet_weakens_with_distance_and_over_steel(d: float, times: float, height: float) -> None:
    rod = {"length": 0.025, "diameter": 0.005, "polarisation": 0.8}
    assert reed_field(d * times, **rod) < reed_field(d, **rod)
    assert reed_field(d, above_steel=height, **rod) < reed_field(d, **rod)
    assert reed_field(d, above_steel=height, **rod) < reed_field(d, above_steel=height * times, **rod)
