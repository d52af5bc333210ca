"""What a drawn opening is: door, window or passage, its leaves and sizes, and what of that was guessed."""

import math
from collections.abc import Sequence

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from wardwright.intake.draft import DraftOpening, DraftRoom
from wardwright.intake.dxf_layers import Meaning
from wardwright.intake.dxf_openings import OPENING_MEANINGS, Found, panels
from wardwright.intake.dxf_strokes import Stroke
from wardwright.intake.report import Report
from wardwright.intake.size_codes import leaves_of
from wardwright.premises.openings import Leaf, LeafRole, Movement, OpeningKind

DOOR_HEAD_M = 2.03
"""Door heads where no code says: common practice, no source. [m]"""


def drafted_openings(
    report: Report,
    found: Sequence[Found],
    rooms: Sequence[DraftRoom],
    strokes: Sequence[Stroke],
    storey_key: str,
    prefix: str,
) -> list[DraftOpening]:
    """Openings of a storey with kind, size, leaves and side.

    Parameters
    ----------
    report : Report
        Takes every guess.
    found : sequence of Found
        As drawn; those with no room on either side are left out. [m]
    rooms : sequence of DraftRoom
        Rooms of the storey.
    strokes : sequence of Stroke
        Everything drawn on it. [m]
    storey_key, prefix : str
        Key of the storey, and what to put before the openings' keys.
    """
    indoor = shapely.union_all([Polygon(r.outline, r.holes) for r in rooms if r.indoors])
    symbols = [s for s in strokes if s.meaning in OPENING_MEANINGS]
    heads = [f.code.height for f in found if f.code and f.code.kind is not OpeningKind.WINDOW and f.code.height > 1.85]
    head = sorted(heads)[len(heads) // 2] if heads else DOOR_HEAD_M
    guessed: dict[str, list[str]] = {}
    made: list[DraftOpening] = []
    for number, one in enumerate(found, start=1):
        sides = _sides(one, indoor)
        if not any(sides):
            continue
        kind, guess = _kind(one, all(sides))
        key = f"{prefix}opening_{number}"
        if guess:
            guessed.setdefault(guess, []).append(key)
        height = one.code.height if one.code else None
        sill = None
        if kind is not OpeningKind.WINDOW:
            sill = 0.0
        elif height is not None:
            sill = max(0.0, head - height)
            guessed.setdefault("sill", []).append(key)
        label = f" ({one.code.text})" if one.code else ""
        made.append(
            DraftOpening(
                key=key,
                storey_key=storey_key,
                name=f"{kind.value} {number}{label}",
                kind=kind,
                centre=one.centre,
                along_rad=one.along,
                width_m=one.width,
                height_m=height,
                sill_m=sill,
                leaves=_leaves(key, one, kind, symbols),
                outside=not all(sides),
            )
        )
    _note_guesses(report, guessed, head)
    return made


def _sides(one: Found, indoor: BaseGeometry) -> tuple[bool, bool]:
    """Whether either side of an opening lies indoors."""
    nx, ny = -math.sin(one.along), math.cos(one.along)
    reach = one.thickness / 2 + 0.12
    x, y = one.centre
    return (
        bool(indoor.covers(Point(x + nx * reach, y + ny * reach))),
        bool(indoor.covers(Point(x - nx * reach, y - ny * reach))),
    )


def _kind(one: Found, inside: bool) -> tuple[OpeningKind, str]:
    """What an opening is; and, where that is a guess, which one."""
    meanings, code = one.meanings, one.code
    if Meaning.GARAGE_DOOR in meanings or (code and code.kind is OpeningKind.GARAGE_DOOR):
        return OpeningKind.GARAGE_DOOR, ""
    if code and code.kind is not None:
        return code.kind, ""
    if one.arcs:
        return OpeningKind.DOOR, ""
    if Meaning.WINDOW in meanings and Meaning.DOOR not in meanings:
        return OpeningKind.WINDOW, ""
    if Meaning.DOOR in meanings:
        return OpeningKind.DOOR, ""
    if code and code.height >= 1.75 and one.width >= 0.55:
        return OpeningKind.DOOR, ""
    if code and not inside:
        return OpeningKind.WINDOW, "narrow" if code.height >= 1.75 else ""
    if meanings and not inside:
        return OpeningKind.WINDOW, "window"
    if meanings:
        return OpeningKind.DOOR, "door"
    if not inside:
        return OpeningKind.DOOR, "bare outside"
    return OpeningKind.PASSAGE, "bare inside"


def _note_guesses(report: Report, guessed: dict[str, list[str]], head: float) -> None:
    said = {
        "narrow": ("narrow light", "a fixed light: too narrow for a door"),
        "window": ("kind of opening", "windows: lines run through them, no leaf swings"),
        "door": ("kind of opening", "inside doors: something is drawn in them, no leaf swings"),
        "bare outside": ("gap in an outside wall", "doors: nothing is drawn in the gap"),
        "bare inside": ("gap in an inside wall", "doorways without a leaf: nothing is drawn in the gap"),
        "sill": ("sill height", f"window heads level with the door heads at {head:.2f} m, less the height by the code"),
    }
    for guess, keys in guessed.items():
        what, assumed = said[guess]
        report.add(what, tuple(keys), assumed, "look on site and correct the opening")


def _leaves(key: str, one: Found, kind: OpeningKind, symbols: Sequence[Stroke]) -> tuple[Leaf, ...]:
    if one.arcs and kind is OpeningKind.DOOR:
        by_size = sorted(one.arcs, key=lambda a: -a.radius)
        return tuple(
            Leaf(
                id=f"{key}-{n}",
                role=LeafRole.ACTIVE if n == 1 else LeafRole.INACTIVE,
                movement=Movement.HINGED,
                width_m=arc.radius,
            )
            for n, arc in enumerate(by_size, start=1)
        )
    if one.code and one.code.movements:
        glazed = kind is OpeningKind.DOOR and Movement.FIXED in one.code.movements
        return leaves_of(key, one.code, one.width, glazed)
    if kind is OpeningKind.GARAGE_DOOR:
        return (Leaf(id=f"{key}-1", movement=Movement.OVERHEAD, width_m=one.width),)
    if kind is OpeningKind.DOOR:
        count, pocket = panels(one, symbols)
        if pocket:
            return (Leaf(id=f"{key}-1", movement=Movement.POCKET, width_m=one.width),)
        if count >= 2:
            return tuple(Leaf(id=f"{key}-{n}", movement=Movement.SLIDING, width_m=one.width / 2) for n in (1, 2))
        return (Leaf(id=f"{key}-1", movement=Movement.UNKNOWN, width_m=one.width),)
    if kind is OpeningKind.WINDOW and one.code and one.width < 0.55 and one.code.height >= 1.75:
        return (Leaf(id=f"{key}-1", role=LeafRole.SIDELIGHT, movement=Movement.FIXED, width_m=one.width),)
    return ()
