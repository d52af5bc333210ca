"""A small house drawn as DXF in many offices' ways. Invented; 8 m × 6 m, three rooms, three doors, two windows."""

import math
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

import ezdxf
import shapely
from shapely import Polygon, box

XY = tuple[float, float]

WALLS = shapely.union_all(
    [box(0, 0, 8, 6).difference(box(0.3, 0.3, 7.7, 5.7)), box(4.0, 0.3, 4.1, 5.7), box(4.1, 3.0, 7.7, 3.1)]
)
DOORS = {  # hole, hinge, the leaf's end when open, when shut
    "front": (box(1, 0, 2, 0.3), (1.0, 0.3), (1.0, 1.3), (2.0, 0.3)),
    "kitchen": (box(4.0, 1.0, 4.1, 1.8), (4.0, 1.0), (3.2, 1.0), (4.0, 1.8)),
    "bedroom": (box(4.0, 4.0, 4.1, 4.8), (4.0, 4.0), (3.2, 4.0), (4.0, 4.8)),
}
WINDOWS = {"kitchen": box(7.7, 1.0, 8.0, 2.2), "bedroom": box(5.0, 5.7, 6.5, 6.0)}
ROOMS = {"LIVING ROOM": 3.7 * 5.4, "KITCHEN": 3.6 * 2.7, "BEDROOM": 3.6 * 2.6}
PLACES = {"LIVING ROOM": (2.0, 3.0), "KITCHEN": (5.8, 1.6), "BEDROOM": (5.8, 4.4)}


@dataclass
class House:
    """How the house is drawn."""

    per_metre: float = 1000.0
    """Drawing units in a metre."""
    header: int = 4
    turn_deg: float = 0.0
    shift: XY = (0.0, 0.0)
    layers: dict[str, str] = field(default_factory=lambda: {"wall": "A-WALL", "door": "A-DOOR", "window": "A-GLAZ"})
    walls_as: str = "lines"
    """lines, polylines, hatch, lines through, axes, wide"""
    doors_as: str = "loose"
    """loose, blocks, none"""
    windows_as: str = "loose"
    names: bool = True
    dimensions: bool = False
    size_codes: bool = False
    stop_short: float = 0.0
    """Metres by which faces stop short of corners: sloppy drawing."""
    extra: Any = None

    def put(self, p: XY) -> XY:
        """A point of the house as drawn."""
        a = math.radians(self.turn_deg)
        x, y = p
        return (
            (x * math.cos(a) - y * math.sin(a)) * self.per_metre + self.shift[0],
            (x * math.sin(a) + y * math.cos(a)) * self.per_metre + self.shift[1],
        )

    def save(self, path: Path) -> Path:
        """Write the drawing."""
        doc = ezdxf.new("R2010", setup=True)
        doc.header["$INSUNITS"] = self.header
        space = doc.modelspace()
        self._walls(space)
        self._doors(doc, space)
        self._windows(doc, space)
        if self.names:
            for name, at in PLACES.items():
                text = space.add_text(name, height=0.2 * self.per_metre, dxfattribs={"layer": "A-ANNO"})
                text.set_placement(self.put(at), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)
        if self.dimensions:
            for a, b in (((0, -1), (8, -1)), ((0, -1.5), (4, -1.5)), ((-1, 0), (-1, 6))):
                feet = math.dist(a, b) / 0.3048
                text = f"{int(feet)}'-{(feet % 1) * 12:.0f}\""
                dim = space.add_aligned_dim(p1=self.put(a), p2=self.put(b), distance=0.3 * self.per_metre, text=text)
                dim.render()
        if self.extra is not None:
            self.extra(self, doc, space)
        doc.saveas(path)
        return path

    def _walls(self, space: Any) -> None:
        layer = {"layer": self.layers["wall"]}
        holes = shapely.union_all([d[0] for d in DOORS.values()] + list(WINDOWS.values()))
        through = self.walls_as == "lines through"
        solid = WALLS if through else WALLS.difference(holes)
        parts = list(getattr(solid, "geoms", [solid]))
        if self.walls_as == "axes":
            axes = [((0.15, 0.15), (7.85, 0.15)), ((7.85, 0.15), (7.85, 5.85)), ((7.85, 5.85), (0.15, 5.85))]
            axes += [((0.15, 5.85), (0.15, 0.15)), ((4.05, 0.15), (4.05, 5.85)), ((4.05, 3.05), (7.85, 3.05))]
            for a, b in axes:
                space.add_line(self.put(a), self.put(b), dxfattribs=layer)
            return
        for part in parts:
            rings = [part.exterior, *part.interiors]
            if self.walls_as == "hatch":
                hatch = space.add_hatch(dxfattribs=layer)
                for k, ring in enumerate(rings):
                    points = [self.put(c) for c in ring.coords[:-1]]
                    hatch.paths.add_polyline_path(points, is_closed=True, flags=1 if k == 0 else 16)
                continue
            for ring in rings:
                xy = [(float(c[0]), float(c[1])) for c in ring.coords]
                if self.walls_as == "polylines":
                    space.add_lwpolyline([self.put(p) for p in xy[:-1]], close=True, dxfattribs=layer)
                    continue
                for a, b in pairwise(xy):
                    length = math.dist(a, b)
                    cut = self.stop_short if length > 0.5 else 0.0
                    ux, uy = (b[0] - a[0]) / length * cut, (b[1] - a[1]) / length * cut
                    one, two = (a[0] + ux, a[1] + uy), (b[0] - ux, b[1] - uy)
                    space.add_line(self.put(one), self.put(two), dxfattribs=layer)

    def _doors(self, doc: Any, space: Any) -> None:
        if self.doors_as == "none":
            return
        layer = {"layer": self.layers["door"]}
        for _, hinge, opened, shut in DOORS.values():
            width = math.dist(hinge, shut)
            if self.doors_as == "blocks":
                name = f"Door_{width * 100:.0f}"
                if name not in doc.blocks:
                    block = doc.blocks.new(name)
                    block.add_line((0, 0), (0, width), dxfattribs={"layer": "0"})
                    block.add_arc((0, 0), width, 0, 90, dxfattribs={"layer": "0"})
                angle = math.degrees(math.atan2(shut[1] - hinge[1], shut[0] - hinge[0]))
                side = (shut[0] - hinge[0]) * (opened[1] - hinge[1]) - (shut[1] - hinge[1]) * (opened[0] - hinge[0])
                flip = 1.0 if side > 0 else -1.0
                space.add_blockref(
                    name,
                    self.put(hinge),
                    dxfattribs={
                        **layer,
                        "xscale": self.per_metre,
                        "yscale": flip * self.per_metre,
                        "zscale": self.per_metre,
                        "rotation": angle + self.turn_deg,
                    },
                )
            else:
                angles = sorted(
                    math.degrees(math.atan2(p[1] - hinge[1], p[0] - hinge[0])) % 360 for p in (opened, shut)
                )
                start, end = angles if angles[1] - angles[0] < 180 else angles[::-1]
                space.add_arc(
                    self.put(hinge),
                    width * self.per_metre,
                    start + self.turn_deg,
                    end + self.turn_deg,
                    dxfattribs=layer,
                )
                space.add_line(self.put(hinge), self.put(opened), dxfattribs=layer)
            if self.size_codes:
                code = {1.0: "3468", 0.8: "2868"}[round(width, 2)]
                middle = ((hinge[0] + shut[0]) / 2 + 0.3, (hinge[1] + shut[1]) / 2 + 0.3)
                text = space.add_text(code, height=0.12 * self.per_metre, dxfattribs={"layer": "A-ANNO"})
                text.set_placement(self.put(middle), align=ezdxf.enums.TextEntityAlignment.MIDDLE_CENTER)

    def _windows(self, doc: Any, space: Any) -> None:
        layer = {"layer": self.layers["window"]}
        for key, hole in WINDOWS.items():
            x0, y0, x1, y1 = hole.bounds
            wide = x1 - x0 > y1 - y0
            lines = (
                [((x0, y), (x1, y)) for y in (y0, (y0 + y1) / 2, y1)]
                if wide
                else [((x, y0), (x, y1)) for x in (x0, (x0 + x1) / 2, x1)]
            )
            if self.windows_as == "blocks":
                name = f"Fenster_{key}"
                block = doc.blocks.new(name)
                for a, b in lines:
                    block.add_line((a[0] - x0, a[1] - y0), (b[0] - x0, b[1] - y0), dxfattribs={"layer": "0"})
                space.add_blockref(
                    name,
                    self.put((x0, y0)),
                    dxfattribs={
                        **layer,
                        "xscale": self.per_metre,
                        "yscale": self.per_metre,
                        "zscale": self.per_metre,
                        "rotation": self.turn_deg,
                    },
                )
            elif self.windows_as == "loose":
                for a, b in lines:
                    space.add_line(self.put(a), self.put(b), dxfattribs=layer)


def areas(rooms: Any) -> list[float]:
    """Floor areas, largest first."""
    return sorted((Polygon(r.outline, r.holes).area for r in rooms), reverse=True)
