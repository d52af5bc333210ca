"""Proposals on a terminal and for machines: offers side by side, what each is proved to be, why a device is there."""

import json
from collections.abc import Sequence
from typing import Any

from rich.table import Table
from rich.text import Text

from wardwright.analyses.route_records import Route
from wardwright.design.system import ProtectionScheme
from wardwright.documents.verdict_table import SHAPES, VERDICT_OUTCOME, verdict_words
from wardwright.documents.wording import counted
from wardwright.placement.finer import FinerLook
from wardwright.placement.reasons import Reason
from wardwright.placement.three_offers import TITLES, PlacedOffer
from wardwright.placement.wants import Want
from wardwright.rules.aims.route import bounds

JSON_FORMAT = 1
SHOWN = 8
"""Things in the way that are named one by one. [-]"""


def offers_table(offers: Sequence[PlacedOffer]) -> Table:
    """Offers side by side.

    Parameters
    ----------
    offers : sequence of PlacedOffer
        One to three.
    """
    table = Table(title="Proposals, for the firm only", title_justify="left")
    table.add_column("")
    for offer in offers:
        table.add_column(TITLES[offer.kind])
    for name, cells in offers_compared(offers):
        table.add_row(name, *cells)
    return table


def offers_compared(offers: Sequence[PlacedOffer]) -> list[tuple[str, list[str]]]:
    """What is compared, with a cell for each offer.

    Parameters
    ----------
    offers : sequence of PlacedOffer
        One to three.
    """
    return [
        ("Price with tax", [f"{o.total:,.2f} {o.currency}" for o in offers]),
        ("Detectors", [str(o.detectors) for o in offers]),
        ("Noticed before the target, weakest route", [_chance(o.worst) for o in offers]),
        ("Longest time to first detection", [_seconds(o.latest_first_s) for o in offers]),
        *_response_rows(offers),
        ("Still weak", ["\n".join(_weak(o, r) for r in o.weak) for o in offers]),
        ("Proof", [f"{SHAPES[VERDICT_OUTCOME[o.proposal.proof.verdict]]} {_verdict(o)}" for o in offers]),
    ]


def _response_rows(offers: Sequence[PlacedOffer]) -> list[tuple[str, list[str]]]:
    """How likely the alarm comes early enough, where a response is quick enough to matter."""
    if all(o.in_time is None for o in offers):
        return []
    return [("Alarm while a response still comes in time, least likely route", [_in_time(o) for o in offers])]


def _in_time(offer: PlacedOffer) -> str:
    route = offer.in_time
    if route is None or route.in_time is None:
        return "–"
    low, central, high = route.in_time
    return f"{central:.2f} ({low:.2f}–{high:.2f}), by {route.last_moment_s or 0.0:.0f} s"


def _verdict(offer: PlacedOffer) -> str:
    return verdict_words(offer.proposal.proof)


def _chance(route: Route | None) -> str:
    if route is None:
        return "no route was worked out"
    low, high = bounds(route)
    return f"{route.probability:.2f} ({low:.2f}–{high:.2f})"


def _seconds(time: float | None) -> str:
    return "–" if time is None else f"{time:.0f} s"


def _weak(offer: PlacedOffer, route: Route) -> str:
    premises = offer.proposal.job.premises
    goal = _goal(offer.proposal.proof.scheme, route.target_id)
    return f"{premises.opening(route.opening_id).name}, {route.attack}, to {goal}: {bounds(route)[0]:.2f}"


def _goal(scheme: ProtectionScheme, key: str) -> str:
    for target in scheme.premises.targets:
        if target.id == key:
            return target.name
    for bed in scheme.premises.beds:
        if bed.id == key:
            return f"bed in {scheme.premises.room(bed.room_id).name}"
    return key


def statement(offer: PlacedOffer) -> Text:
    """What is proved about one offer, in words, and what stands in the way.

    Parameters
    ----------
    offer : PlacedOffer
        The offer.
    """
    layout, proposal = offer.proposal.layout, offer.proposal
    said = Text(f"\n{TITLES[offer.kind]}. ", style="bold")
    places = f"{len(layout.panels)} places for the panel were tried" if len(layout.panels) > 1 else "the panel is given"
    if offer.kind == "budget":
        places = "the panel hangs where the least cost hangs it"
    grid = f"for these {len(layout.chances.candidates)} candidates and a grid of {layout.chances.step_m:g} m; {places}"
    if offer.kind == "budget" and not offer.strength:
        known = sum(w.what != "second zone" for w in layout.wants)
        said.append(
            f"This money does not watch everything. Spent where it watches most: {known - len(layout.evading)} of the "
            f"{known} attacks and routes that decide are noticed as the brief asks, {grid}."
        )
    elif offer.kind == "budget":
        said.append(
            f"Its weakest way in or route has {offer.strength or 0.0:.2f} times the exponent the brief asks; no layout "
            f"for this money has more than {offer.strength_bound or 0.0:.2f}, {grid}. "
        )
        said.append(
            "A second zone confirms wherever the brief asks for one and one can be had."
            if offer.confirmed
            else "This money does not reach a second zone wherever the brief asks for one."
        )
    elif layout.proved:
        said.append(f"Proved cheapest (gap 0) {grid}: detectors {layout.cost:.0f}, lower bound {layout.bound:.0f}.")
    else:
        said.append(
            f"Not proved cheapest: detectors {layout.cost:.0f}, lower bound {layout.bound:.0f}, gap "
            f"{100.0 * layout.gap:.1f} %, {grid}."
        )
    rounds = counted(len(layout.rounds), "round")
    said.append(f" {layout.routes} routes looked at in {rounds}, {layout.rounds[-1].elapsed_s:.1f} s.")
    if layout.by_radio:
        said.append(
            f" By radio, where no cable can be run or radio costs less, each heard with the reserve the proof asks: "
            f"{counted(layout.by_radio, 'detector')}."
        )
    if layout.evading and offer.strength != 0.0:
        said.append(f" Stopped while {len(layout.evading)} routes still slipped by.", style="bold")
    if offer.finer is not None:
        said.append(_finer(offer.finer))
    else:
        said.append(" Not looked at again on a finer grid.")
    way = proposal.in_the_way
    if way:
        said.append("\nIn the way, whatever is placed:", style="bold")
        for want in way[:SHOWN]:
            said.append(f"\n  {_hopeless(proposal.proof.scheme, want)}")
        if len(way) > SHOWN:
            said.append(f"\n  and {len(way) - SHOWN} more alike")
    if proposal.offered.refused and way:
        said.append("\nPlaces siting rules refused:", style="bold")
        for place, why in proposal.offered.refused[:SHOWN]:
            said.append(f"\n  {place}: {why}")
    for why in layout.undecided:
        said.append(f"\nNot looked at: {why}")
    return said


def _finer(look: FinerLook) -> str:
    found = "none misses the brief" if not look.slipping else f"{len(look.slipping)} miss the brief: try these on site"
    return (
        f" Looked at again on a walking grid of {look.walk_step_m:g} m and a hazard grid of {look.field_step_m:g} m: "
        f"{look.routes} routes, {found}."
    )


def _hopeless(scheme: ProtectionScheme, want: Want) -> str:
    name = scheme.premises.opening(want.opening_id).name
    where = f"“{name}”, {want.attack}, {want.mode}"
    if want.what == "way in":
        return f"{where}: no detector in the catalogue notices it surely enough"
    goal = _goal(scheme, want.target_id)
    length = f" ({want.route.length_m:.0f} m, {want.route.time_s:.0f} s)" if want.route is not None else ""
    if want.what == "route":
        return f"{where}, to {goal}{length}: no choice of detectors notices it surely enough before the target"
    if want.what == "in time":
        return f"{where}, to {goal}{length}: nothing gives the alarm while a response still comes in time"
    return f"{where}, to {goal}{length}: no second zone confirms it surely enough or in time"


def offers_json(offers: Sequence[PlacedOffer]) -> str:
    """Offers for machines, as JSON text.

    Parameters
    ----------
    offers : sequence of PlacedOffer
        One to three.
    """
    told = {"format": JSON_FORMAT, "offers": [_offer_json(o) for o in offers]}
    return json.dumps(told, ensure_ascii=False, indent=2, allow_nan=False)


def _offer_json(offer: PlacedOffer) -> dict[str, Any]:
    layout, proof = offer.proposal.layout, offer.proposal.proof
    return {
        "offer": offer.kind,
        "title": TITLES[offer.kind],
        "total": str(offer.total),
        "currency": offer.currency,
        "detectors": offer.detectors,
        "panel": {"storey": layout.panel.storey_id, "at": list(layout.panel.position), "room": layout.panel.room_id},
        "panels_tried": [{"room": p.room_id, "detectors_cost_at_least": round(c, 2)} for p, c in layout.panels],
        "cost": round(layout.cost, 2),
        "bound": round(layout.bound, 2),
        "gap": layout.gap,
        "proved": layout.proved,
        "candidates": len(layout.chances.candidates),
        "grid_m": layout.chances.step_m,
        "rounds": len(layout.rounds),
        "routes": layout.routes,
        "seconds": layout.rounds[-1].elapsed_s if layout.rounds else 0.0,
        "evading": len(layout.evading),
        "finer_grid_slipping": None if offer.finer is None else len(offer.finer.slipping),
        "strength": offer.strength,
        "strength_bound": offer.strength_bound,
        "confirmed": offer.confirmed,
        "by_radio": layout.by_radio,
        "verdict": VERDICT_OUTCOME[proof.verdict].value,
        "worst": None
        if offer.worst is None
        else {"probability": offer.worst.probability, "interval": bounds(offer.worst)},
        "latest_first_s": offer.latest_first_s,
        "alarm_in_time": None if offer.in_time is None else offer.in_time.in_time,
        "weak": [_weak(offer, r) for r in offer.weak],
        "in_the_way": [_hopeless(proof.scheme, w) for w in offer.proposal.in_the_way],
        "devices": [d.model_dump(mode="json") for d in offer.proposal.job.design.devices],
    }


def reasons_table(scheme: ProtectionScheme, device_id: str, told: Sequence[Reason]) -> Table:
    """Why a device is there.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    device_id : str
        The device.
    told : sequence of Reason
        What is worse without it.
    """
    name = scheme.design.device(device_id).name
    table = Table(title=f"Without {device_id} ({name}), for the firm only", title_justify="left")
    for title in ("What", "Chance at least, with it", "without", "Wanted", "Then"):
        table.add_column(title)
    for reason in told:
        opening = scheme.premises.opening(reason.opening_id).name
        what = f"{opening}, {reason.attack}, {reason.mode}"
        if reason.what != "way in":
            word = "to" if reason.what == "route" else "confirmed by a second zone, to"
            what += f", {word} {_goal(scheme, reason.target_id)}"
        word = reason.outcome_without.value if reason.decides else "weaker"
        table.add_row(what, f"{reason.with_it:.2f}", f"{reason.without:.2f}", f"{reason.limit:.2f}", word)
    return table
