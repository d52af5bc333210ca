"""Whether a pet that stays in while the system is set would set a motion detector off."""

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon, unary_union

from wardwright.analyses.mode import Mode
from wardwright.analyses.sightlines import Outlook, Sightlines
from wardwright.analyses.single_walk import walk_margin
from wardwright.analyses.siting_records import SitingCheck
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.model import XY
from wardwright.physics.infrared import SIGMA
from wardwright.premises.life import Pet

STEP_M = 0.25
"""Places tried. [m]"""
TROT_M_S = 1.0
"""Pace of a pet about the house. Assumption. [m/s]"""
HALF_WALK_M = 1.5
FUR_DB = 6.0
"""How much less a coat shows than clothes do, at most. Assumption. [dB]"""
LIMIT_DB = -6.0
"""A pet stays this far below the threshold. [dB]"""
CLIMBED_M = 1.0
"""Furniture up to this height is climbed. Assumption. [m]"""
BED_M = 0.5
"""Top of a bed. Common practice, no source. [m]"""
BED_HALF_M = 0.9
STAIR_M = 1.0
"""Height on a stair at which a pet is still in view of the hall. Assumption. [m]"""


def pet_checks(
    scheme: ProtectionScheme, device: Device, mode: Mode, lines: Sightlines, outlook: Outlook
) -> Iterator[SitingCheck]:
    """How strongly each pet shows at its worst place, walking across the line of sight.

    Parameters
    ----------
    scheme : ProtectionScheme
        Design and household.
    device : Device
        A motion or dual-technology detector.
    mode : Mode
        Which inner doors stand open.
    lines, outlook : Sightlines, Outlook
        Its storey, and what it sees of it.

    Yields
    ------
    SitingCheck
        ``pet-in-view`` for each pet, ``pet-heavier`` where it is heavier than its kind declares. An animal no larger
        than the kind is declared for is looked at only where something lifts it.
    """
    kind = scheme.kind_of(device)
    for pet in scheme.premises.pets:
        mass, tall = kind.get("pet_mass_kg") or 0.0, kind.get("pet_height_m") or 0.0
        declared = pet.mass_kg <= mass and pet.height_m <= tall
        found = _worst(scheme, pet, lines, outlook, floor=not declared)
        called = pet.name or pet.id
        if found is None and declared:
            yield SitingCheck(
                "pet-in-view",
                device.id,
                (pet.id,),
                f"Its kind is declared to leave animals up to {mass:g} kg and {tall:g} m unseen on the floor; nothing "
                f"lifts {called} into its beams.",
                citation="the catalogue's figure for this kind",
            )
            continue
        if found is None:
            yield SitingCheck("pet-in-view", device.id, (pet.id,), f"{called} never comes into its beams.")
            continue
        surface, where, path = found
        margin = walk_margin(
            scheme, device, path, TROT_M_S, mode,
            bottom=surface, top=surface + pet.height_m, width=pet.length_m, sway=0.0,
        )  # fmt: skip
        told = max(margin, -60.0)
        yield SitingCheck(
            "pet-in-view", device.id, (pet.id,),
            f"{called}, {pet.mass_kg:g} kg and {pet.height_m:g} m high, shows most {where}.",
            told, "<=", LIMIT_DB, "dB over the threshold", interval=(told - FUR_DB - SIGMA, told + SIGMA),
            assumption="how warm its coat is, and where it climbs",
            citation="computed with the pet's size by the model of the walk test",
            fix="A pet tolerant kind, a dual-technology kind, a place that does not see its floor, a shut door.",
        )  # fmt: skip
        if mass and pet.mass_kg > mass:
            yield SitingCheck(
                "pet-heavier",
                device.id,
                (pet.id,),
                f"Its kind is declared for {mass:g} kg; {called} weighs {pet.mass_kg:g} kg.",
                pet.mass_kg,
                "<=",
                mass,
                "kg",
                citation="the catalogue's figure for this kind",
                fix="A kind declared for heavier animals.",
            )


def _worst(
    scheme: ProtectionScheme, pet: Pet, lines: Sightlines, outlook: Outlook, *, floor: bool
) -> tuple[float, str, tuple[XY, XY]] | None:
    """Height of the surface, its name, and a walk through the place where the pet shows most."""
    best: tuple[float, float, str, XY] | None = None
    for surface, where, region in _surfaces(scheme, pet, lines):
        if surface == 0.0 and not floor:
            continue  # the maker's word covers an animal of this size on the floor
        points = _grid(region)
        if not len(points):
            continue
        power = np.abs(outlook.power(points[:, 0], points[:, 1], bottom=surface, top=surface + pet.height_m,
                                     width=pet.length_m))  # fmt: skip
        k = int(np.argmax(power))
        if power[k] > 0.0 and (best is None or power[k] > best[0]):
            best = (float(power[k]), surface, where, (float(points[k, 0]), float(points[k, 1])))
    if best is None:
        return None
    _, surface, where, (x, y) = best
    away = np.array([x - outlook.eye[0], y - outlook.eye[1]])
    across = np.array([-away[1], away[0]]) / max(float(np.hypot(*away)), 1e-6)
    ends = [(x + s * HALF_WALK_M * across[0], y + s * HALF_WALK_M * across[1]) for s in (-1.0, 1.0)]
    clear = LineString(ends).intersection(lines.free)
    piece = min(shapely.get_parts(clear), key=lambda g: g.distance(shapely.Point(x, y)), default=None)
    if isinstance(piece, LineString) and piece.length > STEP_M:
        a, b = piece.coords[0], piece.coords[-1]
        return surface, where, ((a[0], a[1]), (b[0], b[1]))
    return surface, where, ((x - 0.2, y), (x + 0.2, y))


def _surfaces(scheme: ProtectionScheme, pet: Pet, lines: Sightlines) -> Iterator[tuple[float, str, Polygon]]:
    premises = scheme.premises
    roams = [r for r in lines.plan.rooms if not pet.room_ids or r.id in pet.room_ids]
    if not roams:
        return
    floor = unary_union([lines.plan.room_shapes[r.id] for r in roams]).intersection(lines.free)
    yield 0.0, "on the floor", floor
    for stair in premises.stairs:
        climbs = not pet.room_ids or any(premises.room(k).storey_id == stair.upper_storey_id for k in pet.room_ids)
        if climbs and stair.lower_storey_id == lines.plan.storey.id and len(stair.outline) >= 3:
            yield STAIR_M, f"on “{stair.name or stair.id}”", Polygon(stair.outline).intersection(floor)
    if not pet.climbs_furniture:
        return
    for o in lines.obstacles:
        if not o.moves and o.base_m < 0.5 and o.height_m <= CLIMBED_M:
            yield o.height_m, f"on “{o.name or o.id}”", Polygon(o.outline).intersection(floor.buffer(0.5))
    beds = [b for b in premises.beds if b.room_id in {r.id for r in roams}]
    for bed in beds:
        yield BED_M, f"on the bed “{bed.id}”", shapely.Point(bed.position).buffer(BED_HALF_M).intersection(floor)


def _grid(region: Polygon) -> NDArray[np.float64]:
    if region.is_empty:
        return np.empty((0, 2))
    x0, y0, x1, y1 = region.bounds
    xs, ys = np.arange(x0 + STEP_M / 2.0, x1, STEP_M), np.arange(y0 + STEP_M / 2.0, y1, STEP_M)
    x, y = (g.ravel() for g in np.meshgrid(xs, ys))
    inside = shapely.contains_xy(region, x, y)
    return np.stack([x[inside], y[inside]], axis=1)
