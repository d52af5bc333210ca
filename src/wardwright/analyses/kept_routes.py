"""Routes kept under everything they follow from: an edit that a way of setting does not hear of costs nothing again."""

import hashlib
from collections.abc import Iterator

from wardwright.analyses.exposure import Fields
from wardwright.analyses.mode import Mode, watching_devices
from wardwright.analyses.route_records import RouteAnalysis
from wardwright.analyses.routes import routes
from wardwright.catalogue.kinds import DETECTORS
from wardwright.design.system import ProtectionScheme
from wardwright.premises.model import Premises

KEPT = 16
"""Analyses held. [-]"""

_held: dict[str, tuple[Premises, RouteAnalysis]] = {}


def kept_routes(scheme: ProtectionScheme, mode: Mode, fields: Fields) -> RouteAnalysis:
    """Routes of a scheme, from memory where nothing they follow from has changed.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, design, brief.
    mode : Mode
        How the system is set.
    fields : Fields
        Hazard of the detectors watched then; follows from the scheme.

    Returns
    -------
    RouteAnalysis
        As :func:`~wardwright.analyses.routes.routes` works it out.
    """
    digest = hashlib.sha256()
    for part in _rests_on(scheme, mode):
        digest.update(part.encode())
        digest.update(b"|")
    key = digest.hexdigest()
    found = _held.pop(key, None)
    if found is None or found[0] is not scheme.premises:
        found = (scheme.premises, routes(scheme, mode, fields))
    while len(_held) >= KEPT:
        _held.pop(next(iter(_held)))
    _held[key] = found
    return found[1]


def forget_routes() -> None:
    """Empty the memory."""
    _held.clear()


def _rests_on(scheme: ProtectionScheme, mode: Mode) -> Iterator[str]:
    """Everything routes follow from besides the building, which is told by being the same value."""
    yield f"{id(scheme.premises)} {mode.value}"
    yield scheme.brief.model_dump_json()
    heard = watching_devices(scheme, mode)
    devices = [d for d in scheme.fitted if d.id in heard and scheme.kind_of(d).family in DETECTORS]
    for device in devices:
        yield device.model_dump_json()
    for key in dict.fromkeys(d.kind for d in devices):
        yield scheme.catalogue.kind(key).model_dump_json()
    for zone in scheme.design.programme.zones:
        yield zone.model_dump_json()
    for loop in scheme.design.loops:
        yield loop.model_dump_json()
    for reading in scheme.readings:
        yield reading.model_dump_json()
