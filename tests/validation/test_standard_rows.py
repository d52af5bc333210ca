"""Limits of standards: the value at which each rule's outcome turns, found by halving, against the published figure.

``seen`` rows quote the standard, or a published summary of it, as named in the bibliography; the others are remembered.
The clause stands beside each figure.
"""

from collections.abc import Callable
from dataclasses import replace

import pytest
from tests.house import design, scheme

from wardwright.analyses.audibility import Audibility, SoundAt
from wardwright.analyses.panel_programme import numbering, panel_programme
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.programme_proof import ProgrammeProof
from wardwright.analyses.standby import Standby
from wardwright.analyses.timing import ExitWalk, TimingAnalysis
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Profile
from wardwright.design.devices import Backup
from wardwright.design.programme import Timers
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Outcome
from wardwright.premises.life import Response
from wardwright.premises.openings import Vent
from wardwright.rules.en_50136_1_2012 import CATEGORIES
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings
from wardwright.rules.register import CLAUSES

G1, G2, G3, G4 = Profile.EU_GRADE_1, Profile.EU_GRADE_2, Profile.EU_GRADE_3, Profile.EU_GRADE_4
HOME, SHOP, UK = Profile.US_HOME, Profile.US_BUSINESS, Profile.UK_CONFIRMED
Make = Callable[[float], Evidence]


def turns_at(row: str, make: Make, low: float, high: float) -> float:
    """Where the row's outcome changes between ``low`` and ``high``, to 1e-6 of their distance."""

    def met(value: float) -> bool:
        found = [judgement.outcome for judgement in CLAUSES[row](make(value))]
        assert found, f"{row} says nothing"
        return Outcome.NOT_MET not in found

    assert any(f.rule == row for f in rule_findings(make(low))), f"{row} is not judged for this profile"
    at_low = met(low)
    assert at_low != met(high), f"{row} does not turn between {low} and {high}"
    for _ in range(24):
        middle = (low + high) / 2
        low, high = (middle, high) if met(middle) == at_low else (low, middle)
    return (low + high) / 2


def local_warning(value: float) -> Evidence:
    """A panel that holds a report back for so long after an entry gone wrong."""
    whole = scheme(G2)
    told = replace(panel_programme(whole), entry_warning_ms=round(value * 1000), abort_ms=0)
    return Evidence(whole, behaviour=ProgrammeProof(told, numbering(whole), (), 0.0))


def timer(profile: Profile, field: str, **others: float) -> Make:
    def make(value: float) -> Evidence:
        whole = scheme(profile)
        timers = Timers(**{**others, field: value})
        programme = design().programme.model_copy(update={"timers": timers, "confirmation": "sequential"})
        return Evidence(replace(whole, design=design().model_copy(update={"programme": programme})))

    return make


def figure(profile: Profile, kind: str, name: str) -> Make:
    def make(value: float) -> Evidence:
        rows = f"kind,figure,value,unit,source,note\n{kind},{name},{value!r},,x,\n"
        return Evidence(replace(scheme(profile), catalogue=load_catalogue(rows)))

    return make


def device(profile: Profile, key: str, field: str) -> Make:
    def make(value: float) -> Evidence:
        changed = tuple(d.model_copy(update={field: value}) if d.id == key else d for d in design().devices)
        return Evidence(replace(scheme(profile), design=design().model_copy(update={"devices": changed})))

    return make


def supply(profile: Profile, which: str, *, reported: bool = True, fire: bool = False) -> Make:
    def make(value: float) -> Evidence:
        hours, recharge = (value, 1.0) if which == "standby" else (1000.0, value)
        one = Standby("panel", 0.1, 0.8, 7.0, 6.0, 12.0, "", 900.0, hours, None, recharge, "")
        whole = scheme(profile)
        changed = design()
        if not reported:
            changed = changed.model_copy(
                update={"programme": changed.programme.model_copy(update={"paths": (), "outputs": ()})}
            )
        if fire:
            smoke = design().device("pir-hall").model_copy(update={"id": "smoke", "kind": "smoke"})
            changed = changed.model_copy(update={"devices": (*changed.devices, smoke)})
        return Evidence(replace(whole, design=changed), power=PowerAnalysis((one,), ()))

    return make


def walk(value: float) -> Evidence:
    walks = (ExitWalk("front", "keypad", 4.0, value, None, 30.0, 60.0, (), ""),)
    return Evidence(scheme(SHOP), timing=TimingAnalysis(walks))


def reporting(profile: Profile, category: str, *, primary: bool) -> Make:
    def make(value: float) -> Evidence:
        paths = tuple(
            p.model_copy(
                update={
                    "category": category,
                    "reporting_interval_s": value if (p.priority == 1) is primary else 1.0,
                }
            )
            for p in design().programme.paths
        )
        changed = design().programme.model_copy(update={"paths": paths})
        return Evidence(replace(scheme(profile), design=design().model_copy(update={"programme": changed})))

    return make


def one_path(value: float) -> Evidence:
    path = design().programme.paths[0].model_copy(update={"reporting_interval_s": value, "category": "SP4"})
    changed = design().programme.model_copy(update={"paths": (path,)})
    return Evidence(replace(scheme(SHOP), design=design().model_copy(update={"programme": changed})))


def radio(profile: Profile) -> Make:
    def make(value: float) -> Evidence:
        rows = f"kind,figure,value,unit,source,note\npir-wide-radio,supervision_s,{value!r},s,x,\n"
        changed = tuple(
            d.model_copy(update={"kind": "pir-wide-radio"}) if d.id == "pir-hall" else d for d in design().devices
        )
        whole = replace(scheme(profile), catalogue=load_catalogue(rows))
        return Evidence(replace(whole, design=design().model_copy(update={"devices": changed, "loops": ()})))

    return make


def loop_response(value: float) -> Evidence:
    loops = tuple(x.model_copy(update={"response_s": value}) for x in design().loops)
    return Evidence(replace(scheme(G2), design=design().model_copy(update={"loops": loops})))


def window_vent(value: float) -> Evidence:
    whole = scheme(HOME)
    openings = tuple(
        o.model_copy(
            update={
                "leaves": tuple(
                    leaf.model_copy(update={"vent": Vent(gap_m=value, wanted_when_set=True)}) for leaf in o.leaves
                )
            }
        )
        if o.id == "window"
        else o
        for o in whole.premises.openings
    )
    return Evidence(replace(whole, premises=whole.premises.model_copy(update={"openings": openings})))


def steel_door(value: float) -> Evidence:
    whole = figure(HOME, "contact-surface", "steel_gap_m")(value).scheme
    openings = tuple(
        o.model_copy(update={"leaves": tuple(x.model_copy(update={"material": "steel"}) for x in o.leaves)})
        for o in whole.premises.openings
    )
    return Evidence(replace(whole, premises=whole.premises.model_copy(update={"openings": openings})))


def in_place(whole: ProtectionScheme, *places: str) -> ProtectionScheme:
    here = whole.premises.surroundings.model_copy(update={"jurisdictions": places})
    return replace(whole, premises=whole.premises.model_copy(update={"surroundings": here}))


def bell_in(place: str) -> Make:
    def make(value: float) -> Evidence:
        return Evidence(in_place(timer(HOME, "bell_s")(value).scheme, place))

    return make


def attended_in(place: str) -> Make:
    def make(value: float) -> Evidence:
        whole = in_place(scheme(HOME), place)
        response = Response(median_s=60.0 * value, spread=1e-9)
        here = whole.premises.surroundings.model_copy(update={"response": response})
        return Evidence(replace(whole, premises=whole.premises.model_copy(update={"surroundings": here})))

    return make


def standby_in(place: str) -> Make:
    def make(value: float) -> Evidence:
        found = supply(HOME, "standby")(value)
        return replace(found, scheme=in_place(found.scheme, place))

    return make


def sound(where: str) -> Make:
    def make(value: float) -> Evidence:
        fire = supply(HOME, "standby", fire=True)(100.0)
        place = SoundAt("bed-1", "Bed", where, value, (value, value), None, "sounder-inner", False, "")
        return replace(fire, audibility=Audibility((place,), ("sounder-inner",)))

    return make


def battery_age(value: float) -> Evidence:
    fire = supply(HOME, "standby", fire=True)(100.0)
    backups = (Backup(at="panel", kind="battery-7ah", age_years=value),)
    changed = fire.scheme.design.model_copy(update={"backups": backups})
    return replace(fire, scheme=replace(fire.scheme, design=changed))


def inner_only(value: float) -> Evidence:
    whole = figure(HOME, "sounder-inner", "level_db_1m")(value).scheme
    devices = tuple(d for d in whole.design.devices if not d.kind.startswith("sounder-outer"))
    return Evidence(replace(whole, design=whole.design.model_copy(update={"devices": devices})))


def beam(value: float) -> Evidence:
    changed = tuple(
        d.model_copy(update={"kind": "photo-beam", "height_m": value}) if d.id == "pir-hall" else d
        for d in design().devices
    )
    return Evidence(replace(scheme(HOME), design=design().model_copy(update={"devices": changed})))


DAY, HOUR = 86_400.0, 3600.0

SEEN = [
    # clause 8.3.8.2, as quoted in CLC/TS 50131-7:2010
    ("EN50131-1-2006", "longest entry time [s]", "EU-ENT-01", timer(G2, "entry_s"), 1, 200, 45.0),
    # as reported when the new edition came out
    ("EN50131-4-2019", "longest sounding time [s]", "EU-NOT-02", timer(G2, "bell_s"), 100, 2000, 900.0),
    ("EN50131-4-2019", "sounding by itself [s]", "EU-WD-04", figure(G2, "sounder-outer", "sound_max_s"), 60, 3000, 900),
    (
        "EN50131-4-2019",
        "inner sounder at 1 m [dB]",
        "EU-WD-01",
        figure(G2, "sounder-inner", "level_db_1m"),
        60,
        110,
        80,
    ),
    # clause 10.1: 6 in
    ("UL1641-2015", "window without alarm [m]", "US-INS-01", window_vent, 0.05, 0.5, 0.1524),
    # clause 19.2: 1/8 in on 1/4 in steel
    ("UL634-2007", "contact gap on steel [m]", "US-UNT-01", steel_door, 0.001, 0.01, 0.003175),
    # clauses 5.1.6.3, and 5.1.6.2 with A.5.1.6.2
    ("NFPA731-2015", "longest entry time [s]", "US-731-08", timer(SHOP, "entry_s"), 10, 500, 240.0),
    ("NFPA731-2015", "walk to the disarming device [s]", "US-731-07", walk, 1, 60, 15.0),
    # forewords of 2008
    ("NFPA731-2006", "secondary supply [h]", "US-731-01", supply(SHOP, "standby"), 1, 10, 4.0),
    ("NFPA731-2008", "secondary supply [h]", "US-731-02", supply(SHOP, "standby"), 5, 50, 24.0),
    ("NFPA731-2008", "recharge [h]", "US-731-03", supply(SHOP, "recharge"), 10, 100, 48.0),
    # clause 2.4
    ("CSAA-STA-1", "secondary supply [h]", "US-UNT-16", supply(SHOP, "standby"), 1, 10, 4.0),
    # insurers' summary
    ("UL-INSURERS", "check-in of a single path [s]", "US-LIN-01", one_path, 10, 1000, 200.0),
    (
        "UL-INSURERS",
        "check-in of the primary of two [s]",
        "US-LIN-02",
        reporting(SHOP, "DP3", primary=True),
        9,
        999,
        360,
    ),
    ("UL-INSURERS", "check-in of the second [s]", "US-LIN-02", reporting(SHOP, "DP3", primary=False), 9, 2 * DAY, DAY),
    # chapter 9 table 11(A): 100 VA; 13.65 V of the panel's output
    (
        "NEC-2020",
        "Class 2 current at 13.65 V [A]",
        "US-NEC-01",
        figure(SHOP, "panel-8", "output_current_max_a"),
        1,
        20,
        100 / 13.65,
    ),
    # 308.2.1 and 308.3.1: 48 in and 15 in, as rounded there to 1220 and 380 mm
    ("ADA-2010", "highest operable part [m]", "MNT-09", device(HOME, "keypad", "height_m"), 0.8, 2.0, 1.22),
    ("ADA-2010", "lowest operable part [m]", "MNT-09", device(HOME, "keypad", "height_m"), 0.1, 0.8, 0.38),
    # chapter 10
    ("NFPA72-2019", "recharge with fire inputs [h]", "US-72-12", supply(HOME, "recharge", fire=True), 10, 90, 48.0),
    # clause 8.8.1
    ("EN50131-1-2006", "arrival of a signal [s]", "EU-PRC-03", loop_response, 0.05, 60, 10.0),
    # chapter 18, clauses 18.4.6.1 and 18.4.1.2; table 10.4.4 of 2007
    ("NFPA72-2019", "alarm at the pillow [dB]", "US-72-01", sound("bed"), 40, 105, 75.0),
    ("NFPA72-2019", "loudest anywhere [dB]", "US-72-03", sound("room"), 80, 140, 110.0),
    ("NFPA72-2007", "age of a sealed lead-acid battery [a]", "US-72-10", battery_age, 1, 12, 5.0),
    # the codes of seven towns, and the rules of two counties
    *(
        ("US-LOCAL-CODES", f"outside sounder, {place} [s]", row, bell_in(place), 60, 3600, limit)
        for place, row, limit in (
            ("Lexington KY", "LAW-11", 600.0),
            ("Travelers Rest SC", "LAW-11", 600.0),
            ("Wyandotte MI", "LAW-12", 900.0),
            ("Cleburne TX", "LAW-12", 900.0),
            ("Reedley CA", "LAW-12", 900.0),
            ("Helena MT", "LAW-13", 1200.0),
            ("Tool TX", "LAW-14", 1800.0),
        )
    ),
    *(
        ("US-LOCAL-CODES", f"somebody on site, {place} [min]", "LAW-16", attended_in(place), 1, 300, limit)
        for place, limit in (("Lexington KY", 30.0), ("Helena MT", 30.0), ("Cleburne TX", 60.0))
    ),
    *(
        ("MD-COUNTIES", f"standby, {place} [h]", "LAW-18", standby_in(place), 1, 20, 4.0)
        for place in ("Montgomery County MD", "Prince George's County MD")
    ),
    # the code itself is withdrawn, its 20 minutes are still quoted
    ("NOISE-CODE-1982", "sounder cut-out [s]", "UK-NSE-01", timer(UK, "bell_s"), 300, 3000, 1200.0),
]

REMEMBERED = [
    # EN 50131-1 clause 9, table 23: type A
    *(
        (
            "EN50131-1-2006",
            f"standby of a mains supply, {p.value} [h]",
            "EU-PWR-04",
            supply(p, "standby", reported=False),
            1,
            200,
            h,
        )
        for p, h in ((G1, 12.0), (G2, 12.0), (G3, 60.0), (G4, 60.0))
    ),
    *(
        (
            "EN50131-1-2006",
            f"standby where mains faults are reported, {p.value} [h]",
            "EU-PWR-07",
            supply(p, "standby"),
            1,
            99,
            30.0,
        )
        for p in (G3, G4)
    ),
    *(
        ("EN50131-6-2017", f"recharge to 80 %, {p.value} [h]", "EU-PWR-09", supply(p, "recharge"), 1, 200, h)
        for p, h in ((G1, 72.0), (G2, 72.0), (G3, 24.0), (G4, 24.0))
    ),
    # table 22
    *(
        ("EN50131-1-2006", f"events held, {p.value}", "EU-LOG-01", figure(p, "panel-8", "log_events"), 1, 5000, n)
        for p, n in ((G2, 250.0), (G3, 500.0), (G4, 1000.0))
    ),
    # table 17
    *(
        ("EN50131-1-2006", f"check-in of radio parts, {p.value} [s]", "EU-INT-03", radio(p), 1, 20_000, s)
        for p, s in ((G1, 14_400.0), (G2, 7_200.0), (G3, 100.0), (G4, 10.0))
    ),
    ("EN50131-1-2006", "shortest sounding time [s]", "EU-NOT-01", timer(G2, "bell_s"), 1, 500, 90.0),
    ("EN50131-1-2006", "signal surely processed [s]", "EU-PRC-01", loop_response, 0.05, 2, 0.4),
    ("EN50131-1-2006", "local warning before the report [s]", "EU-ENT-03", local_warning, 1, 100, 30.0),
    (
        "EN50131-1-2006",
        "record without power [s]",
        "EU-LOG-03",
        figure(G2, "panel-8", "log_retention_s"),
        DAY,
        90 * DAY,
        30 * DAY,
    ),
    (
        "EN50131-3-2009",
        "block after wrong codes [s]",
        "EU-CIE-01",
        figure(G2, "panel-8", "wrong_code_block_s"),
        1,
        500,
        90.0,
    ),
    ("EN50131-2-2-2021", "ready after power-up [s]", "EU-PIR-13", figure(G2, "pir-wide", "warm_up_s"), 10, 800, 180.0),
    ("EN50131-2-2-2021", "alarm signal held [s]", "EU-PIR-14", figure(G2, "pir-wide", "alarm_hold_s"), 0.1, 10, 1.0),
    (
        "EN50131-4-2019",
        "outside sounder at 1 m [dB]",
        "EU-WD-02",
        figure(G2, "sounder-outer", "level_db_1m"),
        80,
        120,
        100.0,
    ),
    (
        "EN50131-6-2017",
        "delay of the mains-fail report [s]",
        "EU-PSU-01",
        timer(G2, "mains_fail_delay_s"),
        60,
        9000,
        3600.0,
    ),
    # EN 50136-1: primary path by category
    *(
        (
            "EN50136-1-2012",
            f"reporting time of the primary path, {c} [s]",
            "EU-ATS-04",
            reporting(G2, c, primary=True),
            1,
            4e6,
            s,
        )
        for c, s in (
            ("SP1", 32 * DAY),
            ("SP2", 25 * HOUR),
            ("SP3", 1800.0),
            ("SP4", 180.0),
            ("SP5", 90.0),
            ("SP6", 20.0),
            ("DP1", 25 * HOUR),
            ("DP2", 1800.0),
            ("DP3", 180.0),
            ("DP4", 90.0),
        )
    ),
    *(
        (
            "EN50136-1-2012",
            f"reporting time of the second path, {c} [s]",
            "EU-ATS-05",
            reporting(G2, c, primary=False),
            1,
            4e5,
            s,
        )
        for c, s in (("DP1", 50 * HOUR), ("DP2", 25 * HOUR), ("DP3", 25 * HOUR), ("DP4", 5 * HOUR))
    ),
    ("BS8243-2010", "shortest confirmation window [s]", "UK-CNF-06", timer(UK, "confirm_window_s"), 60, 2000, 1800.0),
    ("BS8243-2010", "longest confirmation window [s]", "UK-CNF-06", timer(UK, "confirm_window_s"), 2000, 9000, 3600.0),
    ("UL1023", "household standby [h]", "US-UNT-04", supply(HOME, "standby"), 1, 20, 4.0),
    ("UL1023", "longest household entry time [s]", "US-UNT-08", timer(HOME, "entry_s"), 1, 200, 45.0),
    ("UL1023", "longest household exit time [s]", "US-UNT-08", timer(HOME, "exit_s"), 1, 200, 60.0),
    ("UL1023", "household sounder time [s]", "US-UNT-09", timer(HOME, "bell_s"), 1, 1000, 240.0),
    ("UL1023", "check-in of radio parts [s]", "US-UNT-10", radio(HOME), 60, 2 * DAY, 12 * HOUR),
    ("UL985", "household fire standby [h]", "US-UNT-05", supply(HOME, "standby", fire=True), 1, 90, 24.0),
    ("NFPA72-2019", "household fire standby [h]", "US-72-08", supply(HOME, "standby", fire=True), 1, 90, 24.0),
    ("UL609", "mercantile standby [h]", "US-UNT-13", supply(SHOP, "standby"), 1, 20, 4.0),
    ("UL609", "mercantile bell time [s]", "US-UNT-15", timer(SHOP, "bell_s"), 60, 3000, 900.0),
    ("SIA-CP-01", "shortest exit time [s]", "US-CP-01", timer(HOME, "exit_s"), 1, 100, 45.0),
    ("SIA-CP-01", "longest exit time [s]", "US-CP-01", timer(HOME, "exit_s"), 100, 600, 255.0),
    ("SIA-CP-01", "shortest entry delay [s]", "US-CP-07", timer(HOME, "entry_s"), 1, 100, 30.0),
    ("SIA-CP-01", "longest entry delay [s]", "US-CP-07", timer(HOME, "entry_s"), 100, 600, 240.0),
    ("SIA-CP-01", "entry delay and abort window [s]", "US-CP-09", timer(HOME, "abort_s", entry_s=30.0), 1, 90, 30.0),
    ("SIA-CP-01", "shortest abort window [s]", "US-CP-10", timer(HOME, "abort_s"), 1, 30, 15.0),
    ("SIA-CP-01", "longest abort window [s]", "US-CP-10", timer(HOME, "abort_s"), 30, 90, 45.0),
    ("SIA-CP-01", "shortest cancel window [s]", "US-CP-12", timer(HOME, "cancel_s"), 1, 900, 300.0),
    # 85 dB at 10 ft is 94.68 dB at 1 m in the open
    (
        "UL1023",
        "household sounder at 1 m [dB]",
        "US-UNT-07",
        inner_only,
        60,
        120,
        94.68,
    ),
    ("UL681-2014", "lowest photo-beam, 18 in [m]", "MNT-16", beam, 0.1, 0.6, 0.4572),
    ("UL681-2014", "highest photo-beam, 36 in [m]", "MNT-16", beam, 0.6, 2.0, 0.9144),
    ("UK-PART-M", "highest control [m]", "MNT-10", device(UK, "keypad", "height_m"), 0.8, 2.0, 1.2),
    ("UK-PART-M", "lowest control [m]", "MNT-10", device(UK, "keypad", "height_m"), 0.1, 0.8, 0.45),
]


@pytest.mark.parametrize(
    ("status", "case"),
    [*(("seen", c) for c in SEEN), *(("from memory", c) for c in REMEMBERED)],
    ids=lambda c: c if isinstance(c, str) else f"{c[2]}-{c[1]}",
)
def test_the_rule_turns_at_the_published_figure(status, case, check) -> None:
    source, quantity, row, make, low, high, published = case
    # 24 halvings leave 6e-8 of the span; a part in ten thousand of the figure is far below any digit printed there
    check(
        source=source,
        status=status,
        quantity=quantity,
        expected=published,
        actual=turns_at(row, make, low, high),
        tolerance=1e-4 * published + 1e-6 * (high - low),
    )


def test_ten_categories_and_a_custom_one(check) -> None:
    # EN 50136-1:2012 clauses 5 and 6: SP1 to SP6, DP1 to DP4, and C
    named = [c for c in CATEGORIES if c != "C"]
    check(
        source="EN50136-1-2012",
        status="seen",
        quantity="number of categories: single path, dual path",
        expected=(6.0, 4.0),
        actual=(float(sum(c.startswith("SP") for c in named)), float(sum(c.startswith("DP") for c in named))),
        tolerance=0.0,
    )


def test_ten_contacts_share_one_indication(check) -> None:
    # CLC/TS 50131-7:2010, as read in its English text

    def met(count: int) -> bool:
        front = design().device("mc-front")
        more = tuple(front.model_copy(update={"id": f"mc-{n}"}) for n in range(count - 1))
        zones = tuple(
            z.model_copy(update={"device_ids": ("mc-front", *(d.id for d in more))}) if z.id == "z1" else z
            for z in design().programme.zones
        )
        changed = design().model_copy(
            update={
                "devices": (*design().devices, *more),
                "programme": design().programme.model_copy(update={"zones": zones}),
            }
        )
        found = rule_findings(Evidence(replace(scheme(G2), design=changed)))
        return all(f.outcome is Outcome.MET for f in found if f.rule == "EU-IND-04")

    most = max(n for n in range(1, 15) if met(n))
    check(
        source="CLC-TS-50131-7-2010",
        status="seen",
        quantity="contacts that may share one indication",
        expected=10.0,
        actual=float(most),
        tolerance=0.0,
    )


def test_code_variations_by_grade(check) -> None:
    # EN 50131-1 table 3, remembered: 1 000, 10 000, 100 000, 1 000 000
    fewest = []
    for profile in (G1, G2, G3, G4):
        good = [
            n
            for n in range(3, 9)
            if all(
                f.outcome is Outcome.MET
                for f in rule_findings(figure(profile, "panel-8", "code_digits")(n))
                if f.rule == "EU-USR-04"
            )
        ]
        fewest.append(10.0 ** min(good))
    check(
        source="EN50131-1-2006",
        status="from memory",
        quantity="variations of a code, grades 1 to 4",
        expected=(1e3, 1e4, 1e5, 1e6),
        actual=fewest,
        tolerance=0.0,
    )
