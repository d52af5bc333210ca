"""The attacks that fit an opening, leaf by leaf, and the fabric beside it: what moves, what breaks, how long it takes.

Delays come from a declared class where there is one, read as a lower bound for that class's tools; everything else is a
labelled assumption with a wide spread. They say nothing about tools stronger than the class was tested with.
"""

from dataclasses import dataclass

from wardwright.premises.fabric import Construction, RoomUse, Wall
from wardwright.premises.model import Premises
from wardwright.premises.openings import (
    NEIGHBOUR,
    GlassKind,
    Glazing,
    Leaf,
    LeafRole,
    Movement,
    Opening,
    OpeningKind,
)

ARM_M = 0.04
"""A slot wider than this lets an arm in. ISO 13857 Table 4, from memory. [m]"""
BODY_SLOT_M = 0.18
"""A slot wider than this lets a whole body in; ISO 13857. [m]"""
BODY_HOLE_M = 0.24
"""A square or round hole wider than this lets a whole body in; ISO 13857. [m]"""
HAND_M = 0.15
"""A pet flap at least this wide lets an arm to the shoulder in. Assumption. [m]"""
CLASS_S = {"RC 2": (180.0, 900.0), "RC 3": (300.0, 1200.0), "RC 4": (600.0, 1800.0), "RC 5": (900.0, 2400.0)}
CLASS_S["RC 6"] = (1200.0, 3000.0)
"""EN 1627 resistance time and, from memory, total test time by class. [s]"""
GLASS_BLOWS = {"P1A": 3, "P2A": 3, "P3A": 3, "P4A": 3, "P5A": 9, "P6B": 30, "P7B": 51, "P8B": 71}
"""EN 356: impacts withstood (A) or least axe strikes to make an opening (B) by class."""
BLOW_S = 1.5
"""Time for one blow of a hammer or axe. Assumption. [s]"""
UNRATED = "assumption: 10 to 60 s for anything without a declared class, no source"
QUICK = "assumption, no source"


@dataclass(frozen=True)
class Attack:
    """One way of getting through one leaf of an opening, or through the fabric."""

    opening_id: str
    """Empty for an attack on a wall, roof or floor: see ``wall_id`` and ``room_id``."""
    leaf_id: str | None
    """None: the opening has no leaf, or its leaves were not surveyed."""
    name: str
    """``opened``, ``forced``, ``cut or kicked in``, ``glass broken and reached through``, ``glass broken and climbed
    through``, ``lifted out``, ``already open`` or ``wall or roof penetrated``."""
    how: str
    """What is done, in plain words. For the firm's papers only."""
    delay_s: float
    delay_interval_s: tuple[float, float]
    leaf_moves: bool
    """The leaf leaves its shut place, so that a contact on it can notice."""
    glass_breaks: bool
    needs_body_through: bool
    """The body passes through a hole in the leaf or the fabric, or through a leaf left open, and no leaf moves."""
    structure_shaken: bool
    """Blows or prising that a shock detector on the frame can notice."""
    source: str
    assumption: str
    """What governs the delay, or what was not surveyed."""
    moved_leaf_id: str | None = None
    """The leaf that moves; another than ``leaf_id`` where it is undone through the glass beside it."""
    wall_id: str | None = None
    room_id: str | None = None
    from_vent: bool = False
    """It starts from the leaf's vent position."""


_PLAIN: dict[str, tuple[bool, bool, bool, bool]] = {
    "opened": (True, False, False, False),
    "forced": (True, False, False, True),
    "cut or kicked in": (False, False, True, True),
    "glass broken and reached through": (True, True, False, True),
    "glass broken and climbed through": (False, True, True, True),
    "lifted out": (True, False, False, True),
    "already open": (False, False, True, False),
    "wall or roof penetrated": (False, False, True, True),
}
"""By attack: leaf moves, glass breaks, body through, structure shaken."""


def attacks(opening: Opening) -> tuple[Attack, ...]:
    """Every attack that fits an opening, each leaf by itself.

    Parameters
    ----------
    opening : Opening
        An opening with whatever is known of its anatomy. Leaves that were not surveyed are taken as the plainest of
        their kind, and the attack says so.

    Returns
    -------
    tuple of Attack
        Leaf by leaf; within a leaf from the quietest to the noisiest. Empty for an opening no body fits through.
    """
    if min(opening.width_m, opening.height_m) <= BODY_SLOT_M:
        return ()
    if opening.kind is OpeningKind.PASSAGE:
        return (_make(opening, None, "already open", "there is no leaf", (1.0, 0.0, 3.0), QUICK, ""),)
    if opening.kind is OpeningKind.DUCT:
        return _on_duct(opening)
    found: list[Attack] = []
    for leaf in opening.leaves or (None,):
        found += _on_leaf(opening, leaf)
    return tuple(found)


def _make(
    opening: Opening,
    leaf: Leaf | None,
    name: str,
    how: str,
    delay: tuple[float, float, float],
    source: str,
    assumption: str,
    *,
    leaf_moves: bool | None = None,
    structure_shaken: bool | None = None,
    moved: Leaf | None = None,
    from_vent: bool = False,
) -> Attack:
    moves, breaks, body, shaken = _PLAIN[name]
    moves = moves if leaf_moves is None else leaf_moves
    moved = moved or leaf
    body = body or (name == "lifted out" and not moves)  # slats or a unit come out, and the body follows
    return Attack(
        opening_id=opening.id,
        leaf_id=leaf.id if leaf else None,
        name=name,
        how=how,
        delay_s=delay[0],
        delay_interval_s=delay[1:],
        leaf_moves=moves,
        glass_breaks=breaks,
        needs_body_through=body,
        structure_shaken=shaken if structure_shaken is None else structure_shaken,
        source=source,
        assumption=assumption,
        moved_leaf_id=moved.id if moved and moves else None,
        from_vent=from_vent,
    )


def _on_duct(opening: Opening) -> tuple[Attack, ...]:
    if min(opening.width_m, opening.height_m) <= BODY_HOLE_M:
        return ()
    how = "the grille is prised off and somebody crawls through"
    return (_make(opening, None, "cut or kicked in", how, (60.0, 20.0, 180.0), QUICK, "20 to 180 s for a grille"),)


def _on_leaf(opening: Opening, leaf: Leaf | None) -> list[Attack]:
    movement = leaf.movement if leaf else Movement.UNKNOWN
    fixed = movement is Movement.FIXED or (leaf is not None and leaf.role in (LeafRole.FIXED, LeafRole.SIDELIGHT))
    found: list[Attack] = []
    if not fixed:
        found += _opened(opening, leaf)
    if leaf is not None:
        found += _left_open(opening, leaf)
        found += _flap_and_unit(opening, leaf)
        if leaf.lifts_out or movement is Movement.LIFT_OFF:
            found.append(_lifted(opening, leaf))
    if movement is Movement.LOUVRE:
        how = "the slats are slid out of their clips one by one; their frame stays still"
        found.append(
            _make(
                opening,
                leaf,
                "lifted out",
                how,
                (60.0, 20.0, 180.0),
                QUICK,
                "20 to 180 s for a row of slats",
                leaf_moves=False,
                structure_shaken=False,
            )
        )
    if not fixed:
        found.append(_forced(opening, leaf))
    found += _through_glass(opening, leaf, fixed)
    found += _through_panel(opening, leaf)
    return found


def _opened(opening: Opening, leaf: Leaf | None) -> list[Attack]:
    unlocked = leaf is not None and leaf.lock.kind == "none"
    if unlocked:
        text, source = "nothing holds it: it is simply opened", QUICK
    else:
        text = "a key, a code or a lock left undone"
        source = "CSEW-2020: 15 % of the doors burglars used were not locked; time is an assumption"
    return [
        _make(opening, leaf, "opened", text, (3.0, 2.0, 10.0), source, "2 to 10 s where nothing has to be overcome")
    ]


def _left_open(opening: Opening, leaf: Leaf) -> list[Attack]:
    """A vent-open leaf: neither open nor closed."""
    if leaf.vent is None:
        return []
    gap, when = leaf.vent.gap_m, f"left open {leaf.vent.gap_m:.2f} m ({leaf.vent.when}, {leaf.vent.season})"
    if gap > BODY_SLOT_M:
        how = f"{when}: a body goes through the gap and the leaf need not move"
        return [
            _make(
                opening,
                leaf,
                "already open",
                how,
                (8.0, 3.0, 20.0),
                QUICK,
                "3 to 20 s to climb through",
                from_vent=True,
            )
        ]
    if gap > ARM_M:
        how = f"{when}: an arm goes through the gap and releases it"
        note = "5 to 30 s to release a leaf through its vent gap; the contact starts from the vent position"
        return [_make(opening, leaf, "opened", how, (12.0, 5.0, 30.0), QUICK, note, from_vent=True)]
    return []


def _flap_and_unit(opening: Opening, leaf: Leaf) -> list[Attack]:
    found = []
    flap = leaf.pet_flap_m
    if flap is not None and flap > BODY_HOLE_M:
        how = f"the pet flap is {flap:.2f} m wide: a small person crawls through"
        found.append(_make(opening, leaf, "already open", how, (15.0, 5.0, 40.0), QUICK, "5 to 40 s to crawl through"))
    if flap is not None and flap >= HAND_M:
        how = "an arm goes through the pet flap and undoes the lock from inside"
        found.append(_make(opening, leaf, "opened", how, (20.0, 8.0, 60.0), QUICK, "8 to 60 s to find and undo it"))
    if leaf.removable_unit:
        how = "the unit that sits in the opening is pushed in; the leaf itself stays still"
        found.append(
            _make(
                opening,
                leaf,
                "lifted out",
                how,
                (15.0, 5.0, 45.0),
                QUICK,
                "5 to 45 s for a unit held by brackets or by the sash alone",
                leaf_moves=False,
            )
        )
    return found


def _lifted(opening: Opening, leaf: Leaf) -> Attack:
    how = "the leaf is lifted clear of its track or hinges from outside"
    return _make(opening, leaf, "lifted out", how, *_delay(leaf))


def _forced(opening: Opening, leaf: Leaf | None) -> Attack:
    ways = {
        OpeningKind.GARAGE_DOOR: "the door is forced up or its release is hooked from outside",
        OpeningKind.BULKHEAD: "the flaps are prised apart",
        OpeningKind.HATCH: "the cover is prised up",
        OpeningKind.ROOFLIGHT: "the light is prised off its kerb",
    }
    moves = {
        Movement.DOUBLE_HUNG: "the sash is prised past its catch",
        Movement.SINGLE_HUNG: "the sash is prised past its catch",
        Movement.ROLLER: "the curtain is prised up",
        Movement.OVERHEAD: ways[OpeningKind.GARAGE_DOOR],
    }
    movement = leaf.movement if leaf else Movement.UNKNOWN
    how = moves.get(movement) or ways.get(opening.kind) or "the leaf is prised or kicked past its lock"
    return _make(opening, leaf, "forced", how, *_delay(leaf))


def _delay(leaf: Leaf | None) -> tuple[tuple[float, float, float], str, str]:
    """Delay with its interval, source and assumption: a declared class, or 10 to 60 s."""
    declared = leaf.lock.resistance_class if leaf else None
    held = CLASS_S.get(_class_key(declared)) if declared else None
    if held is not None:
        note = f"declared {declared}: time withstood with that class's tools, a lower bound; none for stronger tools"
        return (held[0], held[0], held[1]), "EN1627-2011; longest time from memory", note
    note = "no class declared" if declared is None else f"class “{declared}” promises no time"
    return (30.0, 10.0, 60.0), UNRATED, note


def _class_key(declared: str) -> str:
    """``RC2N``, ``rc 2`` and ``RC 2 N`` all mean class 2; N only drops the glass."""
    letters = declared.upper().replace(" ", "").removesuffix("N")
    return f"RC {letters.removeprefix('RC')}"


def _glazing(opening: Opening, leaf: Leaf | None) -> tuple[Glazing | None, str]:
    if leaf is not None and leaf.glazing is not None:
        return leaf.glazing, ""
    glassy = opening.kind in (OpeningKind.WINDOW, OpeningKind.ROOFLIGHT)
    if leaf is not None:
        glassy = glassy or leaf.role in (LeafRole.SIDELIGHT, LeafRole.TRANSOM) or leaf.material == "glass"
    return (Glazing(), "the glass was not surveyed: taken as one plain pane") if glassy else (None, "")


def _pane(opening: Opening, leaf: Leaf | None, glazing: Glazing) -> tuple[float, float]:
    """Width and height of the pane, as surveyed or judged from the leaf. [m]"""
    width = glazing.width_m or (leaf.width_m if leaf and leaf.width_m else _share(opening))
    height = glazing.height_m
    if height is None:
        height = opening.height_m * {"whole": 1.0, "upper half": 0.5, "panel": 0.4}[glazing.part]
        if leaf is not None and leaf.movement in (Movement.DOUBLE_HUNG, Movement.SINGLE_HUNG):
            height /= 2
        if leaf is not None and leaf.role is LeafRole.TRANSOM:
            height = 0.4
    return width, height


def _share(opening: Opening) -> float:
    """Width of one leaf where it was not measured: leaves side by side share the opening. [m]"""
    stacked = (Movement.DOUBLE_HUNG, Movement.SINGLE_HUNG)
    beside = [x for x in opening.leaves if x.role is not LeafRole.TRANSOM and x.movement not in stacked]
    return opening.width_m / max(1, len(beside))


def _through_glass(opening: Opening, leaf: Leaf | None, fixed: bool) -> list[Attack]:
    glazing, note = _glazing(opening, leaf)
    if glazing is None:
        return []
    blows = GLASS_BLOWS.get((glazing.resistance_class or "").upper().replace(" ", ""))
    if blows is not None:
        extra = blows * BLOW_S
        delay = (30.0 + extra, 10.0 + blows * 1.0, 60.0 + blows * 3.0)
        source = "EN356-1999 for the number of blows; time per blow is an assumption"
        note = f"declared {glazing.resistance_class}: at least {blows} blows, 1 to 3 s each"
    else:
        slow = 2.0 if glazing.kind in (GlassKind.LAMINATED, GlassKind.PLASTIC, GlassKind.WIRED) else 1.0
        delay, source = (30.0 * slow, 10.0 * slow, 60.0 * slow), UNRATED
        note = note or f"{glazing.kind} glass without a class"
    width, height = _pane(opening, leaf, glazing)
    found = []
    can_be_undone = leaf is None or leaf.lock.kind in ("none", "latch", "bolt", "unknown") or leaf.lock.thumb_turn
    if not fixed and can_be_undone:
        how = "the glass is broken and the lock undone from inside"
        found.append(_make(opening, leaf, "glass broken and reached through", how, delay, source, note))
    beside = _leaf_beside(opening, leaf)
    if fixed and beside is not None:
        how = f"the glass beside it is broken and “{beside.id}” undone from inside: that leaf then moves"
        found.append(_make(opening, leaf, "glass broken and reached through", how, delay, source, note, moved=beside))
    if min(width, height) > BODY_HOLE_M:
        how = "the glass is broken out and somebody climbs through; no leaf moves"
        found.append(_make(opening, leaf, "glass broken and climbed through", how, delay, source, note))
    return found


def _leaf_beside(opening: Opening, leaf: Leaf | None) -> Leaf | None:
    """The leaf that a hand through a sidelight or fixed light could undo."""
    if leaf is None:
        return None
    undone = ("none", "latch", "bolt", "unknown")
    for other in opening.leaves:
        moves = other.role is LeafRole.ACTIVE and other.movement is not Movement.FIXED
        if other.id != leaf.id and moves and (other.lock.thumb_turn or other.lock.kind in undone):
            return other
    return None


def _through_panel(opening: Opening, leaf: Leaf | None) -> list[Attack]:
    """A solid leaf cut or kicked through, its lock untouched."""
    glazing, _ = _glazing(opening, leaf)
    if glazing is not None and glazing.part == "whole":
        return []
    material = leaf.material if leaf else "unknown"
    if material == "steel" and (leaf is None or leaf.movement is not Movement.OVERHEAD):
        note = "60 to 600 s to cut sheet steel"
        return [_make(opening, leaf, "cut or kicked in", "the sheet is cut", (180.0, 60.0, 600.0), QUICK, note)]
    how = "a panel is kicked in or cut out; the frame of the leaf stays shut"
    return [_make(opening, leaf, "cut or kicked in", how, *_delay(leaf))]


LIGHT = frozenset({"plasterboard", "stud", "timber", "insulation", "plaster and lath", "air", "plaster", "glass"})
"""Layers that a person breaks through with hand tools in minutes. Common practice, no source."""


def fabric_attacks(premises: Premises) -> tuple[Attack, ...]:
    """Ways in through walls and roof spaces rather than openings.

    Parameters
    ----------
    premises : Premises
        The building.

    Returns
    -------
    tuple of Attack
        One for every party wall and every light outside wall, and one for every roof space that may be shared with
        the neighbours (an attic above a storey with a party wall, itself without one).
    """
    constructions = {c.id: c for c in premises.constructions}
    found = []
    for wall in premises.walls:
        built = constructions.get(wall.construction_id) if wall.construction_id else None
        light = _is_light(built)
        if (wall.party and light is not False) or (wall.outside and light):
            found.append(_wall_attack(wall, built, light))
    for room in premises.rooms:
        own = [w for w in premises.walls if w.storey_id == room.storey_id and w.party]
        below = any(w.party for w in premises.walls) or any(NEIGHBOUR in o.sides for o in premises.openings)
        if room.use is RoomUse.ATTIC and below and not own:
            found.append(
                _fabric(
                    "over the party wall through a roof space that is not divided, then through the ceiling or hatch",
                    (60.0, 20.0, 300.0),
                    "no party wall is drawn at this level: look whether the roof space is divided",
                    room_id=room.id,
                )
            )
    return tuple(found)


def _is_light(built: Construction | None) -> bool | None:
    """True: every layer gives way to hand tools. None: not known."""
    if built is None or any(layer.material == "unknown" for layer in built.layers):
        return None
    return all(layer.material in LIGHT for layer in built.layers)


def _wall_attack(wall: Wall, built: Construction | None, light: bool | None) -> Attack:
    note = f"light construction “{built.name}”" if built and light else "construction not surveyed: taken as light"
    return _fabric("a hole is cut through the wall", (180.0, 60.0, 600.0), note, wall_id=wall.id)


def _fabric(
    how: str, delay: tuple[float, float, float], note: str, *, wall_id: str | None = None, room_id: str | None = None
) -> Attack:
    moves, breaks, body, shaken = _PLAIN["wall or roof penetrated"]
    return Attack(
        opening_id="",
        leaf_id=None,
        name="wall or roof penetrated",
        how=how,
        delay_s=delay[0],
        delay_interval_s=delay[1:],
        leaf_moves=moves,
        glass_breaks=breaks,
        needs_body_through=body,
        structure_shaken=shaken,
        source=QUICK,
        assumption=note,
        wall_id=wall_id,
        room_id=room_id,
    )
