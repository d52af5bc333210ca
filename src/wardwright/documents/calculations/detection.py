"""Calculation sheets of what notices: contacts, glass, motion, beams, their siting, ways in, routes."""

from collections.abc import Iterator

from wardwright.analyses.entry_records import WayIn
from wardwright.analyses.motion_sensor import motion_sensor
from wardwright.analyses.route_records import Route
from wardwright.catalogue.kinds import Family
from wardwright.documents.calculations.records import CalculationSheet, Step, held_against
from wardwright.documents.wording import listed, rounded, short_time
from wardwright.errors import WardwrightError
from wardwright.prove import Proof

MOTION = (Family.MOTION, Family.DUAL)


def contacts(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each contact."""
    for one in proof.contacts:
        yield CalculationSheet(
            f"Contact {one.device_id}",
            one.steps,
            held=held_against(proof.findings, one.device_id, "entry.leaf-told", "nuisance.contact"),
            notes=(f"Distances within {one.spread:.0%}: reeds and magnets of one kind differ.",),
            undecided=one.undecided,
        )


def glass(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each detector and pane."""
    names = {o.id: o.name for o in proof.scheme.premises.openings}
    for one in (h for h in proof.glass if h.counts):
        leaf = f", leaf {one.leaf_id}" if one.leaf_id else ""
        yield CalculationSheet(
            f"Breaking glass: {one.device_id} and {names[one.opening_id]}{leaf}, {one.mode}",
            one.steps,
            f"chance {_chance(one.probability, one.interval)}",
            notes=(f"Governed by: {one.assumption}.",) if one.assumption else (),
        )


def motion(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each motion detector: what its rating says of its threshold."""
    scheme = proof.scheme
    for family in MOTION if proof.entry is not None else ():
        for device in scheme.of_family(family):
            kind = scheme.kind_of(device)
            try:
                sensor = motion_sensor(scheme, device)
            except WardwrightError as error:
                yield CalculationSheet(f"Motion detector {device.id}", (), undecided=str(error))
                continue
            steps: list[Step] = [
                (
                    name.removesuffix("_m").removesuffix("_rad").replace("_", " "),
                    f"{figure.published} {figure.unit} ({figure.source})",
                )
                for name, figure in kind.figures.items()
                if name in ("range_m", "field_rad", "rated_height_m")
            ]
            hung = f"{device.height_m:.2f} m above the floor, pulses to trip: {sensor.pulses}"
            steps += [
                ("mounted", hung),
                ("threshold that just reproduces the rating", f"{sensor.threshold_w * 1e9:.3g} nW on the element"),
                ("in hand over the rating", f"{sensor.in_hand_db:+.1f} dB, said by {sensor.in_hand_from}"),
            ]
            if sensor.microwave is not None:
                logic = "both must act" if sensor.microwave.both else "either acts"
                steps.append(("microwave", f"{sensor.microwave.range_m:.1f} m; {logic}"))
            held = held_against(proof.findings, device.id, "route.warm-room")
            yield CalculationSheet(f"Motion detector {device.id}", tuple(steps), held=held)


def beams(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each photo-beam."""
    for beam in proof.beams:
        where = "out of doors, dense fog and dirty lenses" if beam.outdoors else "indoors, dirty lenses"
        steps = [
            ("length", f"{beam.length_m:.1f} m, {where}"),
            ("broken by a running body for", f"{beam.broken_s * 1000:.0f} ms"),
        ]
        if beam.response_s is not None:
            steps.append(("responds within", f"{beam.response_s * 1000:.0f} ms (catalogue)"))
        steps.append(("in its way", ", ".join(beam.in_the_way) or "nothing"))
        yield CalculationSheet(
            f"Beam {beam.device_id}",
            () if beam.undecided else tuple(steps),
            "" if beam.undecided else f"{beam.gain:.2g} times the signal it needs",
            held_against(proof.findings, beam.device_id, "route.beam", "nuisance.beam"),
            undecided=beam.undecided,
        )


def siting(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each detector: every rule with its figure and limit."""
    for key in dict.fromkeys(c.device_id for c in proof.siting):
        steps: list[Step] = []
        for check in proof.siting:
            if check.device_id != key:
                continue
            said = check.undecided or check.said
            if check.value is not None and check.limit is not None:
                most = "at most" if check.operator == "<=" else "at least"
                spread = "" if check.interval is None else " ({} to {})".format(*(rounded(v) for v in check.interval))
                said += f" {rounded(check.value)}{spread} {check.unit}; {most} {rounded(check.limit)}."
            steps.append((check.rule.replace("-", " "), f"{said} {check.citation}."))
        yield CalculationSheet(f"Siting of {key}", tuple(steps))


def ways_in(proof: Proof) -> Iterator[CalculationSheet]:
    """One for each way the system is set: for every opening in reach, the attack least likely to be noticed."""
    ways = [w for w in proof.entry.ways if w.reachable] if proof.entry is not None else []
    names = {o.id: o.name or o.id for o in proof.scheme.premises.openings}
    for mode in dict.fromkeys(w.mode for w in ways):
        least: dict[str, WayIn] = {}
        for way in ways:
            held = least.get(way.opening_id)
            if way.mode == mode and (held is None or way.probability < held.probability):
                least[way.opening_id] = way
        steps = tuple((f"{names[key]}, {way.attack}", _noticed(way)) for key, way in least.items())
        yield CalculationSheet(f"Ways in, {mode}: the attack on each least likely to be noticed", steps)


def _noticed(way: WayIn) -> str:
    if way.undecided:
        return way.undecided
    told = [f"{n.device_id} {_chance(n.probability, n.interval)}, {n.how}" for n in way.notices]
    return f"{'; '.join(told) or 'by nothing'}: together {_chance(way.probability, way.interval)}"


def _chance(chance: float, interval: tuple[float, float]) -> str:
    """To two digits: a reviewer multiplies them."""
    return f"{chance:.2f} ({interval[0]:.2f} to {interval[1]:.2f})"


def routes(proof: Proof) -> Iterator[CalculationSheet]:
    """The worst route of each way the system is set."""
    for analysis in proof.routes:
        if analysis.routes:
            yield _route(proof, analysis.routes[0])


def _route(proof: Proof, worst: Route) -> CalculationSheet:
    names = {o.id: o.name or o.id for o in proof.scheme.premises.openings}
    steps = [
        (f"{n.device_id}, zone {listed(list(n.zone_ids)) or 'none'}", f"at {n.time_s:.0f} s, {n.probability:.2f}")
        for n in worst.noticings
    ]
    steps += [
        ("way", f"{worst.length_m:.0f} m in {short_time(worst.time_s)}, attack included"),
        ("combined", worst.dependence),
    ]
    if worst.left_to_run_s is not None:
        steps.append(("left to the target from the first noticing", short_time(worst.left_to_run_s)))
    if worst.after_first_s is not None:
        steps.append(("in the building after it", short_time(worst.after_first_s)))
    steps.append(("confirmed by a second zone", _chance(worst.confirmed_probability, worst.confirmed_interval)))
    if worst.interruption is not None:
        steps.append(("response comes in time", f"{worst.interruption:.2f}"))
    wanted = "route.detected-before-target" + ("" if worst.mode == "away" else "-with-people-inside")
    return CalculationSheet(
        f"Worst route, {worst.mode}: {names.get(worst.opening_id, worst.opening_id)} ({worst.attack}) "
        f"to {worst.target_id}, the {worst.kind}",
        tuple(steps),
        f"noticed before the target: {_chance(worst.probability, worst.interval)}",
        tuple(line for line in held_against(proof.findings, worst.target_id, wanted) if line.startswith(f"{wanted}:")),
        (f"Governed by: {worst.assumption}.",),
    )
