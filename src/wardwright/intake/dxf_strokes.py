"""A DXF file as plain strokes and texts: blocks unfolded, curves cut into chords, nothing interpreted yet."""

import logging
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wardwright.errors import IntakeError
from wardwright.intake.dxf_layers import Meaning, meaning_of
from wardwright.intake.size_codes import plain_text
from wardwright.model import XY

if TYPE_CHECKING:
    from ezdxf.document import Drawing

LARGEST_FILE = 300_000_000
MOST_STROKES = 300_000
DEEPEST_BLOCK = 12
CHORD_DEG = 7.5
"""Arcs are cut at whole multiples of this, so that the two faces of a curved wall get parallel chords. [deg]"""


@dataclass(frozen=True)
class Arc:
    """A part of a circle."""

    centre: XY
    radius: float
    start: XY
    end: XY
    sweep_deg: float


@dataclass(frozen=True)
class Stroke:
    """One drawn line, arc or outline. [drawing units]"""

    layer: str
    meaning: Meaning
    points: tuple[XY, ...]
    closed: bool = False
    filled: int = 0
    """Number of the hatch or solid it bounds; outlines of one number cut holes in each other. 0: just a line."""
    arc: Arc | None = None
    width: float = 0.0
    """Drawn width of a thick polyline. [drawing units]"""
    insert: int | None = None
    """Which inserted block it came from."""


@dataclass(frozen=True)
class Label:
    """One line of text."""

    text: str
    at: XY
    height: float
    layer: str
    angle_deg: float = 0.0
    insert: int | None = None


@dataclass(frozen=True)
class Dimension:
    """A measured length with what its text says."""

    drawn: float
    text: str


@dataclass
class Sheet:
    """Everything read from a file."""

    name: str
    unit_code: int
    strokes: list[Stroke] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    dimensions: list[Dimension] = field(default_factory=list)
    inserts: dict[int, str] = field(default_factory=dict)
    """Name of the block of every insert that something came from."""
    fills: int = 0
    unread: int = 0
    mended: int = 0
    missing_references: tuple[str, ...] = ()
    hidden_layers: tuple[str, ...] = ()

    @property
    def layers(self) -> list[str]:
        """Layers anything is drawn on, in order of use."""
        seen: dict[str, int] = {}
        for s in self.strokes:
            seen[s.layer] = seen.get(s.layer, 0) + 1
        return sorted(seen, key=lambda k: -seen[k])


def read_sheet(path: Path) -> Sheet:
    """Read the model space of a DXF file.

    Parameters
    ----------
    path : Path
        The file; text or binary DXF of any release.

    Returns
    -------
    Sheet

    Raises
    ------
    IntakeError
        If it is no DXF, is cut short, or holds nothing.
    """
    path = Path(path)
    doc, mended = _document(path)
    try:
        return _sheet(doc, path, mended)
    except IntakeError:
        raise
    except Exception as error:  # a damaged file makes the library stumble in ways it does not declare
        raise IntakeError(f"the file is damaged ({_first_line(error)})", where=path.name) from None


def _sheet(doc: "Drawing", path: Path, mended: int) -> Sheet:
    sheet = Sheet(path.name, int(doc.header.get("$INSUNITS", 0) or 0), mended=mended)
    hidden = {layer.dxf.name for layer in doc.layers if layer.is_off() or layer.is_frozen()}
    space: Iterable[Any] = doc.modelspace()
    if len(doc.modelspace()) == 0:
        filled = [name for name in doc.layout_names_in_taborder() if name != "Model" and len(doc.layout(name)) > 2]
        extra = " (there is something on a paper sheet: copy the plan to model space)" if filled else ""
        raise IntakeError(f"the drawing's model space is empty{extra}", where=path.name)
    sheet.missing_references = tuple(b.name for b in doc.blocks if b.block is not None and b.block.is_xref)
    used_hidden: set[str] = set()
    for entity in space:
        layer = str(entity.dxf.get("layer", "0")) if entity.dxf.is_supported("layer") else "0"
        if layer in hidden:
            used_hidden.add(layer)
            continue
        _take(sheet, entity, layer, None, None, 0, hidden)
    sheet.hidden_layers = tuple(sorted(used_hidden))
    return sheet


def in_metres(sheet: Sheet, scale: float, origin: XY) -> Sheet:
    """The same sheet in metres, moved so that ``origin`` comes to lie at 0, 0.

    Parameters
    ----------
    sheet : Sheet
        As read. [drawing units]
    scale : float
        Metres per drawing unit.
    origin : XY
        A point of the drawing. [drawing units]
    """

    def put(p: XY) -> XY:
        return ((p[0] - origin[0]) * scale, (p[1] - origin[1]) * scale)

    def turn(arc: Arc | None) -> Arc | None:
        if arc is None:
            return None
        return Arc(put(arc.centre), arc.radius * scale, put(arc.start), put(arc.end), arc.sweep_deg)

    return replace(
        sheet,
        strokes=[
            replace(s, points=tuple(put(p) for p in s.points), arc=turn(s.arc), width=s.width * scale)
            for s in sheet.strokes
        ],
        labels=[replace(t, at=put(t.at), height=t.height * scale) for t in sheet.labels],
    )


def _document(path: Path) -> tuple["Drawing", int]:
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            head = file.read(4096)
            file.seek(max(0, size - 2048))
            tail = file.read()
    except OSError as error:
        raise IntakeError(f"the file cannot be opened ({error.strerror})", where=path.name) from None
    if size > LARGEST_FILE:
        raise IntakeError(f"the file is larger than {LARGEST_FILE // 1_000_000} MB", where=path.name)
    if head[:4] == b"AC10" and head[4:6].isdigit():
        raise IntakeError("this is a DWG file; save it as DXF and try again", where=path.name)
    binary = head.startswith(b"AutoCAD Binary DXF")
    if not binary:
        if b"\x00" in head or not head.strip():
            raise IntakeError("this is no DXF file", where=path.name)
        if tail.strip()[-3:] != b"EOF":
            cut = "the file is cut short: its last line should be EOF"
            said = cut if b"SECTION" in head else "this is no DXF file"
            raise IntakeError(said, where=path.name)
    logging.getLogger("ezdxf").addHandler(logging.NullHandler())  # what it mends is counted, not printed
    from ezdxf import recover
    from ezdxf.filemanagement import readfile

    try:
        return readfile(str(path)), 0
    except IntakeError:
        raise
    except Exception:
        try:
            doc, auditor = recover.readfile(str(path))
        except Exception as error:
            raise IntakeError(f"the file cannot be read as DXF ({_first_line(error)})", where=path.name) from None
        return doc, max(1, len(auditor.errors) + len(auditor.fixes))


def _first_line(error: Exception) -> str:
    text = str(error).strip().splitlines()
    return text[0][:120] if text else type(error).__name__


def _take(
    sheet: Sheet, entity: Any, layer: str, meaning: Meaning | None, insert: int | None, depth: int, hidden: set[str]
) -> None:
    """Add one entity. ``meaning`` is that of the block it came from, where its name says something."""
    if len(sheet.strokes) > MOST_STROKES:
        raise IntakeError(f"the drawing holds more than {MOST_STROKES:,} lines", where=sheet.name)
    try:
        kind = entity.dxftype()
        if kind == "INSERT":
            _unfold(sheet, entity, layer, meaning, insert, depth, hidden)
        elif kind == "DIMENSION":
            _dimension(sheet, entity)
        elif kind in ("TEXT", "MTEXT", "ATTRIB"):
            _text(sheet, entity, layer, insert)
        else:
            own = meaning_of(layer)
            what = meaning if meaning is not None and own in (Meaning.UNKNOWN, Meaning.WALL) else own
            for stroke in _numbered(sheet, _strokes(entity, kind, layer, what, insert)):
                if all(math.isfinite(c) and abs(c) < 1e12 for p in stroke.points for c in p):
                    sheet.strokes.append(stroke)
                else:
                    sheet.unread += 1
    except IntakeError:
        raise
    except Exception:
        sheet.unread += 1


def _numbered(sheet: Sheet, strokes: Iterator[Stroke]) -> Iterator[Stroke]:
    """Outlines of one hatch or solid get one number of their own."""
    sheet.fills += 1
    for stroke in strokes:
        yield replace(stroke, filled=sheet.fills) if stroke.filled else stroke


def _unfold(
    sheet: Sheet, entity: Any, layer: str, meaning: Meaning | None, insert: int | None, depth: int, hidden: set[str]
) -> None:
    if depth >= DEEPEST_BLOCK or entity.mcount > 400:
        sheet.unread += 1
        return
    name = str(entity.dxf.name)
    number = insert
    if insert is None:
        number = len(sheet.inserts)
        sheet.inserts[number] = name
    said = meaning_of(name)
    here = (
        said if said in (Meaning.DOOR, Meaning.WINDOW, Meaning.GARAGE_DOOR, Meaning.OPENING, Meaning.OTHER) else meaning
    )
    if here is None and meaning_of(layer) is not Meaning.UNKNOWN and meaning_of(layer) is not Meaning.WALL:
        here = meaning_of(layer)
    for attribute in entity.attribs:
        _text(sheet, attribute, layer, number)
    copies = entity.multi_insert() if entity.mcount > 1 else (entity,)
    for copy in copies:
        for part in copy.virtual_entities():
            own = str(part.dxf.get("layer", "0"))
            if own in hidden:
                continue
            _take(sheet, part, layer if own == "0" else own, here, number, depth + 1, hidden)


def _dimension(sheet: Sheet, entity: Any) -> None:
    if entity.dimtype not in (0, 1):
        return
    drawn = entity.get_measurement()
    if not isinstance(drawn, float | int) or not math.isfinite(drawn) or drawn <= 0:
        return
    text = str(entity.dxf.get("text", "") or "")
    if text.strip() in ("", "<>"):
        block = entity.get_geometry_block()
        texts = [t for t in block or () if t.dxftype() in ("TEXT", "MTEXT")]
        text = _plain(texts[0]) if texts else ""
    sheet.dimensions.append(Dimension(float(drawn), plain_text(text)))


def _plain(entity: Any) -> str:
    return str(entity.plain_text()) if hasattr(entity, "plain_text") else str(entity.dxf.text)


def _text(sheet: Sheet, entity: Any, layer: str, insert: int | None) -> None:
    if entity.dxftype() == "MTEXT":
        height = float(entity.dxf.get("char_height", 1.0))
        at = entity.dxf.insert
        lines = [plain_text(line) for line in str(entity.plain_text()).split("\n")]
        for k, line in enumerate(line for line in lines if line):
            spot = (float(at.x), float(at.y) - 1.6 * height * k)
            sheet.labels.append(Label(line, spot, height, layer, float(entity.dxf.get("rotation", 0.0)), insert))
        return
    anchor = entity.dxf.insert
    if entity.dxf.get("halign", 0) and entity.dxf.hasattr("align_point"):
        anchor = entity.dxf.align_point
    line = plain_text(str(entity.plain_text()) if hasattr(entity, "plain_text") else str(entity.dxf.text))
    if not line:
        return
    height = float(entity.dxf.get("height", 1.0))
    angle = float(entity.dxf.get("rotation", 0.0))
    x, y = float(anchor.x), float(anchor.y)
    if not entity.dxf.get("halign", 0):  # anchored at its left end: its middle is what it stands in
        half = 0.3 * height * len(line)
        x, y = x + half * math.cos(math.radians(angle)), y + half * math.sin(math.radians(angle))
    sheet.labels.append(Label(line, (x, y), height, layer, angle, insert))


def _strokes(entity: Any, kind: str, layer: str, meaning: Meaning, insert: int | None) -> Iterator[Stroke]:
    if kind == "LINE":
        a, b = entity.dxf.start, entity.dxf.end
        yield Stroke(layer, meaning, ((float(a.x), float(a.y)), (float(b.x), float(b.y))), insert=insert)
    elif kind == "ARC":
        yield _arc(entity, layer, meaning, insert)
    elif kind in ("CIRCLE", "ELLIPSE", "SPLINE"):
        yield from _curve(entity, kind, layer, meaning, insert)
    elif kind in ("LWPOLYLINE", "POLYLINE"):
        if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
            return
        yield from _polyline(entity, kind, layer, meaning, insert)
    elif kind in ("SOLID", "TRACE", "3DFACE"):
        corners = [(float(v.x), float(v.y)) for v in entity.wcs_vertices()]
        yield Stroke(layer, meaning, tuple(corners), closed=True, filled=1, insert=insert)
    elif kind == "HATCH":
        yield from _hatch(entity, layer, meaning, insert)
    elif kind == "MLINE":
        for part in entity.virtual_entities():
            yield from _strokes(part, part.dxftype(), layer, meaning, insert)


def _arc(entity: Any, layer: str, meaning: Meaning, insert: int | None) -> Stroke:
    centre = entity.ocs().to_wcs(entity.dxf.center)
    a, b = entity.start_point, entity.end_point
    sweep = (float(entity.dxf.end_angle) - float(entity.dxf.start_angle)) % 360.0
    arc = Arc(
        (float(centre.x), float(centre.y)),
        abs(float(entity.dxf.radius)),
        (float(a.x), float(a.y)),
        (float(b.x), float(b.y)),
        sweep or 360.0,
    )
    mirrored = entity.dxf.hasattr("extrusion") and entity.dxf.extrusion.z < 0
    return Stroke(layer, meaning, _chords(arc, mirrored), arc=arc, insert=insert)


def _chords(arc: Arc, mirrored: bool) -> tuple[XY, ...]:
    first, last = (arc.end, arc.start) if mirrored else (arc.start, arc.end)
    start = math.degrees(math.atan2(first[1] - arc.centre[1], first[0] - arc.centre[0]))
    stop = start + arc.sweep_deg
    cuts = [start]
    at = (math.floor(start / CHORD_DEG + 1e-6) + 1) * CHORD_DEG
    while at < stop - 1e-6:
        cuts.append(at)
        at += CHORD_DEG
    inner = [
        (
            arc.centre[0] + arc.radius * math.cos(math.radians(c)),
            arc.centre[1] + arc.radius * math.sin(math.radians(c)),
        )
        for c in cuts[1:]
    ]
    return (first, *inner, last)


def _curve(entity: Any, kind: str, layer: str, meaning: Meaning, insert: int | None) -> Iterator[Stroke]:
    if kind == "CIRCLE":
        centre, radius = entity.ocs().to_wcs(entity.dxf.center), abs(float(entity.dxf.radius))
        points = tuple(
            (
                centre.x + radius * math.cos(math.radians(CHORD_DEG * k)),
                centre.y + radius * math.sin(math.radians(CHORD_DEG * k)),
            )
            for k in range(int(360 / CHORD_DEG))
        )
        yield Stroke(layer, meaning, points, closed=True, insert=insert)
        return
    points = tuple((float(v.x), float(v.y)) for v in _flattened(entity, kind))
    if len(points) < 2:
        return
    arc = None
    if kind == "ELLIPSE":
        major = float(entity.dxf.major_axis.magnitude)
        sweep = math.degrees((float(entity.dxf.end_param) - float(entity.dxf.start_param)) % math.tau)
        if sweep and 0.9 <= float(entity.dxf.ratio) <= 1.0:
            centre = entity.dxf.center
            arc = Arc((float(centre.x), float(centre.y)), major, points[0], points[-1], sweep)
    yield Stroke(layer, meaning, points, arc=arc, insert=insert)


def _flattened(entity: Any, kind: str) -> Iterator[Any]:
    if kind == "ELLIPSE":
        yield from entity.flattening(max(float(entity.dxf.major_axis.magnitude) / 200.0, 1e-9), segments=8)
        return
    box = list(entity.control_points) or list(entity.fit_points)
    if not box:
        return
    size = max(max(p[0] for p in box) - min(p[0] for p in box), max(p[1] for p in box) - min(p[1] for p in box))
    yield from entity.flattening(max(float(size) / 300.0, 1e-9), segments=4)


def _polyline(entity: Any, kind: str, layer: str, meaning: Meaning, insert: int | None) -> Iterator[Stroke]:
    closed = bool(entity.closed if kind == "LWPOLYLINE" else entity.is_closed)
    points: list[XY] = []
    for part in entity.virtual_entities():
        if part.dxftype() == "ARC":
            stroke = _arc(part, layer, meaning, insert)
            yield stroke
            chords = list(stroke.points)
        elif part.dxftype() == "LINE":
            chords = [(float(p.x), float(p.y)) for p in (part.dxf.start, part.dxf.end)]
        else:
            continue
        if points and math.dist(points[-1], chords[-1]) < math.dist(points[-1], chords[0]):
            chords.reverse()
        points += chords if not points else chords[1:]
    if len(points) < 2:
        return
    width = 0.0
    if kind == "LWPOLYLINE":
        width = float(entity.dxf.get("const_width", 0.0) or 0.0)
        if not width:
            widths = [w for _, _, s, e, _ in entity.get_points("xyseb") for w in (s, e)]
            width = float(widths[0]) if widths and min(widths) == max(widths) else 0.0
    elif entity.dxf.get("default_start_width", 0.0) == entity.dxf.get("default_end_width", 0.0):
        width = float(entity.dxf.get("default_start_width", 0.0) or 0.0)
    meets = _meets(points)
    if meets:
        points.pop()
    closed = closed or (meets and len(points) > 2)
    yield Stroke(layer, meaning, tuple(points), closed=closed, width=abs(width), insert=insert)


def _meets(points: list[XY]) -> bool:
    """The last point is the first one again."""
    if len(points) < 3:
        return False
    span = max(abs(p[k] - points[0][k]) for p in points for k in (0, 1))
    return math.dist(points[0], points[-1]) <= 1e-6 * span


def _hatch(entity: Any, layer: str, meaning: Meaning, insert: int | None) -> Iterator[Stroke]:
    from ezdxf.path import from_hatch

    for path in from_hatch(entity):
        size = path.control_vertices()
        if len(size) < 3:
            continue
        span = max(max(p.x for p in size) - min(p.x for p in size), max(p.y for p in size) - min(p.y for p in size))
        points = [(float(v.x), float(v.y)) for v in path.flattening(max(span / 300.0, 1e-9), segments=4)]
        if _meets(points):
            points.pop()
        if len(points) >= 3:
            yield Stroke(layer, meaning, tuple(points), closed=True, filled=1, insert=insert)
