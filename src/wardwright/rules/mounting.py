"""Mounting and siting: mostly common practice of the trade, some rows with a source."""

import math
from collections.abc import Iterator

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.premises.plan import storey_plans
from wardwright.rules.evidence import CONTROL, Evidence
from wardwright.rules.judgement import Judgement, compared, stated, undecided
from wardwright.rules.nfpa import at_the_pillows, keypad_walk
from wardwright.rules.register import clause
from wardwright.rules.ul_units import contact_on_steel
from wardwright.units import INCH_M


def _band(
    found: tuple[tuple[Device, DeviceKind], ...], low: float, high: float, plain: str, *, declared: bool
) -> Iterator[Judgement]:
    for device, kind in found:
        least = (kind.get("mount_low_m") if declared else None) or low
        most = (kind.get("mount_high_m") if declared else None) or high
        holds = least - 1e-6 <= device.height_m <= most + 1e-6
        yield compared(
            f"height of {device.id} (band {least:g} to {most:g} m)",
            device.height_m,
            "<=" if device.height_m > most or holds else ">=",
            most if device.height_m > most or holds else least,
            "m",
            plain=plain,
            about=(device.id,),
            fix=f"a height of {least:g} to {most:g} m",
        )


@clause("MNT-01")
def movement_detector_height(evidence: Evidence) -> Iterator[Judgement]:
    """A movement detector hangs in the band its kind declares, else at 2.1 to 2.4 m."""
    plain = "Motion detectors hang at the height they are made for."
    yield from _band(evidence.of(Family.MOTION, Family.DUAL), 2.1, 2.4, plain, declared=True)


def _siting(evidence: Evidence, rules: tuple[str, ...], plain: str) -> Iterator[Judgement]:
    if not evidence.of(Family.MOTION, Family.DUAL):
        return
    if evidence.siting is None:
        yield undecided("the places of the detectors were not looked at", plain)
        return
    for check in evidence.siting:
        if check.rule not in rules:
            continue
        about = (check.device_id, *check.about)
        if check.undecided:
            yield undecided(f"{check.device_id}: {check.undecided}", plain, about=about)
        elif check.value is None:
            yield stated(True, f"{check.device_id}: {check.said}", "", plain=plain, about=about)
        else:
            assert check.operator  # a figure comes with the way it is held against its limit
            assert check.limit is not None
            yield compared(
                f"{check.device_id}: {check.said.rstrip('.')}",
                check.value,
                check.operator,
                check.limit,
                check.unit,
                plain=plain,
                about=about,
                interval=check.interval,
                assumption=check.assumption,
                fix=check.fix,
            )


@clause("MNT-02")
def movement_detector_siting(evidence: Evidence) -> Iterator[Judgement]:
    """A movement detector does not look at windows, heat, outlets or sun."""
    rules = ("window-in-view", "sun-patch", "sun-in-lens", "heat-in-view", "outlet-in-view", "draught-at-detector")
    yield from _siting(evidence, rules, "Motion detectors look past windows, heat, moving air and sun.")


@clause("MNT-03")
def movement_detector_with_animals(evidence: Evidence) -> Iterator[Judgement]:
    """Where animals move a movement detector leaves them alone, and nothing lifts them into its beams."""
    yield from _siting(evidence, ("pet-in-view", "pet-heavier"), "Your pets do not set off the alarm.")


@clause("MNT-05")
def gap_in_hand(evidence: Evidence) -> Iterator[Judgement]:
    """A contact is fitted with no more than half of its operating gap."""
    for device, kind in evidence.of(Family.CONTACT):
        gap = device.settings.get("gap_m")
        if gap is not None:
            yield compared(
                f"gap of {device.id}",
                gap * 1000.0,
                "<=",
                500.0 * kind.need("operate_gap_m"),
                "mm",
                plain="Doors and windows may work loose a little without a false alarm.",
                about=(device.id,),
                fix="bring magnet and contact nearer, or a wide-gap kind",
            )


@clause("MNT-06")
def steel_doors(evidence: Evidence) -> Iterator[Judgement]:
    """On steel: a spacer or a wide-gap kind."""
    yield from contact_on_steel(evidence)


@clause("MNT-07")
def glass_within_radius(evidence: Evidence) -> Iterator[Judgement]:
    """Every pane a glass-break detector answers for lies within its rated radius."""
    plans = storey_plans(evidence.scheme.premises)
    for device, kind in evidence.of(Family.GLASS_BREAK):
        room = evidence.room_of[device.id]
        if room is None or device.storey_id not in plans:
            continue
        for shape in plans[device.storey_id].openings:
            opening = shape.opening
            if (
                opening.is_outside
                and room.id in opening.room_ids
                and any(x.glazing is not None for x in opening.leaves)
            ):
                rise = device.height_m - (opening.sill_m + opening.height_m / 2)
                yield compared(
                    f"{device.id} to the pane of “{opening.name or opening.id}”",
                    math.hypot(math.dist(shape.centre, device.position), rise),
                    "<=",
                    kind.need("range_m"),
                    "m",
                    plain="Each pane is near enough to the detector that listens for it.",
                    about=(device.id, opening.id),
                    fix="a place nearer the glass, or a second detector",
                )


@clause("MNT-08")
def keypad_height(evidence: Evidence) -> Iterator[Judgement]:
    """A keypad's centre is 1.2 to 1.5 m above the floor."""
    found = evidence.of(Family.KEYPAD, Family.ALL_IN_ONE)
    yield from _band(found, 1.2, 1.5, "Keypads hang at a height people can read.", declared=False)


@clause("MNT-09")
def keypad_within_reach_of_all(evidence: Evidence) -> Iterator[Judgement]:
    """Operable parts 15 to 48 in (380 to 1220 mm) above the floor, where access for all is asked for."""
    plain = "Somebody in a wheelchair reaches the keypad."
    yield from _band(evidence.of(Family.KEYPAD, Family.ALL_IN_ONE), 0.38, 1.22, plain, declared=False)


@clause("MNT-10")
def accessible_controls(evidence: Evidence) -> Iterator[Judgement]:
    """United Kingdom: controls 450 to 1200 mm above the floor."""
    plain = "Somebody in a wheelchair reaches the keypad."
    yield from _band(evidence.of(Family.KEYPAD, Family.ALL_IN_ONE), 0.45, 1.2, plain, declared=False)


@clause("MNT-11")
def keypad_near_door(evidence: Evidence) -> Iterator[Judgement]:
    """The keypad is no farther than a 15 s walk from the entry door."""
    yield from keypad_walk(evidence)


@clause("MNT-12")
def keypad_inside(evidence: Evidence) -> Iterator[Judgement]:
    """A keypad is not on the outside of the building."""
    for device, _ in evidence.of(Family.KEYPAD, Family.ALL_IN_ONE):
        inside = evidence.is_indoors(device)
        plain = "Keypads are inside."
        if inside is None:
            yield undecided(f"{device.id}: the building has no rooms to tell by", plain, about=(device.id,))
        else:
            yield stated(
                inside,
                f"{device.id} is in a room",
                f"{device.id} is outside all rooms",
                plain=plain if inside else "A keypad is planned outside.",
                about=(device.id,),
                fix="a place inside",
            )


@clause("MNT-13")
def outer_sounder_out_of_reach(evidence: Evidence) -> Iterator[Judgement]:
    """An outside sounder hangs at least 2.5 m above the ground."""
    ground = evidence.scheme.premises.surroundings.ground_m
    for device, _ in evidence.of(Family.OUTER_SOUNDER):
        storey = next((s for s in evidence.scheme.premises.storeys if s.id == device.storey_id), None)
        yield compared(
            f"{device.id} above the ground",
            None if storey is None else storey.elevation_m + device.height_m - ground,
            ">=",
            2.5,
            "m",
            plain="The outside sounder hangs out of easy reach.",
            about=(device.id,),
            missing="its storey is not known",
            fix="a higher place",
        )


@clause("MNT-15")
def panel_place(evidence: Evidence) -> Iterator[Judgement]:
    """A control panel hangs inside, 1.2 to 2.0 m up."""
    panels = tuple((d, k) for d, k in evidence.of(*CONTROL) if k.family is Family.PANEL)
    yield from _band(panels, 1.2, 2.0, "The control unit can be worked on safely.", declared=False)


@clause("MNT-14")
def inner_sounder_near_beds(evidence: Evidence) -> Iterator[Judgement]:
    """The inner sounder wakes people: the fire rules' 75 dB(A) at the pillow, doors shut, as a yardstick."""
    plain = "The inner sounder is placed where it wakes people."
    if not evidence.of(Family.INNER_SOUNDER, Family.ALL_IN_ONE):
        return
    yield from at_the_pillows(evidence, plain, "an inner sounder high up and near the bedrooms")


@clause("MNT-16")
def beam_height(evidence: Evidence) -> Iterator[Judgement]:
    """A photo-beam indoors runs 18 to 36 in above the floor (practice, not confirmed)."""
    plain = "Light beams run at a height nobody passes without noticing."
    found = tuple((d, k) for d, k in evidence.of(Family.BEAM) if evidence.is_indoors(d) is not False)
    yield from _band(found, 18.0 * INCH_M, 36.0 * INCH_M, plain, declared=False)
