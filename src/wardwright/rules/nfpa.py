"""NFPA 731 on electronic premises security (2006, 2008, mid-2010s), NFPA 72:2019 and NEC:2020 where decidable."""

from collections.abc import Iterator

from wardwright.catalogue.kinds import Family
from wardwright.rules.en_50131_1_2006.entry import delayed_off_route
from wardwright.rules.en_50131_1_2006.power import standby
from wardwright.rules.evidence import CONTROL, INTRUDER, MOVEMENT, Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause
from wardwright.rules.ul_units import has_fire


@clause("US-731-01")
def secondary_2006(evidence: Evidence) -> Iterator[Judgement]:
    """Secondary supply for 4 h (edition of 2006)."""
    yield from standby(evidence, 4.0, plain="Without mains the system works for at least four hours.")


@clause("US-731-02")
def secondary_2008(evidence: Evidence) -> Iterator[Judgement]:
    """Secondary supply for 24 h (edition of 2008): the figure moved, so ask which edition is adopted."""
    yield from standby(evidence, 24.0, plain="Without mains the system works for at least a day.")


def _recharge(evidence: Evidence, hours: float) -> Iterator[Judgement]:
    plain = "After a power cut the battery is charged again in good time."
    if evidence.power is None:
        yield undecided("recharge was not computed", plain)
    for supply in evidence.standbys():
        yield compared(
            f"recharge of “{supply.at}”",
            supply.recharge_h,
            "<=",
            hours,
            "h",
            plain=plain,
            about=(supply.at,),
            missing=supply.undecided,
            fix="a stronger charger",
        )


@clause("US-731-03")
def recharge_2008(evidence: Evidence) -> Iterator[Judgement]:
    """The battery is charged within 48 h (edition of 2008; 24 h in 2006)."""
    yield from _recharge(evidence, 48.0)


@clause("US-731-07")
def keypad_walk(evidence: Evidence) -> Iterator[Judgement]:
    """The disarming device is no more than a 15 s walk from the entry door."""
    plain = "The keypad is near enough to the door you come in by."
    if evidence.timing is None:
        yield undecided("the walk from each final exit to its keypad was not computed", plain)
        return
    for walk in evidence.timing.walks:
        about = (walk.opening_id,) if walk.keypad_id is None else (walk.opening_id, walk.keypad_id)
        yield compared(
            f"walk from “{walk.opening_id}” to its keypad",
            walk.walk_s,
            "<=",
            15.0,
            "s",
            plain=plain,
            about=about,
            missing=walk.undecided,
            interval=walk.interval_s,
            assumption=walk.assumption,
            fix="a keypad nearer the door",
        )


@clause("US-731-08")
def entry_delay(evidence: Evidence) -> Iterator[Judgement]:
    """Entry time no more than 240 s."""
    for area, seconds in evidence.entry_s().items():
        yield compared(
            f"entry time of “{area}”",
            seconds,
            "<=",
            240.0,
            "s",
            plain="The time for coming in is not too long.",
            about=(area,),
            fix="a shorter entry time",
        )


@clause("US-731-09")
def what_may_be_delayed(evidence: Evidence) -> Iterator[Judgement]:
    """Only entry-door devices and the inside sensors on the way to the keypad may be delayed."""
    late, why = delayed_off_route(evidence)
    plain = "Only the way you come in by gives you time; everywhere else the alarm is immediate."
    if why:
        yield undecided(why, plain)
        return
    yield stated(
        not late,
        "only zones on an entry route are delayed",
        f"{', '.join(late)}: delayed, though on no entry route",
        plain=plain if not late else "The alarm waits at a place where it should not.",
        about=late,
        fix="program those zones as immediate",
    )


@clause("US-731-06")
def secondary_is_a_battery(evidence: Evidence) -> Iterator[Judgement]:
    """The secondary supply is a battery of its own (or a generator that starts by itself)."""
    kept = {b.at for b in evidence.scheme.design.backups}
    for device, _ in evidence.of(*CONTROL, Family.SUPPLY):
        yield stated(
            device.id in kept,
            f"{device.id} has a battery of its own",
            f"{device.id} has no battery; a generator that starts by itself is not modelled",
            plain="Each supply has a battery of its own."
            if device.id in kept
            else "One supply still lacks a battery of its own.",
            about=(device.id,),
            fix="a battery",
        )


@clause("US-731-11")
def outdoor_detection_verified(evidence: Evidence) -> Iterator[Judgement]:
    """Detection outdoors sends nobody unless it is verified."""
    plain = "A detector outdoors sends nobody before somebody has made sure."
    verified = evidence.scheme.premises.surroundings.response.verification in ("audio or video", "two zones")
    zones = evidence.scheme.zones_of_device
    for device, _ in evidence.of(*MOVEMENT, Family.BEAM):
        if device.opening_id is not None or evidence.is_indoors(device) is not False:
            continue
        alarming = [z for z in zones.get(device.id, ()) if z.response in INTRUDER]
        crossed = bool(alarming) and all(z.cross_zone_id is not None for z in alarming)
        yield stated(
            verified or crossed or not alarming or not evidence.reports,
            f"{device.id} outdoors is verified before anybody is sent",
            f"{device.id} stands outdoors on an intruder zone and nothing verifies it",
            plain=plain if verified or crossed or not alarming else "A detector outdoors is to be verified first.",
            about=(device.id,),
            fix="cross-zoning, audio or video verification, or a zone that does not report",
        )


@clause("US-731-12")
def outdoor_beams(evidence: Evidence) -> Iterator[Judgement]:
    """An outdoor photo-beam alarms only on two parallel units in one vertical plane, or with another technology."""
    plain = "A bird or a leaf does not set off the outdoor beams."
    for device, kind in evidence.of(Family.BEAM):
        if evidence.is_indoors(device) is False:
            beams = kind.get("beam_count") or 1.0
            yield compared(
                f"parallel beams of {device.id}", beams, ">=", 2.0, "", plain=plain, about=(device.id,), fix="a pair"
            )


@clause("US-72-08")
def household_fire_standby(evidence: Evidence) -> Iterator[Judgement]:
    """A system with household fire inputs works 24 h without mains."""
    if not has_fire(evidence):
        yield not_applicable("no smoke or carbon monoxide input hangs on the system")
        return
    yield from standby(evidence, 24.0, plain="Without mains the smoke inputs work for at least a day.")


@clause("US-72-10")
def battery_age(evidence: Evidence) -> Iterator[Judgement]:
    """A sealed lead-acid battery of a system with fire inputs is replaced within 5 years."""
    if not has_fire(evidence):
        yield not_applicable("no smoke or carbon monoxide input hangs on the system")
        return
    for backup in evidence.scheme.design.backups:
        yield compared(
            f"age of the battery in “{backup.at}”",
            backup.age_years,
            "<=",
            5.0,
            "a",
            plain="Batteries are replaced before they fail.",
            about=(backup.at,),
            fix="a new battery",
        )


@clause("US-72-12")
def fire_recharge(evidence: Evidence) -> Iterator[Judgement]:
    """The battery of a system with fire inputs is charged within 48 h."""
    if not has_fire(evidence):
        yield not_applicable("no smoke or carbon monoxide input hangs on the system")
        return
    yield from _recharge(evidence, 48.0)


@clause("US-NEC-01")
def class_two_power(evidence: Evidence) -> Iterator[Judgement]:
    """A Class 2 source up to 30 V gives no more than 100 VA."""
    for device, kind in evidence.of(*CONTROL, Family.SUPPLY):
        volts, amperes = kind.get("output_float_v"), kind.get("output_current_max_a")
        known = volts is not None and amperes is not None and volts <= 30.0
        yield compared(
            f"output of {device.id}",
            volts * amperes if known and volts is not None and amperes is not None else None,
            "<=",
            100.0,
            "VA",
            plain="The low-voltage wiring cannot carry dangerous power.",
            about=(device.id,),
            missing="its kind does not give voltage and current of its output",
            fix="a listed Class 2 source, or outputs that are each limited",
        )


@clause("US-72-01", "US-72-02")
def waking_level(evidence: Evidence) -> Iterator[Judgement]:
    """Where the system serves a fire alarm too: 75 dB(A) at the pillow, doors as they would be."""
    plain = "The alarm is loud enough at the beds."
    if not has_fire(evidence):
        yield not_applicable("nothing in this design serves a fire alarm")
        return
    yield from at_the_pillows(evidence, plain, "a sounder in the bedroom or before its door")


def at_the_pillows(evidence: Evidence, plain: str, fix: str) -> Iterator[Judgement]:
    """75 dB(A) at every bed, doors shut."""
    if evidence.audibility is None:
        yield undecided("the sound at the beds was not worked out", plain)
        return
    for place in evidence.audibility.of("bed"):
        yield compared(
            f"alarm at {place.name}, doors shut",
            place.level_db,
            ">=",
            75.0,
            "dB(A)",
            plain=plain,
            about=(place.id,),
            interval=place.interval_db,
            assumption=place.assumption,
            fix=fix,
        )


@clause("US-72-03")
def loudest_level(evidence: Evidence) -> Iterator[Judgement]:
    """Nowhere more than 110 dB(A), where the system serves a fire alarm too."""
    if not has_fire(evidence):
        yield not_applicable("nothing in this design serves a fire alarm")
        return
    plain = "Nowhere does the alarm hurt the ears."
    if evidence.audibility is None:
        yield undecided("the sound in the rooms was not worked out", plain)
        return
    for place in (*evidence.audibility.of("bed"), *evidence.audibility.of("room")):
        yield compared(
            f"alarm at {place.name}",
            place.level_db,
            "<=",
            110.0,
            "dB(A)",
            plain=plain,
            about=(place.id,),
            interval=place.interval_db,
            assumption=place.assumption,
            fix="a sounder farther away, or a quieter kind",
        )
