"""IFC to a draft: open, settle the unit, read every part, keep a list of every guess."""

import statistics
from pathlib import Path

from wardwright.errors import IntakeError
from wardwright.intake.draft import Draft, DraftRoom
from wardwright.intake.ifc_fabric import storeys_of, walls_of
from wardwright.intake.ifc_file import IfcBuilding, open_ifc, site_north, site_position
from wardwright.intake.ifc_fittings import Fittings, fittings_of, stairs_of
from wardwright.intake.ifc_openings import openings_of
from wardwright.intake.ifc_rooms import rooms_of
from wardwright.intake.ifc_services import services_of
from wardwright.intake.ifc_slabs import slabs_of
from wardwright.premises.life import Bed


def read_ifc(path: Path, *, scale: float | None = None) -> Draft:
    """Read the building in an IFC file (2x3, 4 and later).

    Parameters
    ----------
    path : Path
        The file.
    scale : float, optional
        Metres in one length unit of the file, where its header lies. [m]

    Returns
    -------
    Draft
        Everything found, in metres, with every guess listed.

    Raises
    ------
    IntakeError
        If the file is empty, cut short, foreign, or holds neither rooms nor walls.
    """
    path = Path(path)
    building = open_ifc(path, scale=scale)
    try:
        return _draft(building)
    except (IntakeError, MemoryError):
        raise
    except Exception as error:  # a file damaged inside an entity fails wherever that entity is first touched
        raise IntakeError(
            "the file is damaged inside and cannot be read as a building; save it again from its own program",
            where=path.name,
        ) from error


def _draft(building: IfcBuilding) -> Draft:
    storeys = storeys_of(building)
    elevation = {s.key: s.elevation_m for s in storeys}
    walls = walls_of(building, elevation)
    rooms = rooms_of(building, elevation)
    indoors = [r for r in rooms if r.indoors]
    if not walls and not indoors:
        raise IntakeError(_why_not(building, rooms), where=building.path.name)
    _check_sizes([w.height_m for w in walls if w.height_m], [r.height_m for r in rooms if r.height_m], building)
    openings = openings_of(building, elevation)
    stairs = stairs_of(building, storeys)
    fittings = fittings_of(building, elevation)
    latitude, longitude = site_position(building)
    north = site_north(building)
    return Draft(
        name=_name(building),
        source=f"{building.path.name} ({building.file.schema})",
        storeys=tuple(storeys),
        walls=tuple(walls),
        rooms=tuple(rooms),
        openings=tuple(openings),
        stairs=tuple(stairs),
        obstacles=fittings.obstacles,
        standings=tuple(slabs_of(building)),
        heat=fittings.heat,
        services=services_of(building),
        beds=_beds(fittings, rooms, elevation),
        north_rad=north,
        latitude_deg=latitude,
        longitude_deg=longitude,
        assumptions=tuple(building.assumptions),
    )


def _why_not(building: IfcBuilding, rooms: list[DraftRoom]) -> str:
    services = building.all_of("IfcDistributionElement")
    if services:
        return (
            f"the file holds only building services ({len(services)} of them), no walls and no rooms: "
            "give the architect's file, and lay this one over it"
        )
    if rooms:
        return "the file holds only spaces out of doors, no walls and no rooms inside"
    return "the file holds no walls and no rooms whose shape can be built"


def _check_sizes(walls: list[float], rooms: list[float], building: IfcBuilding) -> None:
    heights = walls or rooms
    height = statistics.median(heights)
    if not 1.0 <= height <= 15.0:
        building.note(
            "size of the building",
            (),
            f"kept as found, though {'walls' if walls else 'rooms'} come out {height:.3g} m high",
            "give --scale with the metres in one unit of the file",
        )


def _name(building: IfcBuilding) -> str:
    for element in building.all_of("IfcBuilding", "IfcProject", "IfcSite"):
        for value in (getattr(element, "LongName", None), element.Name):
            text = str(value or "").strip()
            if text and text.lower() not in ("default", "undefined", "project number", "building", "gebäude"):
                return text
    return building.path.stem


def _beds(fittings: Fittings, rooms: list[DraftRoom], elevation: dict[str, float]) -> tuple[Bed, ...]:
    from shapely import Point, Polygon

    beds = []
    for key, storey, centre, base, sleepers in fittings.beds:
        level = elevation[storey] + base
        for room in rooms:
            floor = elevation[room.storey_key] + room.base_m
            inside = floor - 0.3 <= level < floor + (room.height_m or 2.5)
            if inside and Polygon(room.outline).buffer(0.05).contains(Point(centre)):
                beds.append(Bed(id=key, room_id=room.key, position=centre, sleepers=sleepers))
                break
    return tuple(beds)
