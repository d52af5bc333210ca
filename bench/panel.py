"""The panel: simulated seconds per second, and everything a programme of 24 zones in two areas can do."""

import random
import time
import tracemalloc

from bench.table import Row

from wardwright.panel.events import Ask, Condition, Elapse, Event, UserEvent, ZoneEvent
from wardwright.panel.programme import AreaRow, PanelProgramme, PathRow, Response, ZoneRow
from wardwright.panel.state import at_rest
from wardwright.panel.step import step
from wardwright.panel.verify import verify

KINDS = (
    (Response.ENTRY_EXIT, 2),
    (Response.PERIMETER, 4),
    (Response.INTERIOR, 3),
    (Response.INTERIOR_FOLLOWER, 2),
    (Response.HOLD_UP, 1),
)


def programme_of_24_zones() -> PanelProgramme:
    """Twelve zones in each of a house and its shop, confirmed alarms, two paths. Invented."""
    rows: list[ZoneRow] = []
    for area in (0, 1):
        for response, count in KINDS:
            for _ in range(count):
                number = len(rows) + 1
                rows.append(
                    ZoneRow(
                        number,
                        f"{response} {number}",
                        (area,),
                        response,
                        watched_inside=response not in (Response.INTERIOR, Response.INTERIOR_FOLLOWER),
                        silent=response is Response.HOLD_UP,
                        guards=response is not Response.HOLD_UP,
                        final_exit=response is Response.ENTRY_EXIT,
                        on_way=response is Response.INTERIOR_FOLLOWER,
                        used_daily=response is not Response.HOLD_UP,
                        detector=f"d{number}",
                    )
                )
    return PanelProgramme(
        zones=tuple(rows),
        areas=(AreaRow("House", 30_000, 60_000), AreaRow("Shop", 40_000, 60_000)),
        paths=(PathRow("ip"), PathRow("cellular")),
        confirmation=True,
    )


def _week(programme: PanelProgramme) -> tuple[float, float]:
    """A busy week: something happens every twenty seconds on average. Simulated and spent time. [s]"""
    chance = random.Random(4)
    zones = range(len(programme.zones))
    events: list[Event] = []
    simulated = 0
    while simulated < 7 * 86_400_000:
        wait = chance.randrange(1, 40_000)
        simulated += wait
        events.append(Elapse(wait))
        if chance.random() < 0.05:
            events.append(UserEvent(chance.choice([Ask.SET_AWAY, Ask.UNSET]), chance.randrange(2)))
        else:
            events.append(ZoneEvent(chance.choice(zones), chance.choice([Condition.ACTIVE, Condition.NORMAL])))
    state, begin = at_rest(programme), time.perf_counter()
    for event in events:
        state, _ = step(programme, state, event)
    return simulated / 1000, time.perf_counter() - begin


def rows() -> list[Row]:
    """Simulation and exhaustive search."""
    programme = programme_of_24_zones()
    simulated, spent = _week(programme)
    begin = time.perf_counter()
    answers = verify(programme)
    seconds = time.perf_counter() - begin
    tracemalloc.start()
    verify(programme)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    steps = sum(a.transitions for a in answers if a.key == "never-stuck")
    states = sum(a.states for a in answers if a.key == "never-stuck")
    proved = sum(1 for a in answers if a.proved)
    return [
        Row("panel simulated, 24 zones, busy week", f"{simulated / spent:,.0f} s per s"),
        Row(
            "programme verified, 24 zones, 2 areas",
            f"{seconds:.2f} s, {proved} of {len(answers)} proved",
            "aim 10 s",
            f"{seconds / 10:.2f}",
            "<= 10 s",
        ),
        Row("states and steps of that search", f"{states:,} and {steps:,}; {steps / seconds:,.0f} steps per s"),
        Row("memory of that search", f"{peak / 2**20:.0f} MiB", "aim 1 GiB", f"{peak / 2**30:.3f}", "<= 1 GiB"),
    ]
