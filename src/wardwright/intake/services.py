"""Building services laid over a building: mains, telephone and existing detectors for placing the panel and devices."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, cast

from shapely import MultiPoint, Point, Polygon, union_all

from wardwright.errors import IntakeError
from wardwright.intake.draft import Assumption, DraftService
from wardwright.model import XY
from wardwright.premises.fabric import Obstacle, Storey
from wardwright.premises.life import HeatSource, ServicePoint
from wardwright.premises.model import Premises

_SAME_LEVEL_M = 0.10
_NEAR_M = 1.5
"""Services this near the outline belong to the building: meters and lights on its outer walls. [m]"""


@dataclass(frozen=True)
class Services:
    """What a services file holds."""

    source: str
    points: tuple[DraftService, ...]
    storey_levels: tuple[float, ...]
    """Storeys the services file speaks of, above its zero. [m]"""
    assumptions: tuple[Assumption, ...] = ()

    def of_kind(self, kind: str) -> tuple[DraftService, ...]:
        """Points of one kind."""
        return tuple(p for p in self.points if p.kind == kind)


def overlay_services(
    premises: Premises, services: Services, *, moved: XY = (0.0, 0.0)
) -> tuple[Premises, tuple[Assumption, ...]]:
    """Lay a services file over a building read from another file of the same project.

    Parameters
    ----------
    premises : Premises
        The building.
    services : Services
        Its services, on the same origin.
    moved : XY
        Shift the building was given when it was brought near the origin. [m]

    Returns
    -------
    tuple
        The building with service points, heat sources and the appliances one cannot walk through, and what was assumed.

    Raises
    ------
    IntakeError
        If the two do not lie over each other.
    """
    outline = union_all([Polygon(r.outline) for r in premises.rooms])
    spots = MultiPoint([(p.position[0] + moved[0], p.position[1] + moved[1]) for p in services.points])
    inside = sum(outline.distance(spot) <= _NEAR_M for spot in spots.geoms)
    if inside < 0.5 * len(services.points):
        raise IntakeError(
            f"only {inside} of {len(services.points)} services lie in the building: the two files do not share one "
            "origin or one unit",
            where=services.source,
        )
    notes = list(services.assumptions)
    levels = [s.elevation_m for s in premises.storeys]
    odd = [z for z in services.storey_levels if all(abs(z - e) > _SAME_LEVEL_M for e in levels)]
    if odd:
        notes.append(
            Assumption(
                "storeys of the services",
                (),
                f"levels {', '.join(f'{z:.2f} m' for z in odd)} are no storey of the building; its own were used",
                "check the unit and the zero level of the services file",
            )
        )
    strayed = len(services.points) - inside
    if strayed:
        notes.append(
            Assumption(
                "services outside the building",
                (),
                f"{strayed} kept where they are",
                "remove what is not this building's",
            )
        )
    points, heat, obstacles = service_records(premises, services.points, set(premises.ids), moved=moved)
    return (
        premises.model_copy(
            update={
                "services": (*premises.services, *points),
                "heat_sources": (*premises.heat_sources, *heat),
                "obstacles": (*premises.obstacles, *obstacles),
            }
        ),
        tuple(notes),
    )


def service_records(
    premises: Premises, points: Sequence[DraftService], taken: set[str], *, moved: XY = (0.0, 0.0)
) -> tuple[list[ServicePoint], list[HeatSource], list[Obstacle]]:
    """Service points, heat sources and obstacles as stored.

    Parameters
    ----------
    premises : Premises
        The building they stand in.
    points : sequence of DraftService
        As read.
    taken : set of str
        Ids already given out.
    moved : XY
        Shift to apply. [m]
    """
    shapes = {r.id: Polygon(r.outline, r.holes) for r in premises.rooms}
    records: list[ServicePoint] = []
    heat: list[HeatSource] = []
    obstacles: list[Obstacle] = []

    def fresh(kind: str) -> str:
        n = 1
        while f"{kind}-{n}" in taken:
            n += 1
        taken.add(f"{kind}-{n}")
        return f"{kind}-{n}"

    for point in points:
        x, y = point.position[0] + moved[0], point.position[1] + moved[1]
        storey = _storey(premises, point.level_m)
        here = [r for r in premises.rooms if r.storey_id == storey.id and shapes[r.id].distance(Point(x, y)) < 0.25]
        room = min(here, key=lambda r: shapes[r.id].distance(Point(x, y)), default=None)
        records.append(
            ServicePoint(
                id=fresh(point.kind.replace(" ", "-")),
                name=point.name,
                kind=cast("Literal['other']", point.kind),
                storey_id=storey.id,
                position=(x, y),
                height_m=round(point.level_m - storey.elevation_m, 4),
                room_id=None if room is None else room.id,
            )
        )
        middle = (x, y)
        if point.outline:
            box = Polygon(point.outline).centroid
            middle = (box.x + moved[0], box.y + moved[1])
        base = point.bottom_m - storey.elevation_m
        if point.heat_kind is not None and room is not None:
            level = (point.bottom_m + point.top_m) / 2.0 if point.outline else point.level_m
            heat.append(
                HeatSource(
                    id=fresh("heat"),
                    kind=cast("Literal['other']", point.heat_kind),
                    storey_id=storey.id,
                    position=middle,
                    height_m=max(0.0, round(level - storey.elevation_m, 3)),
                )
            )
        if point.outline and room is not None and base < 0.5 and point.top_m - point.bottom_m > 0.3:
            obstacles.append(
                Obstacle(
                    id=fresh("obstacle"),
                    name=point.name or point.kind,
                    storey_id=storey.id,
                    outline=tuple((px + moved[0], py + moved[1]) for px, py in point.outline),
                    base_m=max(0.0, round(base, 4)),
                    height_m=round(point.top_m - storey.elevation_m, 4),
                )
            )
    return records, heat, obstacles


def _storey(premises: Premises, z: float) -> Storey:
    below = [s for s in premises.storeys if s.elevation_m <= z + 0.05]
    return max(below or premises.storeys, key=lambda s: s.elevation_m if below else -s.elevation_m)
