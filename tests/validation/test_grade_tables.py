"""Tables of EN 50131-1 by grade: from which grade on each row asks for something, against the table.

A row asks where it says anything but *does not apply* of a design that has what it speaks of.
"""

from dataclasses import replace

import pytest
from tests.house import design, scheme

from wardwright.analyses.programme_proof import programme_proof
from wardwright.analyses.radio import Link, RadioAnalysis
from wardwright.design.brief import Profile
from wardwright.design.programme import ZoneResponse
from wardwright.findings import Outcome
from wardwright.rules.evidence import Evidence
from wardwright.rules.register import CLAUSES

GRADES = (Profile.EU_GRADE_1, Profile.EU_GRADE_2, Profile.EU_GRADE_3, Profile.EU_GRADE_4)


def asked(row: str, evidence: Evidence) -> float:
    return float(any(j.outcome is not Outcome.DOES_NOT_APPLY for j in CLAUSES[row](evidence)))


def with_radio(profile: Profile) -> Evidence:
    devices = tuple(
        d.model_copy(update={"kind": "pir-wide-radio"}) if d.id == "pir-hall" else d for d in design().devices
    )
    return Evidence(replace(scheme(profile), design=design().model_copy(update={"devices": devices})))


@pytest.mark.parametrize(
    ("source", "row", "quantity", "table"),
    [
        # clauses 8.2.1 and 8.2.2
        ("EN50131-1-2006", "EU-FLT-01", "grades that ask for masking to be told", (0, 0, 1, 1)),
        ("EN50131-1-2006", "EU-FLT-02", "grades that ask for reduced range to be told", (0, 0, 0, 1)),
        # tables 12 and 13
        ("EN50131-1-2006", "EU-TMP-02", "grades that ask for covers of the control to be watched", (1, 1, 1, 1)),
        ("EN50131-1-2006", "EU-TMP-03", "grades that ask for covers of detectors to be watched", (0, 1, 1, 1)),
        ("EN50131-1-2006", "EU-TMP-04", "grades that ask for removal of radio parts to be told", (0, 1, 1, 1)),
        ("EN50131-1-2006", "EU-TMP-06", "grades that ask for removal of the outside sounder to be told", (0, 1, 1, 1)),
        # EN 50131-2-2 table 3, EN 50131-2-6
        ("EN50131-2-2-2021", "EU-TMP-05", "grades that ask for removal of wired detectors to be told", (0, 0, 1, 1)),
        ("EN50131-2-6-2008", "EU-CON-02", "grades that ask for contacts proof against magnets", (0, 0, 1, 1)),
        # table 22
        ("EN50131-1-2006", "EU-LOG-01", "grades that ask for an event record", (0, 1, 1, 1)),
    ],
)
def test_from_which_grade_a_row_asks(source, row, quantity, table, check) -> None:
    check(
        source=source,
        status="from memory",
        quantity=quantity,
        expected=[float(x) for x in table],
        actual=[asked(row, with_radio(p)) for p in GRADES],
        tolerance=0.0,
    )


TABLE_4 = {
    "EU-SET-01": (1, 1, 1, 1),  # intrusion detector active
    "EU-SET-02": (1, 1, 1, 1),  # hold-up device active
    "EU-SET-03": (0, 0, 1, 1),  # masked
    "EU-SET-04": (0, 0, 0, 1),  # range reduced
    "EU-SET-05": (0, 1, 1, 1),  # detector fault
    "EU-SET-06": (0, 1, 1, 1),  # tamper
    "EU-SET-07": (0, 1, 1, 1),  # interconnection
    "EU-SET-08": (0, 1, 1, 1),  # prime power source
    "EU-SET-09": (0, 1, 1, 1),  # alternative power source
    "EU-SET-10": (0, 1, 1, 1),  # ATS
    "EU-SET-11": (0, 1, 1, 1),  # warning device
    "EU-SET-12": (1, 1, 1, 1),  # every ATS and warning device
    "EU-SET-13": (0, 1, 1, 1),  # others
}


def test_what_prevents_setting_by_grade(check) -> None:
    """EN 50131-1:2006 with A1:2009, clause 8.3.5, table 4: 13 conditions in four grades."""
    hold_up = design().device("pir-hall").model_copy(update={"id": "hu", "kind": "hold-up"})
    zone = design().programme.zones[0].model_copy(
        update={"id": "z-hu", "number": 99, "loop_id": None, "device_ids": ("hu",), "response": ZoneResponse.HOLD_UP}
    )  # fmt: skip
    programme = design().programme.model_copy(update={"zones": (*design().programme.zones, zone)})
    whole = design().model_copy(update={"devices": (*design().devices, hold_up), "programme": programme})
    wanted, got = [], []
    for column, profile in enumerate(GRADES):
        base = replace(scheme(profile), design=whole)
        evidence = Evidence(base, behaviour=programme_proof(base))
        for row, table in TABLE_4.items():
            wanted.append(float(table[column]))
            got.append(asked(row, evidence))
    check(
        source="EN50131-1-2006",
        status="seen",
        quantity="conditions that prevent setting, by grade",
        expected=wanted,
        actual=got,
        tolerance=0.0,
    )


def test_the_reserve_of_radio_links_by_grade(check) -> None:
    """EN 50131-5-3:2005 table 1, remembered: 3, 6, 9 and 12 dB; the edition of 2017 changed it."""

    def met(profile: Profile, reserve: float) -> bool:
        link = Link("a", "b", 5.0, -60.0, reserve, None, False, (), "", None, None, None, None)
        found = CLAUSES["EU-RF-01"](Evidence(scheme(profile), radio=RadioAnalysis((link,), (), {})))
        return all(j.outcome is Outcome.MET for j in found)

    got = [next(n for n in range(200) if met(p, n / 10.0)) / 10.0 for p in GRADES]
    check(
        source="EN50131-5-3-2005",
        status="from memory",
        quantity="reserve of a radio link, grades 1 to 4 [dB]",
        expected=(3.0, 6.0, 9.0, 12.0),
        actual=got,
        tolerance=0.0,
    )
