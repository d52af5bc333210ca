"""A proof after some edits is the proof from nothing: whatever is kept between proofs is never mistaken."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.house import scheme

from wardwright.analyses import field_store
from wardwright.analyses.kept_routes import forget_routes
from wardwright.design.devices import Device
from wardwright.job.model import Job
from wardwright.prove import prove
from wardwright.same_parts import with_parts_of
from wardwright.worked_out import forget_all

HELD = scheme()
MOVES = st.lists(
    st.tuples(
        st.integers(0, len(HELD.design.devices) - 1),
        st.sampled_from(["shift", "turn", "rename", "back", "gone"]),
        st.floats(-0.4, 0.4),
    ),
    min_size=1,
    max_size=3,
)


@pytest.fixture(autouse=True)
def _no_store(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARDWRIGHT_CACHE", "off")


def forget() -> None:
    forget_all()
    forget_routes()
    field_store.forget()


def edited(devices: tuple[Device, ...], at: int, how: str, by: float) -> tuple[Device, ...]:
    if at >= len(devices):
        return devices
    device = devices[at]
    if how == "gone":
        named = {d for loop in HELD.design.loops for d in loop.contacts} | {
            d for zone in HELD.design.programme.zones for d in zone.device_ids
        }
        return devices if device.id in named else tuple(d for d in devices if d is not device)
    if how == "back":
        return tuple(next((o for o in HELD.design.devices if o.id == d.id), d) for d in devices)
    x, y = device.position
    change = {
        "shift": {"position": (x + by, y)},
        "turn": {"heading_rad": device.heading_rad + by},
        "rename": {"name": f"by {by:.2f}"},
    }[how]
    return tuple(d.model_copy(update=change) if d is device else d for d in devices)


@settings(max_examples=8, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(MOVES)
def test_the_same_findings_as_from_nothing(moves: list[tuple[int, str, float]]) -> None:
    forget()
    job = Job(id="j", title="Invented", premises=HELD.premises, design=HELD.design, brief=HELD.brief)
    prove(job, HELD.catalogue, today="2026-01-02")
    for at, how, by in moves:
        devices = edited(job.design.devices, at, how, by)
        design = job.design.model_copy(update={"devices": devices})
        read = Job.model_validate_json(job.model_copy(update={"design": design}).model_dump_json())
        job = with_parts_of(read, job)
        quick = prove(job, HELD.catalogue, today="2026-01-02")
    forget()
    whole = prove(Job.model_validate_json(job.model_dump_json()), HELD.catalogue, today="2026-01-02")
    assert quick.findings == whole.findings
    assert quick.routes == whole.routes
    assert quick.attacks == whole.attacks
