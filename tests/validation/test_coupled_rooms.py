"""Rooms that leak into one another, against the textbook's two rooms."""

import math

import numpy as np

from wardwright.analyses.sound_partitions import DOOR_DB, LIGHT_WALL_DB
from wardwright.physics.acoustics import room_transfer
from wardwright.physics.coupled_rooms import coupled_levels
from wardwright.physics.partitions import through_partition

WORKED = "coupled rooms, worked apart"


def test_one_room_is_the_reverberant_field(check) -> None:
    share, surface = 0.2, 64.0
    absorbed = share * surface
    power = 1e-12 * 10**10.5
    level = coupled_levels([absorbed], [], np.array([power * (1 - share)]))[0]
    check(
        source=WORKED, status="computed", quantity="one room", expected=105 + room_transfer(9.9, 16.0, in_sight=False),
        actual=float(level), tolerance=1e-6,
    )  # fmt: skip


def test_two_rooms_are_those_of_the_textbook(check) -> None:
    levels = coupled_levels([12.8, 12.8], [(0, 1, 9.6, 26.81)], np.array([1e-3, 0.0]))
    check(
        source=WORKED, status="computed", quantity="room behind a partition",
        expected=through_partition(float(levels[0]), 26.81, 9.6, 12.8), actual=float(levels[1]), tolerance=0.02,
    )  # fmt: skip
    wide = coupled_levels([10.0, 10.0], [(0, 1, 1e6, 0.0)], np.array([1e-3, 0.0]))
    check(
        source=WORKED, status="computed", quantity="two rooms without a wall are one",
        expected=[10 * math.log10(4e-3 / 20.0 / 1e-12)] * 2, actual=wide.tolist(), tolerance=1e-3,
    )  # fmt: skip


def test_a_landing_alarm_against_published_houses(check) -> None:
    """Hall and landing joined by a stair, three bedrooms behind doors: the sounder on the landing."""
    landing, hall, bedroom = 6.0, 14.0, 12.0

    def bedside(door: float) -> float:
        rooms = [landing, hall, bedroom, bedroom, bedroom]
        parts = [(0, 1, 2.0, 0.0)]
        for n in (2, 3, 4):
            parts += [(0, n, 1.6, door), (0, n, 8.0, LIGHT_WALL_DB[0])]
        return float(coupled_levels(rooms, parts, np.array([1e-12 * 0.85, 0.0, 0.0, 0.0, 0.0]))[2])

    shut, ajar = bedside(DOOR_DB[0]), bedside(0.0)
    check(
        source="LEE-KIM-2018", status="seen", quantity="sound power for 75 dB(A) in a bedroom", expected=102.95,
        actual=75.0 - shut, tolerance=4.95,
    )  # fmt: skip
    check(
        source="FSRI-2017", status="seen", quantity="bedroom door open against shut", expected=17.0,
        actual=ajar - shut, tolerance=3.0,
    )  # fmt: skip
