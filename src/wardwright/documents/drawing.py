"""Plan drawings to a stated scale: the storey, the devices, and what has been proved about them."""

from collections import Counter
from dataclasses import dataclass

from wardwright.analyses.cables import CablePlan
from wardwright.analyses.coverage import CoverageMap
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.devices import Device, Keep
from wardwright.design.system import ProtectionScheme
from wardwright.documents.cable_layer import cable_layer, cable_rows
from wardwright.documents.fabric_layers import (
    ends_of_walls,
    heat_layer,
    obstacle_layer,
    opening_layer,
    outline_layer,
    room_labels,
    stair_layer,
    wall_layer,
)
from wardwright.documents.frame import (
    IMPERIAL_SCALES,
    METRIC_SCALES,
    Box,
    Frame,
    Paper,
    askew,
    fitting_frame,
    is_american,
)
from wardwright.documents.ink import INK, PAPER, QUIET
from wardwright.documents.margin_map import map_layer, map_rows, stroke_layer
from wardwright.documents.route_layer import RouteSet, route_boxes, route_layer, route_rows
from wardwright.documents.sheet import (
    LegendRow,
    TitleBlock,
    heading_row,
    layout_of,
    plan_space,
    surround,
    tag_row,
)
from wardwright.documents.svg import document, el, line, polyline
from wardwright.documents.tags import FACING, place_tags, tag_layer, tag_of
from wardwright.model import XY
from wardwright.premises.plan import StoreyPlan, storey_plans


@dataclass(frozen=True)
class Drawing:
    """A finished sheet."""

    svg: str
    paper: Paper
    scale: int
    title: str
    described: str
    """What a reader who cannot see it is told."""
    tag_boxes: tuple[Box, ...] = ()
    frame: Frame | None = None


def building_frame(scheme: ProtectionScheme, paper: Paper) -> Frame:
    """Scale and position shared by the sheets of all storeys, so that they can be laid over each other."""
    points: list[XY] = [device.position for device in scheme.fitted]
    walls: list[tuple[XY, XY]] = []
    for plan in storey_plans(scheme.premises).values():
        for shape in (*plan.bodies.values(), *plan.room_shapes.values()):
            x0, y0, x1, y1 = shape.bounds
            points += list(shape.convex_hull.exterior.coords) if x1 > x0 and y1 > y0 else []
        walls += ends_of_walls(plan)
    american = is_american(scheme.brief.profile)
    return fitting_frame(
        points,
        plan_space(layout_of(paper)),
        scales=IMPERIAL_SCALES if american else METRIC_SCALES,
        askew_rad=askew(walls),
    )


def plan_drawing(
    scheme: ProtectionScheme,
    storey_id: str,
    *,
    paper: Paper,
    block: TitleBlock,
    devices: tuple[Device, ...] | None = None,
    captions: bool = True,
    heat: bool = True,
    margin: CoverageMap | None = None,
    routes: RouteSet | None = None,
    cables: CablePlan | None = None,
    bare: bool = False,
) -> Drawing:
    """One storey on one sheet.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, system and catalogue.
    storey_id : str
        Which storey.
    paper : Paper
        Size of the sheet, landscape.
    block : TitleBlock
        What the drawing says about itself.
    devices : tuple of Device, optional
        Devices to show; all that will be fitted when left out. A client's drawing passes those a client may see.
    captions : bool, optional
        Print each device's id under its tag.
    heat : bool, optional
        Show what gives heat or blows.
    margin : CoverageMap, optional
        Coverage of this storey, drawn under the plan.
    routes : RouteSet, optional
        Routes to draw, with the targets.
    cables : CablePlan, optional
        Runs of cable to draw.
    bare : bool, optional
        Leave out title block, legend, scale bar and north, for a screen that has its own.

    Returns
    -------
    Drawing
        The sheet, one SVG unit to the millimetre.
    """
    plan = storey_plans(scheme.premises)[storey_id]
    layout, frame = layout_of(paper), building_frame(scheme, paper)
    american = is_american(scheme.brief.profile)
    shown = tuple(d for d in (scheme.fitted if devices is None else devices) if d.storey_id == storey_id)
    labels, label_boxes = room_labels(plan, frame, stairs=scheme.premises.stairs, american=american)
    space = plan_space(layout)
    pairs = [(device, scheme.kind_of(device)) for device in shown]
    fabric = frame.shape(plan.solid())
    for shape in plan.openings:
        fabric = fabric.union(frame.shape(shape.outline))
    taken = label_boxes + (route_boxes(routes, storey_id, frame) if routes is not None else [])
    tags = [tag_of(device, kind, plan, frame, caption=captions) for device, kind in pairs]
    placed = place_tags(tags, space, taken=taken, avoid=fabric)
    layers = [
        el("rect", x=0, y=0, width=paper.width_mm, height=paper.height_mm, fill=PAPER),
        map_layer(margin, plan, frame) if margin is not None else "",
        obstacle_layer(plan, frame),
        stair_layer(scheme.premises.stairs, plan, frame),
        outline_layer(plan, frame),
        wall_layer(plan, frame),
        opening_layer(plan, frame),
        heat_layer(scheme.premises.heat_sources, plan, frame) if heat else "",
        stroke_layer(margin, plan, frame) if margin is not None else "",
        route_layer(routes, storey_id, frame) if routes is not None else "",
        cable_layer(cables, storey_id, frame) if cables is not None else "",
        labels,
        tag_layer(placed),
    ]
    if not bare:
        rows = device_rows(pairs)
        if margin is not None:
            rows = [*map_rows(margin), *rows]
        if routes is not None:
            rows = [*route_rows(routes), *rows]
        if cables is not None:
            rows = [*cable_rows(), *rows]
        rows += _sign_rows(plan, scheme, heat=heat)
        north = scheme.premises.surroundings.north_rad
        layers.append(surround(layout, frame, block, rows, north_rad=north, american=american))
    title = f"{block.drawing}, {plan.storey.name}"
    count = f"{len(shown)} device{'s' if len(shown) != 1 else ''}"
    return Drawing(
        svg=document(*layers, width=paper.width_mm, height=paper.height_mm, title=title),
        paper=paper,
        scale=frame.scale,
        title=title,
        described=f"{title}: plan at 1:{frame.scale} with {len(plan.rooms)} rooms and {count}.",
        tag_boxes=tuple(p.box for p in placed),
        frame=frame,
    )


def device_rows(pairs: list[tuple[Device, DeviceKind]]) -> list[LegendRow]:
    """Legend rows: each kind on the drawing spelt out, with how many there are."""
    if not pairs:
        return []
    counts = Counter(kind.id for _, kind in pairs)
    kinds = {kind.id: kind for _, kind in pairs}
    rows = [heading_row("Devices")]
    for key in sorted(counts, key=lambda k: (kinds[k].tag, kinds[k].name)):
        kind = kinds[key]
        rows.append(tag_row(kind.tag, f"{kind.name} ({counts[key]})", radio=kind.radio, notch=kind.family in FACING))
    if any(kind.radio for _, kind in pairs):
        rows.append(tag_row("", "dashed edge: radio; solid edge: wired", radio=True))
    if any(kind.family in FACING for _, kind in pairs):
        rows.append(tag_row("", "point: the side it faces", notch=True))
    if any(device.opening_id for device, _ in pairs):
        triangle = polyline([(0.0, -1.3), (-1.0, 0.6), (1.0, 0.6)], closed=True, fill=INK)
        rows.append(LegendRow(triangle, "triangle: on the leaf of a door or window"))
    if any(device.status is Keep.KEPT for device, _ in pairs):
        rows.append(tag_row("", "bar: existing device that is kept", kept=True))
    return rows


def _sign_rows(plan: StoreyPlan, scheme: ProtectionScheme, *, heat: bool) -> list[LegendRow]:
    rows = [heading_row("Building")]
    rows.append(LegendRow(el("rect", x=-3, y=-0.8, width=6, height=1.6, fill=INK), "wall"))
    if any(w.assumed for w in plan.walls):
        rows.append(LegendRow(el("rect", x=-3, y=-0.8, width=6, height=1.6, fill=QUIET), "wall assumed, not surveyed"))
    kinds = {s.opening.kind.value for s in plan.openings}
    if "door" in kinds:
        swing = line((-2, 1.6), (-2, -1.6), stroke=INK, stroke_width=0.3) + el(
            "path", d="M1.2 1.6A3.2 3.2 0 0 0 -2 -1.6", fill="none", stroke=INK, stroke_width=0.13
        )
        rows.append(LegendRow(swing, "door; which side the hinges are on is not surveyed"))
    if "window" in kinds:
        window = el("rect", x=-3, y=-0.9, width=6, height=1.8, fill="none", stroke=INK, stroke_width=0.2) + line(
            (-3, 0), (3, 0), stroke=INK, stroke_width=0.13
        )
        rows.append(LegendRow(window, "window"))
    if heat and any(o.storey_id == plan.storey.id for o in scheme.premises.heat_sources):
        rings = "".join(el("circle", cx=0, cy=0, r=r, fill="none", stroke=QUIET, stroke_width=0.13) for r in (1.6, 0.8))
        rows.append(LegendRow(rings, "gives heat or blows"))
    if plan.obstacles:
        box = el("rect", x=-2.6, y=-1.3, width=5.2, height=2.6, fill="none", stroke=QUIET, stroke_width=0.13)
        rows.append(LegendRow(box, "furniture and fittings"))
    return rows
