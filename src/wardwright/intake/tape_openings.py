"""An opening in plain words: ``window, 1.20 x 1.05, sill 0.90, 0.50 from west end, sash, vented at night 0.10``."""

import re
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from wardwright.errors import InputError
from wardwright.intake.tape_form import length_of, plain, size_of
from wardwright.premises.openings import (
    GlassKind,
    Glazing,
    Leaf,
    LeafRole,
    Lock,
    Movement,
    OpeningKind,
    Vent,
)

KINDS: tuple[tuple[str, OpeningKind, str], ...] = (
    ("french doors?|french pair|french windows?|double doors?|pair of doors", OpeningKind.DOOR, "pair"),
    ("patio doors?|sliding doors?", OpeningKind.DOOR, "patio"),
    (
        "garage doors?|overhead garage doors?|up and over doors?|roller doors?|roller shutters?",
        OpeningKind.GARAGE_DOOR,
        "",
    ),
    ("(?:front|back|side|cellar|inner|internal)? ?doors?", OpeningKind.DOOR, ""),
    ("roof ?lights?|sky ?lights?|roof windows?", OpeningKind.ROOFLIGHT, ""),
    (
        "(?:sash|bay|picture|casement|louvre|louver|jalousie|sliding)? ?windows?|jalousie",
        OpeningKind.WINDOW,
        "",
    ),
    ("(?:attic |loft |crawl |cellar )?hatch|trap ?door|loft ladder", OpeningKind.HATCH, ""),
    ("bulkhead(?: doors?)?", OpeningKind.BULKHEAD, ""),
    ("duct|vent grille|grille", OpeningKind.DUCT, ""),
    ("arch(?:way)?|passage|open(?:ing)?|no door", OpeningKind.PASSAGE, ""),
)
_MOVES: tuple[tuple[str, Movement], ...] = (
    ("double.?hung|sash", Movement.DOUBLE_HUNG),
    ("single.?hung", Movement.SINGLE_HUNG),
    ("lift and slide", Movement.LIFT_AND_SLIDE),
    ("patio|sliding|slides|slider", Movement.SLIDING),
    ("pocket", Movement.POCKET),
    ("bi-?fold|folding", Movement.FOLDING),
    ("overhead|up and over|sectional", Movement.OVERHEAD),
    ("roller", Movement.ROLLER),
    ("tilt(?: and |-)turn|tilts", Movement.TILT_AND_TURN),
    ("louvre|louver|jalousie|slats", Movement.LOUVRE),
    ("fixed|does not open|painted shut|screwed shut|picture", Movement.FIXED),
    ("lift.?off|loose|lifts off", Movement.LIFT_OFF),
    ("casement|hinged|side.?hung|top.?hung|swing", Movement.HINGED),
)
_MATERIALS = (
    ("timber|wood|wooden|oak|pine", "timber"),
    ("steel|metal|iron", "steel"),
    ("alumin(?:i)?um", "aluminium"),
    ("u?pvc(?:-u)?|plastic", "plastic"),
    ("all glass|glass door", "glass"),
)
_GLASS = (
    ("laminated", GlassKind.LAMINATED),
    ("toughened|tempered", GlassKind.TOUGHENED),
    ("wired", GlassKind.WIRED),
    ("polycarbonate|acrylic", GlassKind.PLASTIC),
    ("plain glass|float", GlassKind.FLOAT),
)
_LOCKS = (
    ("no lock|unlocked|does not lock", "none"),
    ("multi.?point(?: lock)?", "multi-point"),
    ("mortice|mortise|deadlock|lever lock", "mortice"),
    ("cylinder|night ?latch|rim lock|euro lock", "cylinder"),
    ("padlock(?:ed)?", "padlock"),
    ("bolt(?:ed|s)?", "bolt"),
    ("key.?locked|locks with a key|window lock|sash lock", "key-locked"),
    ("latch|catch", "latch"),
)
_FLAP_M = {"cat": 0.16, "dog": 0.25, "pet": 0.20}
"""Clear width of a flap where it was not measured. Common practice, no source. [m]"""


@dataclass
class Words:
    """An opening as its line describes it."""

    kind: OpeningKind
    form: str
    """``pair``, ``patio`` or nothing."""
    called: str = ""
    to: str | None = None
    width_m: float | None = None
    height_m: float | None = None
    sill_m: float | None = None
    offset: tuple[float, str] | None = None
    """Distance of the nearer edge from an end of the wall, and which end. [m]"""
    centred: bool = False
    final_exit: bool = False
    usually: Literal["open", "shut"] | None = None
    leaves: tuple[Leaf, ...] = ()
    spot_m: tuple[float, float] | None = None
    """In a floor or ceiling: east and north of the room's south-west corner. [m]"""
    guesses: list[str] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Anatomy:
    """What the words say about the leaves, before leaves are made of it."""

    movement: Movement = Movement.UNKNOWN
    material: str = "unknown"
    glass: GlassKind = GlassKind.UNKNOWN
    panes: int | None = None
    glass_class: str | None = None
    glazed: str | None = None
    lock: str = "unknown"
    lock_class: str | None = None
    thumb_turn: bool = False
    vent: Vent | None = None
    lower_vent: bool = False
    lifts_out: bool = False
    unit: bool = False
    flap_m: float | None = None
    sidelights: tuple[float | None, ...] = ()
    transom: str = ""
    leaves: int = 0


def is_opening(text: str) -> bool:
    """True when a line's first words name an opening.

    Parameters
    ----------
    text : str
        The first field of the line.
    """
    return _kind(plain(text)) is not None


def _kind(words: str) -> tuple[OpeningKind, str, str] | None:
    """Kind, form, and what is left of the words after it."""
    for names, kind, form in KINDS:
        found = re.match(rf"(?P<before>(?:\w+[ -])*?)(?P<kind>{names})(?=$| )", words)
        if found and len(found["before"].split()) <= 3 and not found["before"].startswith(("next to", "adjoins")):
            return kind, form, f"{found['before']} {found['kind']} {words[found.end() :]}"
    return None


def read_opening(fields: tuple[str, ...], unit: str) -> Words:
    """Read one opening.

    Parameters
    ----------
    fields : tuple of str
        Parts of its line, the kind first.
    unit : str
        Unit of bare numbers.

    Returns
    -------
    Words
        What was understood; ``unread`` holds the rest.

    Raises
    ------
    InputError
        If a figure cannot be read or makes no sense.
    """
    first = plain(fields[0])
    found = _kind(first)
    if found is None:
        raise InputError(f"“{fields[0]}” is no kind of opening known here; write door, window, French doors, hatch …")
    kind, form, _ = found
    opening, anatomy = Words(kind, form), _Anatomy()
    head = fields[0]
    if called := re.search(r"\bcalled (.+?)(?= to |$)", head, flags=re.IGNORECASE):
        opening.called, head = called[1].strip(), head.replace(called[0], "")
    if to := re.search(r"\bto (?:the )?(.+)$", head, flags=re.IGNORECASE):
        opening.to = to[1].strip()
        head = head[: to.start()]
    anatomy, _ = _anatomy_words(plain(head), anatomy, opening, unit)
    for part in fields[1:]:
        if _place_words(part, opening, unit):
            continue
        anatomy, understood = _anatomy_words(plain(part), anatomy, opening, unit)
        if not understood:
            opening.unread.append(part)
    opening.leaves = _leaves(opening, anatomy)
    return opening


def _place_words(part: str, opening: Words, unit: str) -> bool:
    words = plain(part)
    size = None if "pet" in words or "sidelight" in words else size_of(words, unit)
    if size is not None:
        if len(size) != 2 or min(size) < 0.05:
            raise InputError(f"“{part}” is no size of an opening; write its width x its height")
        if size[0] > 12.0 or size[1] > 8.0:
            raise InputError(f"an opening of {size[0]:.2f} m x {size[1]:.2f} m is not likely; check the unit")
        opening.width_m, opening.height_m = size
    elif wide := re.fullmatch(r"(.+) (wide|high)", words):
        figure = length_of(wide[1], unit)
        if wide[2] == "wide":
            opening.width_m = figure
        else:
            opening.height_m = figure
    elif words.startswith("sill "):
        level = words[5:].strip()
        below = level.startswith(("-", "−", "–"))
        opening.sill_m = (-1.0 if below else 1.0) * length_of(level.lstrip("-−– "), unit)
    elif words in ("centred", "centered", "in the middle", "middle"):
        opening.centred = True
    elif at := re.fullmatch(
        r"(.+) from (?:the )?(north|east|south|west|left|right|start|far)(?:ern)?(?: end| corner| hand end)?", words
    ):
        opening.offset = (length_of(at[1], unit), at[2])
    elif spot := re.fullmatch(r"at (.+) east (.+) north", words):
        opening.spot_m = (length_of(spot[1], unit), length_of(spot[2], unit))
    elif words.startswith("called "):
        opening.called = part.strip()[7:].strip()
    elif words.startswith("to "):
        opening.to = re.sub(r"^the ", "", part.strip()[3:].strip())
    elif words in ("final exit", "way out and in", "last door out"):
        opening.final_exit = True
    elif words in ("usually shut", "kept shut", "shut"):
        opening.usually = "shut"
    elif words in ("usually open", "kept open"):
        opening.usually = "open"
    else:
        return False
    return True


def _anatomy_words(words: str, a: _Anatomy, opening: Words, unit: str) -> tuple[_Anatomy, bool]:
    """Take in what one phrase says about leaves, glass and locks; and whether anything in it was understood."""
    told: dict[str, Any] = {}
    if vent := re.match(r"(lower sash )?(?:vented|ajar|left open)\b(.*)$", words):
        told["vent"], told["lower_vent"] = _vent(vent[2], unit), bool(vent[1])
        return replace(a, **told), True
    if flap := re.match(r"(pet|cat|dog) flap(.*)$", words):
        measured = flap[2].strip()
        told["flap_m"] = length_of(measured.split("x")[0], unit) if measured else _FLAP_M[flap[1]]
        if not measured:
            opening.guesses.append(f"the {flap[1]} flap is {told['flap_m']:.2f} m wide")
        return replace(a, **told), True
    if side := re.match(r"(two )?side ?lights?(?: (\d.*))?$", words):
        width = length_of(side[2], unit) if side[2] else None
        return replace(a, sidelights=(width,) * (2 if side[1] else 1)), True
    if "transom" in words or "fanlight" in words:
        return replace(a, transom="opening" if "open" in words else "fixed"), True
    for pattern, movement in _MOVES:
        if re.search(rf"\b(?:{pattern})\b", words):
            told["movement"] = movement
            break
    for pattern, material in _MATERIALS:
        if re.search(rf"\b(?:{pattern})\b", words):
            told["material"] = material
    for pattern, glass in _GLASS:
        if re.search(rf"\b(?:{pattern})\b", words):
            told["glass"] = glass
    if panes := re.search(r"\b(single|double|triple)(?: glazed| glazing)\b", words):
        told["panes"] = {"single": 1, "double": 2, "triple": 3}[panes[1]]
    if re.search(r"\b(half.?glazed|glazed above|glass in the upper half)\b", words):
        told["glazed"] = "upper half"
    elif re.search(r"\b(glazed panel|glass panel|small pane)\b", words):
        told["glazed"] = "panel"
    elif re.search(r"\b(solid|unglazed|no glass)\b", words):
        told["glazed"] = "none"
    elif re.search(r"\b(glazed|all glass|glass door)\b", words):
        told["glazed"] = "whole"
    for pattern, lock in _LOCKS:
        if re.search(rf"\b(?:{pattern})\b", words):
            told["lock"] = lock
            break
    if declared := re.search(r"\b(rc ?\d ?n?)\b", words):
        told["lock_class"] = re.sub(r"rc ?(\d) ?(n?)", r"RC \1 \2", declared[1]).strip().upper()
    if glass_class := re.search(r"\b(p\d[ab])\b", words):
        told["glass_class"] = glass_class[1].upper()
    if re.search(r"\bthumb.?turn\b", words):
        told["thumb_turn"] = True
    if re.search(r"\blifts? out\b", words):
        told["lifts_out"] = True
    if re.search(r"\b(window unit|air condition\w*|cooler|fan unit|unit in it)\b", words):
        told["unit"] = True
    if count := re.search(r"\b(two|three|four|2|3|4)[ -](?:leaf|leaves|panels?|casements)\b", words):
        told["leaves"] = {"two": 2, "three": 3, "four": 4}.get(count[1]) or int(count[1])
    return replace(a, **told), bool(told)


def _vent(words: str, unit: str) -> Vent:
    """``at night 0.10 in summer while set``."""
    words = re.sub(r"\bin (?:the )?(summer|winter)\b", r"\1", words)  # that ``in`` is no inch
    gap = re.search(r"(\d[\d.,]*(?: ?(?:mm|cm|m|in|ft|inches|\"|'))?)", words)
    if gap is None:
        raise InputError("say how far it is left open, for example “vented at night 0.10”")
    day, night = "day" in words, "night" in words
    return Vent(
        gap_m=length_of(gap[1], unit),
        season="summer" if "summer" in words else "winter" if "winter" in words else "all year",
        when="both" if day and night else "day" if day else "night",
        wanted_when_set=bool(re.search(r"\b(set|armed)\b", words)),
    )


def _leaves(opening: Words, a: _Anatomy) -> tuple[Leaf, ...]:
    """Leaves the words describe, each to be proved by itself."""
    if opening.kind in (OpeningKind.PASSAGE, OpeningKind.DUCT):
        return ()
    glassy = opening.kind in (OpeningKind.WINDOW, OpeningKind.ROOFLIGHT) or opening.form in ("pair", "patio")
    part = a.glazed or ("whole" if glassy or a.panes or a.glass_class else "none")
    pane = None
    if part != "none":
        pane = Glazing(kind=a.glass, panes=a.panes or 1, part=part, resistance_class=a.glass_class)
    lock = Lock(kind=a.lock, resistance_class=a.lock_class, thumb_turn=a.thumb_turn)
    made_of = {"material": a.material, "glazing": pane}
    movement = a.movement
    whole = opening.width_m

    def leaf(key: str, **more: Any) -> Leaf:
        given = {"movement": movement, "lock": lock, "lifts_out": a.lifts_out, **made_of, **more}
        return Leaf(id=key, **given)

    found: list[Leaf] = []
    still = {"role": LeafRole.FIXED, "movement": Movement.FIXED, "lock": Lock(kind="none"), "lifts_out": False}
    sides = len(a.sidelights)
    taken = sum(w or 0.30 for w in a.sidelights)
    clear = None if whole is None else max(0.1, whole - taken)
    if movement in (Movement.DOUBLE_HUNG, Movement.SINGLE_HUNG):
        upper = still if movement is Movement.SINGLE_HUNG else {"vent": None if a.lower_vent else a.vent}
        both = movement is Movement.SINGLE_HUNG or a.lower_vent
        found.append(leaf("upper-sash", **upper))
        found.append(leaf("lower-sash", vent=a.vent if both else None, removable_unit=a.unit))
    elif opening.form == "pair":
        movement = Movement.HINGED if movement is Movement.UNKNOWN else movement
        half = None if clear is None else clear / 2
        found.append(leaf("active-leaf", width_m=half, vent=a.vent, pet_flap_m=a.flap_m))
        held = Lock(kind="bolt")
        found.append(leaf("inactive-leaf", role=LeafRole.INACTIVE, width_m=half, lock=held))
    elif opening.form == "patio" and movement in (Movement.SLIDING, Movement.LIFT_AND_SLIDE):
        count = a.leaves or 2
        share = None if clear is None else clear / count
        found.append(leaf("sliding-leaf", width_m=share, vent=a.vent, pet_flap_m=a.flap_m))
        for n in range(1, count):
            found.append(leaf(f"fixed-leaf-{n}", width_m=share, **still))
    else:
        count = a.leaves or 1
        share = None if clear is None else clear / count
        fixed = movement is Movement.FIXED
        for n in range(1, count + 1):
            more: dict[str, Any] = {"width_m": share}
            if n == 1:
                more |= {"vent": a.vent, "pet_flap_m": a.flap_m, "removable_unit": a.unit}
            if fixed:
                more |= {"role": LeafRole.FIXED}
            found.append(leaf("leaf" if count == 1 else f"leaf-{n}", **more))
    side_pane = Glazing(kind=a.glass, panes=a.panes or 1)
    for n, width in enumerate(a.sidelights, 1):
        key = "sidelight" if sides == 1 else f"sidelight-{n}"
        light = {**still, "role": LeafRole.SIDELIGHT, "glazing": side_pane}
        found.append(leaf(key, width_m=width or 0.30, **light))
        if width is None and n == 1:
            opening.guesses.append("the sidelight is 0.30 m wide")
    if a.transom:
        over = {**still, "role": LeafRole.TRANSOM, "glazing": side_pane}
        if a.transom == "opening":
            over |= {"movement": Movement.HINGED, "lock": Lock(kind="latch")}
        found.append(leaf("transom-light", **over))
    return tuple(found)
