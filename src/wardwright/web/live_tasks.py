"""In the live computing processes: the picture while a device is moved. Each process holds one job between calls."""

import json
import math
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from pydantic import TypeAdapter, ValidationError

from wardwright.analyses.coverage import CoverageMap, coverage_map, hazard_fields
from wardwright.analyses.dragging import HEADINGS, Dragging
from wardwright.analyses.mode import Mode
from wardwright.analyses.route_records import Route
from wardwright.analyses.routes import routes
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.job.model import Job
from wardwright.prove import scheme_of
from wardwright.same_parts import with_parts_of
from wardwright.storage.firm import catalogue_of
from wardwright.storage.job_file import job_from_text
from wardwright.web.worker import Tell

DB_STEP = 0.5
"""One step of a margin on the wire. [dB]"""
UNSEEN, NO_FLOOR = -127, -128
_ROUTE = TypeAdapter(Route)


@dataclass
class _Held:
    """The job a process works on."""

    key: str = ""
    revision: int = 0
    job: Job | None = None
    scheme: ProtectionScheme | None = None
    dragging: dict[tuple[str, Mode], Dragging] = field(default_factory=dict)
    worst_target: dict[Mode, str] = field(default_factory=dict)
    narrow: dict[Mode, ProtectionScheme] = field(default_factory=dict)


_held = _Held()


def hold(_tell: Tell, key: str, revision: int, text: str) -> None:
    """Take a job in hand."""
    global _held
    job = with_parts_of(job_from_text(text, where="job"), _held.job)
    _held = _Held(key, revision, job, scheme_of(job, catalogue_of(job)))


def ready(_tell: Tell, key: str, revision: int) -> None:
    """Nothing but to have the job in hand."""
    _scheme(key, revision)


def _scheme(key: str, revision: int) -> ProtectionScheme:
    if _held.scheme is None or (_held.key, _held.revision) != (key, revision):
        raise InputError("another job is in hand")
    return _held.scheme


def _placed(scheme: ProtectionScheme, device: dict[str, Any]) -> Device:
    """The device in hand where it is now: one of the design with other values, or a new one."""
    was = next((d.model_dump() for d in scheme.design.devices if d.id == device["id"]), {})
    try:
        return Device.model_validate({**was, **device})
    except ValidationError as error:
        first = error.errors()[0]
        raise InputError(f"{'.'.join(str(s) for s in first['loc'])}: {first['msg']}", where=device["id"]) from None


def draft_map(_tell: Tell, key: str, revision: int, mode: str, device: dict[str, Any], head: dict[str, Any]) -> bytes:
    """The map of the storey while the device is moved."""
    scheme, set_as = _scheme(key, revision), Mode(mode)
    placed = _placed(scheme, device)
    of = _held.dragging.get((placed.id, set_as))
    if of is None:
        of = _held.dragging[(placed.id, set_as)] = Dragging(scheme, set_as, placed.id)
    found = of.at(placed)
    if found is None:
        raise InputError("there is no floor on this storey to see", where=placed.storey_id)
    return packed_map(found, HEADINGS, {**head, "kind": "map", "draft": True, "revision": revision})


def full_map(
    _tell: Tell, key: str, revision: int, mode: str, storey_id: str, device: dict[str, Any] | None, head: dict[str, Any]
) -> bytes:
    """The map of a storey at all paces and directions."""
    scheme = _scheme(key, revision)
    if device is not None:
        scheme = _with(scheme, _placed(scheme, device))
    found = coverage_map(scheme, Mode(mode)).get(storey_id)
    if found is None:
        raise InputError("there is no floor on this storey to see", where=storey_id)
    return packed_map(found, 16, {**head, "kind": "map", "draft": False, "revision": revision})


def _with(scheme: ProtectionScheme, device: Device) -> ProtectionScheme:
    others = tuple(d for d in scheme.design.devices if d.id != device.id)
    return replace(scheme, design=scheme.design.model_copy(update={"devices": (*others, device)}))


def worst_route(
    _tell: Tell, key: str, revision: int, mode: str, device: dict[str, Any] | None, head: dict[str, Any]
) -> dict[str, Any]:
    """The worst route to the target that is worst off as the design stands, with the device where it is now."""
    scheme, set_as = _scheme(key, revision), Mode(mode)
    if set_as not in _held.narrow:
        every = routes(scheme, set_as, hazard_fields(scheme, set_as))
        target = every.routes[0].target_id if every.routes else ""
        premises = scheme.premises
        only = {
            "targets": tuple(t for t in premises.targets if t.id == target),
            "beds": tuple(b for b in premises.beds if b.id == target),
        }
        _held.narrow[set_as] = replace(scheme, premises=premises.model_copy(update=only))
    narrow = _held.narrow[set_as]
    if device is not None:
        narrow = _with(narrow, _placed(narrow, device))
    found = routes(narrow, set_as, hazard_fields(narrow, set_as))
    worst = found.routes[0] if found.routes else None
    route = None if worst is None else _ROUTE.dump_python(worst, mode="json")
    return {**head, "kind": "route", "revision": revision, "route": route, "undecided": list(found.undecided)}


def packed_map(found: CoverageMap, headings: int, head: dict[str, Any]) -> bytes:
    """A map for the wire.

    Parameters
    ----------
    found : CoverageMap
        The map.
    headings : int
        Directions it was worked out for.
    head : dict
        What else its header is to say.

    Returns
    -------
    bytes
        Length of the header as four bytes, least first; the header in JSON; then row by row from the lowest y, one
        signed byte to a cell with the margin in steps of half a decibel (-127: unseen, -128: no floor); then one byte
        to a cell with the number of the direction of walking least noticed, of ``headings`` from +x anticlockwise.
    """
    grid = found.grid
    margin = np.nan_to_num(found.worst_db, nan=0.0, neginf=0.0, posinf=63.0)
    steps = np.clip(np.rint(margin / DB_STEP), -126, 126).astype(np.int8)
    steps[np.isneginf(found.worst_db)] = UNSEEN
    steps[np.isnan(found.worst_db)] = NO_FLOOR
    turn = np.rint(found.worst_heading_rad / (2.0 * math.pi / headings)).astype(np.int64) % headings
    header = json.dumps(
        {
            **head,
            "storey_id": grid.storey_id,
            "mode": found.mode,
            "x0_m": grid.x0_m,
            "y0_m": grid.y0_m,
            "step_m": grid.step_m,
            "nx": grid.nx,
            "ny": grid.ny,
            "db_step": DB_STEP,
            "headings": headings,
            "speeds_m_s": list(found.speeds_m_s),
        }
    ).encode()
    cells: bytes = steps.tobytes() + turn.astype(np.uint8).tobytes()
    return len(header).to_bytes(4, "little") + header + cells
