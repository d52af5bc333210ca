"""The small house the panel's tests are told in. Invented."""

from dataclasses import replace
from typing import Any

from wardwright.panel.programme import AreaRow, PanelProgramme, PathRow, Response, ZoneRow

DOOR, HALL, WINDOW, LOUNGE, PANIC = range(5)
HOUSE = PanelProgramme(
    zones=(
        ZoneRow(1, "Front door", (0,), Response.ENTRY_EXIT, final_exit=True, used_daily=True, detector="MC-1"),
        ZoneRow(
            2,
            "Hall",
            (0,),
            Response.INTERIOR_FOLLOWER,
            watched_inside=False,
            on_way=True,
            used_daily=True,
            detector="PIR-1",
        ),
        ZoneRow(3, "Window", (0,), Response.PERIMETER, used_daily=True, detector="MC-2"),
        ZoneRow(4, "Lounge", (0,), Response.INTERIOR, watched_inside=False, used_daily=True, detector="PIR-2"),
        ZoneRow(5, "Panic", (0,), Response.HOLD_UP, silent=True, may_bypass=False, guards=False, detector="HU-1"),
    ),
    areas=(AreaRow("House", entry_ms=30_000, exit_ms=60_000),),
    paths=(PathRow("ip"), PathRow("cellular")),
)


def with_zone(programme: PanelProgramme, zone: int, **change: Any) -> PanelProgramme:
    """The programme with one zone told something else."""
    rows = list(programme.zones)
    rows[zone] = replace(rows[zone], **change)
    return replace(programme, zones=tuple(rows))
