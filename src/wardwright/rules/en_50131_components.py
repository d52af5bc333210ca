"""The EN 50131 series on components: parts 2-2, 2-4, 2-6, 3, 4, 5-3, 6, each row with the edition it cites."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.declared import declares
from wardwright.rules.evidence import CONTROL, MOVEMENT, Evidence
from wardwright.rules.judgement import Judgement, Operator, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause

_SUPPLIES = (*CONTROL, Family.SUPPLY)


def _figure(
    evidence: Evidence,
    families: tuple[Family, ...],
    name: str,
    relation: Operator,
    limit: float,
    unit: str,
    what: str,
    plain: str,
) -> Iterator[Judgement]:
    for device, kind in evidence.of(*families):
        yield compared(
            f"{what} of {device.id}",
            kind.get(name),
            relation,
            limit,
            unit,
            plain=plain,
            about=(device.id,),
            missing="its kind does not say",
            fix="a kind that does",
        )


@clause("EU-PIR-13")
def ready_after_power_up(evidence: Evidence) -> Iterator[Judgement]:
    """A passive infrared detector is ready 180 s after power-up."""
    plain = "The motion detectors are ready soon after power comes back."
    yield from _figure(evidence, (Family.MOTION,), "warm_up_s", "<=", 180.0, "s", "time from power-up", plain)


@clause("EU-PIR-14")
def alarm_held(evidence: Evidence) -> Iterator[Judgement]:
    """Its alarm signal is held for at least 1 s."""
    plain = "A detection lasts long enough to be processed."
    yield from _figure(evidence, (Family.MOTION,), "alarm_hold_s", ">=", 1.0, "s", "alarm signal", plain)


@clause("EU-PIR-18")
def indoor_detectors_indoors(evidence: Evidence) -> Iterator[Judgement]:
    """EN 50131-2-2 does not cover outdoor detectors: a movement detector belongs indoors."""
    plain = "Motion detectors made for indoors are fixed indoors."
    for device, _ in evidence.of(*MOVEMENT):
        inside = evidence.is_indoors(device)
        if inside is None:
            yield undecided(f"{device.id}: the building has no rooms to tell by", plain, about=(device.id,))
        else:
            yield stated(
                inside,
                f"{device.id} stands in a room",
                f"{device.id} stands in no room; the standard for its kind covers indoor use only",
                plain=plain if inside else "A motion detector made for indoors is planned outdoors.",
                about=(device.id,),
                fix="a place in a room, or a kind made for outdoors",
            )


@clause("EU-PIR-19")
def both_technologies(evidence: Evidence) -> Iterator[Judgement]:
    """A dual detector set to alarm by either technology alone must meet both parts 2-2 and 2-3 instead."""
    for device, kind in evidence.of(Family.DUAL):
        either = kind.words.get("logic") == "either" or device.settings.get("either", 0.0) > 0.0
        plain = "Combined detectors alarm only when both of their senses agree."
        if either:
            yield undecided(
                f"{device.id} alarms by either technology alone: its declaration to EN 50131-2-2 and 2-3 must be read",
                plain,
                about=(device.id,),
            )
        else:
            yield stated(True, f"{device.id} wants both technologies", "", plain=plain, about=(device.id,))


@clause("EU-CON-01")
def contact_closes_within_its_gap(evidence: Evidence) -> Iterator[Judgement]:
    """A contact reports shut within the approach distance it is declared for."""
    plain = "Door and window contacts are fitted within the gap they are made for."
    for device, kind in evidence.of(Family.CONTACT):
        gap = device.settings.get("gap_m")
        yield compared(
            f"gap of {device.id}",
            None if gap is None else gap * 1000.0,
            "<=",
            kind.need("operate_gap_m") * 1000.0,
            "mm",
            plain=plain,
            about=(device.id,),
            missing="the gap is to be measured when it is fitted",
            fix="bring magnet and contact nearer, or a wide-gap kind",
        )


@clause("EU-CON-02")
def foreign_magnet(evidence: Evidence) -> Iterator[Judgement]:
    """From grade 3 a contact resists a foreign magnet or tells of it: biased or coded kinds."""
    if evidence.grade < 3:
        yield not_applicable(f"not asked for at grade {evidence.grade}")
        return
    for device, kind in evidence.of(Family.CONTACT):
        sort = kind.words.get("foreign_magnet", "plain")
        yield stated(
            sort != "plain",
            f"{device.id} is {sort}",
            f"{device.id} is a plain contact; grade {evidence.grade} asks for a biased or coded one",
            plain="Contacts are of the kind the grade asks for."
            if sort != "plain"
            else "Some contacts are of a simpler kind than the grade asks for.",
            about=(device.id,),
            fix="a balanced contact",
        )


@clause("EU-CIE-01")
def wrong_codes_block(evidence: Evidence) -> Iterator[Judgement]:
    """After a few wrong codes the input is blocked for at least 90 s."""
    plain = "Guessing codes is made useless."
    yield from _figure(evidence, CONTROL, "wrong_code_block_s", ">=", 90.0, "s", "block after wrong codes", plain)


@clause("EU-CIE-02")
def control_inside(evidence: Evidence) -> Iterator[Judgement]:
    """Control equipment stands inside the supervised premises; on an entry route it must outlast the entry time."""
    plain = "The control unit stands inside the protected building."
    movers = {evidence.room_of[d.id] for d, _ in evidence.of(*MOVEMENT)}
    for device, kind in evidence.of(*CONTROL):
        inside = evidence.is_indoors(device)
        if inside is None:
            yield undecided(f"{device.id}: the building has no rooms to tell by", plain, about=(device.id,))
            continue
        room = evidence.room_of[device.id]
        exits = {r for o in evidence.scheme.premises.openings if o.final_exit for r in o.room_ids}
        on_route = room is not None and room.id in exits
        if inside and room is not None and on_route:
            box = "a locked metal enclosure" if kind.words.get("locked_enclosure") == "yes" else "no locked enclosure"
            yield undecided(
                f"{device.id} is in “{room.name}”, on the entry route, in {box}: that it outlasts the entry time "
                "must be shown",
                plain,
                about=(device.id,),
            )
            continue
        where = "in a room with a movement detector" if room in movers and room else "inside"
        yield stated(
            inside,
            f"{device.id} is {where}",
            f"{device.id} stands outside all rooms",
            plain=plain if inside else "The control unit is not inside the protected building.",
            about=(device.id,),
            fix="a place inside",
        )


@clause("EU-WD-01")
def inner_sounder_level(evidence: Evidence) -> Iterator[Judgement]:
    """An inner sounder gives at least 80 dB(A) at 1 m."""
    plain = "The inner sounders are loud enough by the standard."
    yield from _figure(evidence, (Family.INNER_SOUNDER,), "level_db_1m", ">=", 80.0, "dB(A)", "level at 1 m", plain)


@clause("EU-WD-02")
def outer_sounder_level(evidence: Evidence) -> Iterator[Judgement]:
    """An outside sounder gives at least 100 dB(A) at 1 m."""
    plain = "The outside sounder is loud enough by the standard."
    yield from _figure(evidence, (Family.OUTER_SOUNDER,), "level_db_1m", ">=", 100.0, "dB(A)", "level at 1 m", plain)


@clause("EU-WD-04")
def sounder_stops_itself(evidence: Evidence) -> Iterator[Judgement]:
    """A warning device sounds for 15 minutes at most."""
    plain = "The outside sounder falls silent by itself."
    yield from _figure(
        evidence, (Family.OUTER_SOUNDER,), "sound_max_s", "<=", 900.0, "s", "longest sounding by itself", plain
    )


@clause("EU-WD-09")
def self_powered_sounder(evidence: Evidence) -> Iterator[Judgement]:
    """A self-powered sounder holds its own battery and sounds when its feed is cut."""
    yield from declares(
        evidence, (Family.OUTER_SOUNDER,), "self_powered", "has its own battery", "a self-powered outer sounder"
    )


@clause("EU-WD-10")
def german_outside_sounders(evidence: Evidence) -> Iterator[Judgement]:
    """Germany: outside sounders belong to grade 2 systems only (a trade statement on DIN VDE 0833)."""
    outer = tuple(d.id for d, _ in evidence.of(Family.OUTER_SOUNDER))
    if evidence.scheme.premises.surroundings.country.upper() in ("DE", "DEU", "GERMANY") and outer:
        yield stated(
            evidence.grade == 2,
            "an outside sounder in a grade 2 system",
            f"an outside sounder in a grade {evidence.grade} system",
            plain="Outside sounders are used as is the custom of the country.",
            about=outer,
            fix="sounders inside only",
        )


@clause("EU-RF-08")
def radio_indoors(evidence: Evidence) -> Iterator[Judgement]:
    """The radio standard covers links inside the supervised premises only."""
    plain = "Radio parts are fixed inside the building."
    for device in evidence.scheme.fitted:
        kind = evidence.kinds.get(device.id)
        if kind is not None and kind.radio and device.opening_id is None:
            inside = evidence.is_indoors(device)
            if inside is None:
                yield undecided(f"{device.id}: the building has no rooms to tell by", plain, about=(device.id,))
            else:
                yield stated(
                    inside,
                    f"{device.id} is inside",
                    f"{device.id} stands outside all rooms",
                    plain=plain if inside else "A radio part is planned outdoors.",
                    about=(device.id,),
                    fix="a place inside, or a wire",
                )


@clause("EU-PSU-02")
def deep_discharge(evidence: Evidence) -> Iterator[Judgement]:
    """The battery is disconnected before it is harmed by deep discharge."""
    for device, kind in evidence.of(*_SUPPLIES):
        yield compared(
            f"battery disconnected by {device.id}",
            kind.get("battery_cut_off_v"),
            ">=",
            10.0,
            "V",
            plain="A long power cut does not ruin the battery.",
            about=(device.id,),
            missing="its kind does not say at what voltage",
            assumption="10.0 V for a 12 V block: common practice, no source",
        )


@clause("EU-PSU-03")
def low_battery_told_in_time(evidence: Evidence) -> Iterator[Judgement]:
    """Low battery is signalled before the output leaves its range."""
    for device, kind in evidence.of(*_SUPPLIES):
        low, cut = kind.get("battery_low_v"), kind.get("battery_cut_off_v")
        plain = "A battery that runs down is reported before the system stops."
        if low is None or cut is None:
            yield undecided(f"{device.id}: its kind does not say at what voltage", plain, about=(device.id,))
        else:
            yield compared(f"low battery reported by {device.id}", low, ">", cut, "V", plain=plain, about=(device.id,))


@clause("EU-PSU-04")
def supply_cover(evidence: Evidence) -> Iterator[Judgement]:
    """A supply in an enclosure of its own tells when it is opened."""
    yield from declares(
        evidence, (Family.SUPPLY,), "tamper_opening", "tells when its cover is opened", "a kind whose cover is watched"
    )


@clause("EU-GB-01")
def glass_within_declaration(evidence: Evidence) -> Iterator[Judgement]:
    """A glass-break detector listens only to panes of the kinds, thickness and size it is proven on."""
    plain = "The detectors that listen for breaking glass are made for these panes."
    if evidence.glass is None:
        yield undecided("breaking glass was not worked out", plain)
        return
    glazing = {
        (o.id, leaf.id): leaf.glazing.kind
        for o in evidence.scheme.premises.openings
        for leaf in o.leaves
        if leaf.glazing is not None
    }
    for device, _ in evidence.of(Family.GLASS_BREAK):
        mine = [h for h in evidence.glass if h.device_id == device.id]
        unfit = sorted({f"{h.opening_id}: {h.deaf}" for h in mine if "declared" in h.deaf})
        unknown = sorted(
            {h.opening_id for h in mine if h.counts and glazing.get((h.opening_id, h.leaf_id or "")) == "unknown"}
        )
        if unknown and not unfit:
            yield undecided(
                f"{device.id}: the glass of {', '.join(unknown)} was not surveyed", plain, about=(device.id,)
            )
            continue
        yield stated(
            not unfit,
            f"{device.id} listens only to panes it is declared for",
            f"{device.id}: {'; '.join(unfit)}",
            plain=plain if not unfit else "One detector for breaking glass is changed to suit its panes.",
            about=(device.id,),
            fix="a kind declared for this glass, or a shock detector on the pane",
        )
