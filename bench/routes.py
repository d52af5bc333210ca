"""Ways in and ways through the real detached house with twelve detectors: graph, one weakest path, all routes."""

import math
import os
from pathlib import Path

import networkx as nx
import numpy as np
from bench.table import Row, best_of

from wardwright.analyses import walkable
from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.entry import entry
from wardwright.analyses.exposure import Exposure
from wardwright.analyses.mode import Mode, open_inner_doors, watching_devices
from wardwright.analyses.route_search import Costs, build_costs, search
from wardwright.analyses.routes import routes
from wardwright.analyses.walkable import WalkGraph, door_delays, walk_graph
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.devices import Device
from wardwright.design.programme import Area, Programme, Zone, ZoneResponse
from wardwright.design.system import Design, ProtectionScheme
from wardwright.geometry.shortest import shortest_tree
from wardwright.intake.open_file import read_premises
from wardwright.premises.life import Target
from wardwright.premises.model import Premises

ROOT = Path(__file__).resolve().parent.parent


def detached_house() -> Premises | None:
    """The real house, or None where its file is not at hand."""
    path = Path(os.environ.get("WARDWRIGHT_SHARED", ROOT.parent / "shared")) / "data" / "premises" / "house-fzk.ifc"
    return read_premises(path).premises if path.is_file() else None


def with_twelve_detectors(premises: Premises) -> ProtectionScheme:
    """A motion detector in two opposite corners of each of the six largest rooms, contacts on all openings."""
    largest = sorted(premises.rooms, key=lambda r: -_size(r.outline))[:6]
    devices = []
    for room in largest:
        xs, ys = zip(*room.outline, strict=True)
        middle = (sum(xs) / len(xs), sum(ys) / len(ys))
        for corner in ((min(xs) + 0.1, min(ys) + 0.1), (max(xs) - 0.1, max(ys) - 0.1)):
            heading = math.atan2(middle[1] - corner[1], middle[0] - corner[0])
            key = f"pir-{len(devices)}"
            devices.append(
                Device(id=key, kind="pir-wide", storey_id=room.storey_id, position=corner, heading_rad=heading)
            )
    for opening in premises.openings:
        if opening.is_outside and opening.place.kind == "wall":
            leaf = opening.leaves[0].id if opening.leaves else None
            storey = premises.storey_of(opening).id
            devices.append(
                Device(id=f"mc-{opening.id}"[:80], kind="contact-surface", storey_id=storey, position=(0.0, 0.0),
                       opening_id=opening.id, leaf_id=leaf)
            )  # fmt: skip
    zones = tuple(
        Zone(
            id=f"z{i}",
            number=i + 1,
            name=device.id,
            area_ids=("all",),
            response=ZoneResponse.INTERIOR if device.kind == "pir-wide" else ZoneResponse.PERIMETER,
            device_ids=(device.id,),
            set_with_people_inside=device.kind != "pir-wide",
        )
        for i, device in enumerate(devices)
    )
    targets = tuple(
        Target(id=f"target-{i}", name=f"target {i}", room_id=room.id, position=_middle(room.outline))
        for i, room in enumerate(largest[:4])
    )
    return ProtectionScheme(
        premises.model_copy(update={"targets": targets}),
        Design(devices=tuple(devices), programme=Programme(areas=(Area(id="all", name="all"),), zones=zones)),
        load_catalogue(),
        Brief(),
    )


def _middle(outline: tuple[tuple[float, float], ...]) -> tuple[float, float]:
    xs, ys = zip(*outline, strict=True)
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _size(outline: tuple[tuple[float, float], ...]) -> float:
    xs, ys = zip(*outline, strict=True)
    return (max(xs) - min(xs)) * (max(ys) - min(ys))


def _by_library(costs: Costs, target: int) -> dict[int, float]:
    """The same search by a general graph library."""
    held = costs.exponent.tocoo()
    there = nx.DiGraph()
    there.add_weighted_edges_from(zip(held.row.tolist(), held.col.tolist(), held.data.tolist(), strict=True))
    return dict(nx.single_source_dijkstra_path_length(there, target))


def rows() -> list[Row]:
    """Measure."""
    premises = detached_house()
    if premises is None:
        return [Row("routes: the real house is not here; set WARDWRIGHT_SHARED", "not measured")]
    scheme = with_twelve_detectors(premises)
    fields = {mode: hazard_fields(scheme, mode) for mode in Mode}

    def fresh() -> WalkGraph:
        walkable._build.forget()
        return walk_graph(scheme.premises)

    built = best_of(3, fresh)
    graph = walk_graph(scheme.premises)
    exposure = Exposure(graph, fields[Mode.AWAY], watching_devices(scheme, Mode.AWAY))
    shut = door_delays(graph, open_inner_doors(scheme.premises, Mode.AWAY))
    laid = best_of(3, lambda: build_costs(graph, exposure, 2.5, shut, {}))
    costs = build_costs(graph, exposure, 2.5, shut, {})
    goal = scheme.premises.targets[0]
    target = graph.nearest(scheme.premises.room(goal.room_id).storey_id, goal.position, goal.room_id)
    assert target is not None
    weakest = best_of(5, lambda: search(costs, target, [0], 5.0))
    library: dict[int, float] = {}
    slow = best_of(1, lambda: library.update(_by_library(costs, target)))
    ours = shortest_tree(costs.exponent, target)[0]
    assert np.allclose([ours[i] for i in library], list(library.values())), "costs differ from the library's"
    everything = best_of(3, lambda: [routes(scheme, mode, fields[mode]) for mode in Mode])
    count = sum(len(routes(scheme, mode, fields[mode]).routes) for mode in Mode)
    entered = best_of(3, lambda: entry(scheme, fields))
    return [
        Row(f"walking graph, {graph.size:,} places", f"{built * 1e3:.0f} ms"),
        Row("hazard laid over it, 12 detectors, 3 paces", f"{laid * 1e3:.0f} ms"),
        Row("one weakest path (three trees)", f"{weakest * 1e3:.1f} ms", f"networkx, one tree {slow * 1e3:,.0f} ms",
            f"{slow / (weakest / 3):.0f} x", "<= 30 ms"),
        Row(f"all {count} routes, both modes", f"{everything * 1e3:.0f} ms", aim="< 500 ms"),
        Row("who notices at every opening, both modes", f"{entered * 1e3:.0f} ms"),
    ]  # fmt: skip
