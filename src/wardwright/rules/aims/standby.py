"""How long does it keep going? Findings on batteries, their charging and age, and on the cells of radio devices."""

from collections.abc import Iterator

from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.standby import Standby
from wardwright.findings import Finding, Outcome, Question, Weight
from wardwright.rules.aims.judging import CATALOGUE, PRACTICE, bounded

CELL_YEARS = 2.0
"""Cells are changed at every second yearly visit. [years] Common practice, no source."""


def standby_findings(analysis: PowerAnalysis) -> Iterator[Finding]:
    """Findings on every supply's battery and on all cells.

    Parameters
    ----------
    analysis : PowerAnalysis
        What follows from the design.

    Yields
    ------
    Finding
        Hours, size, recharge, charger, age, output load; the shortest-lived cell.
    """
    for item in analysis.standby:
        yield _hours(item)
        yield _size(item)
        if item.battery_ah is not None:
            yield _recharge(item)
            yield from _charger_and_age(item)
        yield from _outputs(item)
    yield from _cells(analysis)


def _hours(item: Standby) -> Finding:
    """Standby against the demand, on the pessimistic end of its interval."""
    value = None if item.undecided else item.predicted_h or 0.0
    if item.undecided:
        said = f"{item.undecided[0].upper()}{item.undecided[1:]}."
    elif not value:
        said = f"{item.at} has no battery that carries it without mains; {item.demand_h:g} h are asked for."
    else:
        said = (
            f"{item.at} stands by {value:.2g} h without mains and then carries {item.alarm_s / 60:.3g} min of alarm; "
            f"{item.demand_h:g} h are asked for."
        )
    return bounded(
        "power.standby",
        Question.POWER,
        Weight.REQUIRED if item.demand_seen else Weight.REMEMBERED,
        (item.at,),
        said,
        value=value,
        operator=">=",
        limit=item.demand_h,
        interval=item.interval_h,
        unit="h",
        assumption=item.assumption,
        good="The system keeps going through a power cut for as long as is asked, even with an old battery.",
        bad="The battery has to be larger for the power cut the system must get through.",
        unsettled="Whether an old battery would still last through a long power cut has to be settled.",
        citation=_cited(item.demand_rule, item.demand_citation),
        fix="Fit a larger battery, or take load off this supply.",
    )


def _cited(row: str, citation: str) -> str:
    """A citation with the row it comes from."""
    return f"{row}: {citation}" if row else citation


def _size(item: Standby) -> Finding:
    fitted, wanted = item.battery_ah or 0.0, item.required_ah
    return bounded(
        "power.battery-size",
        Question.POWER,
        Weight.RECOMMENDED,
        (item.at,),
        item.undecided
        or f"{fitted:g} Ah fitted, {wanted or 0.0:.1f} Ah wanted for {item.demand_h:g} h at "
        f"{item.standby_current_a * 1e3:.0f} mA and {item.alarm_s / 60:.3g} min at {item.alarm_current_a:.2f} A, with "
        "cold, ageing and margin.",
        value=fitted,
        operator=">=",
        limit=wanted,
        unit="Ah",
        good="The battery is chosen with room for cold and age.",
        bad="A larger battery leaves room for cold and age.",
        citation="IEEE485, factors for temperature, ageing and margin, from memory",
        fix="Fit a larger battery, or a second supply for part of the load.",
    )


def _recharge(item: Standby) -> Finding:
    return bounded(
        "power.recharge",
        Question.POWER,
        Weight.RECOMMENDED if item.recharge_seen else Weight.REMEMBERED,
        (item.at,),
        "How fast the battery is recharged is not known: the catalogue gives no charge current."
        if item.recharge_h is None
        else f"From empty to 80 % in {item.recharge_h:.0f} h; {item.recharge_demand_h or 0.0:g} h are allowed.",
        value=item.recharge_h,
        operator="<=",
        limit=item.recharge_demand_h,
        unit="h",
        good="The battery is full again soon enough after a power cut.",
        bad="The battery takes too long to be full again after a power cut.",
        citation=_cited(item.recharge_rule, item.recharge_citation),
        fix="Choose a supply with a stronger charger, within what the battery takes.",
    )


def _charger_and_age(item: Standby) -> Iterator[Finding]:
    if item.charge_current_a is not None and item.charge_max_a is not None:
        yield bounded(
            "power.charger",
            Question.POWER,
            Weight.RECOMMENDED,
            (item.at,),
            f"The charger gives up to {item.charge_current_a:g} A; the battery takes {item.charge_max_a:g} A.",
            value=item.charge_current_a,
            operator="<=",
            limit=item.charge_max_a,
            unit="A",
            good="Charger and battery suit each other.",
            bad="Charger and battery do not suit each other; one of them is changed.",
            citation=CATALOGUE,
            fix="Fit the battery the charger is made for.",
        )
    yield bounded(
        "power.battery-age",
        Question.POWER,
        Weight.RECOMMENDED,
        (item.at,),
        f"The battery is {item.age_years or 0.0:g} years old; at its temperature it lasts about "
        f"{item.life_years or 0.0:.1f} years.",
        value=item.age_years,
        operator="<=",
        limit=item.life_years,
        unit="years",
        good="The battery is within its service life.",
        bad="The battery is due to be replaced.",
        citation="BATTERY-LIFE-10K",
        fix="Replace the battery, and write the date on it.",
    )


def _outputs(item: Standby) -> Iterator[Finding]:
    """Auxiliary and sounder outputs against what they give."""
    for rule, name, amps, most in (
        ("power.output-load", "auxiliary", item.output_a, item.output_max_a),
        ("power.bell-load", "sounder", item.bell_a, item.bell_max_a),
    ):
        if most is None:
            continue
        yield bounded(
            rule,
            Question.POWER,
            Weight.REQUIRED,
            (item.at,),
            f"The {name} outputs of {item.at} carry {amps:.2f} A in alarm; they give {most:g} A.",
            value=amps,
            operator="<=",
            limit=most,
            unit="A",
            good="The supply is strong enough for what hangs on it.",
            bad="More hangs on one supply than it can carry; our proposal adds what is needed.",
            assumption="everything in alarm at once",
            citation=CATALOGUE,
            fix="Put some of the load on a supply of its own, or choose a stronger panel.",
        )


def _cells(analysis: PowerAnalysis) -> Iterator[Finding]:
    for life in (c for c in analysis.cells if c.undecided):
        yield Finding(
            "power.cell-life",
            Question.POWER,
            Outcome.NOT_DECIDED,
            Weight.RECOMMENDED,
            (life.device_id,),
            f"{life.device_id}: {life.undecided}.",
            "How long one radio device's cell lasts has still to be looked up.",
            citation=PRACTICE,
        )
    known = [(c.years, c.interval_years, c.device_id) for c in analysis.cells if c.years is not None]
    if not known:
        return
    years, interval, device_id = min(known, key=lambda item: (item[0], item[2]))
    low, high = interval or (years, years)
    yield bounded(
        "power.cell-life",
        Question.POWER,
        Weight.RECOMMENDED,
        tuple(key for _, _, key in known),
        f"The shortest-lived cell, in {device_id}, lasts about {years:.1f} years ({low:.1f} to {high:.1f}).",
        value=years,
        operator=">=",
        limit=CELL_YEARS,
        unit="years",
        interval=interval,
        assumption="between 20 and 120 events a day",
        good="The cells of the radio devices last from one planned change to the next.",
        bad="The cells of some radio devices have to be changed more often than planned.",
        citation=PRACTICE,
        fix="Plan an earlier change of cells, or wire the device.",
    )
