"""A very small writer of SVG: elements as strings, text escaped, numbers short. One unit is one millimetre of paper."""

from collections.abc import Iterable, Sequence
from html import escape

from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

Point = tuple[float, float]
Value = str | float | int


def number(value: float) -> str:
    """A number with at most three decimals and no idle zeros."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def el(name: str, *children: str, **attributes: Value | None) -> str:
    """One element. Underscores in attribute names become hyphens, a trailing one falls away; None is left out."""
    parts = [name]
    for key, value in attributes.items():
        if value is None:
            continue
        shown = value if isinstance(value, str) else number(float(value))
        parts.append(f'{key.rstrip("_").replace("_", "-")}="{escape(legible(shown), quote=True)}"')
    head = " ".join(parts)
    body = "".join(children)
    return f"<{head}>{body}</{name}>" if body else f"<{head}/>"


def legible(text: str) -> str:
    """Text without the control characters that no XML may hold."""
    return "".join(
        c for c in text if c in "\t\n" or (ord(c) >= 32 and not 0xD800 <= ord(c) <= 0xDFFF and c not in "￾￿")
    )


def words(text: str) -> str:
    """Text as the content of an element."""
    return escape(legible(text), quote=False)


def group(*children: str, **attributes: Value | None) -> str:
    """A ``g`` element; nothing at all when it would be empty."""
    return el("g", *children, **attributes) if any(children) else ""


def line(start: Point, end: Point, **attributes: Value | None) -> str:
    """A straight line."""
    return el("line", x1=start[0], y1=start[1], x2=end[0], y2=end[1], **attributes)


def path_of(points: Sequence[Point], *, closed: bool = False) -> str:
    """Path data through points."""
    steps = " ".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{steps}{'Z' if closed else ''}"


def polyline(points: Sequence[Point], *, closed: bool = False, **attributes: Value | None) -> str:
    """A path through points, not filled unless told."""
    return el("path", d=path_of(points, closed=closed), **{"fill": "none", **attributes})


def polygons(shape: BaseGeometry) -> Iterable[Polygon]:
    """The polygons of a geometry, whatever it is made of."""
    if isinstance(shape, Polygon):
        if not shape.is_empty:
            yield shape
    elif isinstance(shape, MultiPolygon) or hasattr(shape, "geoms"):
        for part in shape.geoms:
            yield from polygons(part)


def area(shape: BaseGeometry, **attributes: Value | None) -> str:
    """A filled path of a polygon or several, holes cut out; empty text for an empty shape."""
    data = "".join(
        path_of(list(ring.coords)[:-1], closed=True)
        for polygon in polygons(shape)
        for ring in (polygon.exterior, *polygon.interiors)
    )
    return el("path", d=data, fill_rule="evenodd", **attributes) if data else ""


def document(*children: str, width: float, height: float, title: str) -> str:
    """A whole drawing.

    Parameters
    ----------
    *children : str
        Elements, in millimetres of paper.
    width, height : float
        Size of the sheet. [mm]
    title : str
        Spoken by screen readers.

    Returns
    -------
    str
        The SVG text.
    """
    return el(
        "svg",
        el("title", words(title)),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        width=f"{number(width)}mm",
        height=f"{number(height)}mm",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
    )
