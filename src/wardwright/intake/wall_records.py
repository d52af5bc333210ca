"""Walls as they are stored: outside, inside or party, with their layers from outside to inside."""

from wardwright.intake.enclosure import left_normal
from wardwright.intake.levels import Level
from wardwright.intake.site import Site
from wardwright.intake.wall_pieces import Piece
from wardwright.model import XY
from wardwright.premises.fabric import Construction, Layer, Wall
from wardwright.premises.openings import OUTSIDE


def wall_records(site: Site, dwelling: dict[str, str]) -> tuple[tuple[Wall, ...], tuple[Construction, ...]]:
    """Walls and the build-ups they share.

    Parameters
    ----------
    site : Site
        The building so far.
    dwelling : dict of str to str
        Dwelling by room id.
    """
    walls: list[Wall] = []
    constructions: dict[tuple[Layer, ...], Construction] = {}
    for piece in site.pieces:
        level = next(lv for lv in site.levels if lv.id == piece.storey_id)
        outside, party, outward = _faces(site, piece, level, dwelling)
        if piece.party:
            outside = False  # what lies beyond is somebody else's, though the plan shows nothing there
        if piece.flag is not None and not piece.assumed and outside is not None and piece.flag != outside and not party:
            site.report.add(
                "outside or inside",
                (piece.id,),
                f"{'outside' if outside else 'inside'} wall, from where it stands; the source's flag says the opposite",
                "nothing to do, unless the plan is wrong",
            )
        layers = _outside_first(piece, outward)
        construction_id = None
        if layers:
            if layers not in constructions:
                name = piece.name or " / ".join(layer.material for layer in layers)
                key = site.ids.name("construction", name)
                constructions[layers] = Construction(id=key, name=name, layers=layers)
            construction_id = constructions[layers].id
            total = sum(layer.thickness_m for layer in layers)
            if abs(total - piece.thickness) > 0.2 * piece.thickness + 0.01:
                site.report.add(
                    "wall build-up",
                    (piece.id,),
                    f"kept, though its layers make {total:.2f} m and the wall is drawn {piece.thickness:.2f} m thick",
                    "check the layers",
                )
        walls.append(
            Wall(
                id=piece.id,
                storey_id=piece.storey_id,
                axis=piece.axis,
                thickness_m=round(min(piece.thickness, 5.0), 4),
                height_m=round(piece.high - piece.low, 4) if piece.high - piece.low > 0.0 else None,
                base_m=round(piece.low - level.elevation, 4),
                construction_id=construction_id,
                outside=outside,
                party=party or piece.party,
                assumed=piece.assumed,
            )
        )
    bare = [p.id for p in site.pieces if not p.layers]
    if bare:
        site.report.add(
            "wall build-up",
            tuple(bare),
            "not known: the source names no material",
            "say what the walls are made of; losses through them are not decided until then",
            missing=True,
        )
    return tuple(walls), tuple(constructions.values())


def _faces(site: Site, piece: Piece, level: Level, dwelling: dict[str, str]) -> tuple[bool | None, bool, XY | None]:
    """Whether a wall faces the outside, parts two dwellings, and which way out of doors lies."""
    enclosure = site.by_level[level.id]
    length = piece.line.length
    count = max(1, min(24, round(length / 0.5)))
    outside, sampled, parted = {1.0: 0, -1.0: 0}, 0, 0
    normal: XY = (0.0, 0.0)
    for n in range(count):
        s = length * (n + 0.5) / count
        spot = piece.line.interpolate(s)
        normal = left_normal(piece.direction_at(s))
        found = [
            enclosure.beyond(
                (spot.x, spot.y),
                (sign * normal[0], sign * normal[1]),
                piece.thickness / 2.0,
                0.1,
                piece.low,
                piece.high,
            )
            for sign in (1.0, -1.0)
        ]
        sampled += 1
        for sign, side in zip((1.0, -1.0), found, strict=True):
            outside[sign] += side == OUTSIDE
        owners = [dwelling.get(s, "") for s in found if s is not None]
        parted += len(owners) == 2 and "" not in owners and owners[0] != owners[1]
    if not enclosure.spaces:
        return None, False, None
    out = max(outside.values()) >= 0.25 * sampled
    outward = None
    if outside[1.0] != outside[-1.0] and length > 0.0:
        s = length / 2.0
        nx, ny = left_normal(piece.direction_at(s))
        sign = 1.0 if outside[1.0] > outside[-1.0] else -1.0
        outward = (sign * nx, sign * ny)
    return out, parted >= 0.25 * sampled and parted > 0, outward if out else None


def _outside_first(piece: Piece, outward: XY | None) -> tuple[Layer, ...]:
    if outward is None or len(piece.layers) < 2:
        return piece.layers
    if piece.toward is not None:
        leads_out = piece.toward[0] * outward[0] + piece.toward[1] * outward[1] > 0.0
        return piece.layers[::-1] if leads_out else piece.layers
    first, last = piece.layers[0].material, piece.layers[-1].material
    if first == "plasterboard" and last in ("brick", "stone", "block", "concrete"):
        return piece.layers[::-1]
    return piece.layers
