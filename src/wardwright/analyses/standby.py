"""One supply with its battery: what it must carry, how long it lasts, how soon it is full again."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from wardwright.analyses.demand import PowerDemand
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.analyses.supply_network import Supply, alarm_a, standby_a
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Backup
from wardwright.design.system import ProtectionScheme
from wardwright.errors import OutOfRangeError
from wardwright.physics import battery, charging, discharge

COLD_C = 10.0
"""A battery's temperature where nobody gave one. [°C] Assumption: an enclosure in an unheated hall."""

WARM_C = 20.0
"""Mean temperature over the year that its life is reckoned at. [°C] Assumption."""

WORN = 0.80
"""Share of its rating at which a battery is due to be replaced. [-] BATTERY-REPLACE-80."""

CURRENT_SPREAD = 0.10
"""A system may draw this much more or less than the catalogue says. [-] Assumption."""

MEASURED_SPREAD = 0.30
"""A measured current farther than this from the prediction is not explained by the catalogue. [-] Assumption."""

RECHARGED = 0.80
"""State of charge that a recharge is reckoned to. [-]"""

SOUNDERS = (Family.INNER_SOUNDER, Family.OUTER_SOUNDER, Family.STROBE)

YEAR_S = 365.25 * 86_400.0


@dataclass(frozen=True)
class Standby:
    """One supply with its battery."""

    at: str
    standby_current_a: float
    alarm_current_a: float
    battery_ah: float | None
    required_ah: float | None
    demand_h: float
    demand_citation: str
    alarm_s: float
    predicted_h: float | None
    interval_h: tuple[float, float] | None
    recharge_h: float | None
    assumption: str
    steps: tuple[tuple[str, str], ...] = ()
    """Calculation sheet: what, and the worked figure with its unit and source."""
    undecided: str = ""
    demand_rule: str = ""
    demand_seen: bool = False
    """True where the standard's own words, or the brief, make the demand."""
    recharge_demand_h: float | None = None
    recharge_citation: str = ""
    recharge_rule: str = ""
    recharge_seen: bool = False
    output_a: float = 0.0
    """Drawn from the auxiliary outputs in alarm. [A]"""
    output_max_a: float | None = None
    bell_a: float = 0.0
    """Drawn from the sounder outputs in alarm, where the supply has such. [A]"""
    bell_max_a: float | None = None
    battery_space_ah: float | None = None
    charge_current_a: float | None = None
    charge_max_a: float | None = None
    """Most the battery may be charged with. [A]"""
    age_years: float | None = None
    life_years: float | None = None
    """Service life at its temperature. [years]"""
    measured: bool = False


@dataclass(frozen=True)
class _Bank:
    """The batteries of one supply taken together."""

    rated_ah: float
    c20_ah: float
    exponent: float
    lead_acid: bool
    temperature_c: float
    temperature_known: bool
    age_years: float
    life_years: float
    charge_factor: float
    charge_max_a: float | None
    end_v: float
    names: str


def loop_currents(scheme: ProtectionScheme) -> dict[str, float]:
    """Current that the supervised inputs of each panel and expander draw, by its id. [A]

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.

    Returns
    -------
    dict of str to float
        Reference voltage over pull-up and resistors in series, summed over loops; normally open loops draw nothing.
    """
    kinds = {d.id: scheme.kind_of(d) for d in scheme.fitted}
    drawn: dict[str, float] = {}
    for loop in scheme.design.loops:
        kind = kinds.get(loop.at)
        if kind is None or loop.scheme == "normally open":
            continue
        reference, pull_up = kind.get("input_reference_v"), kind.get("input_pull_up_ohm")
        if reference is None or pull_up is None:
            continue
        series = sum(r.ohm for r in loop.resistors if r.role == "end of line")
        drawn[loop.at] = drawn.get(loop.at, 0.0) + reference / (pull_up + series)
    return drawn


def standby(
    scheme: ProtectionScheme, supply: Supply, demand: PowerDemand, loop_a: Mapping[str, float]
) -> tuple[Standby, list[Compared]]:
    """Hours and capacity of one supply.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    supply : Supply
        The supply and what it feeds.
    demand : PowerDemand
        What is asked.
    loop_a : mapping of str to float
        As `loop_currents`.

    Returns
    -------
    tuple of Standby and list of Compared
        The result; readings compared with what was predicted.
    """
    steps: list[tuple[str, str]] = []
    parts = [supply.device, *supply.members]
    kinds = {d.id: scheme.kind_of(d) for d in parts}
    quiet = {d.id: standby_a(kinds[d.id]) + loop_a.get(d.id, 0.0) for d in parts}
    loud = {d.id: alarm_a(kinds[d.id]) + loop_a.get(d.id, 0.0) for d in parts}
    steps += _tally("standing current", quiet, kinds)
    steps += _tally("current in alarm", loud, kinds)
    if any(quiet[d.id] > standby_a(kinds[d.id]) for d in parts):
        through = sum(loop_a.get(d.id, 0.0) for d in parts)
        steps.append(("of it, through supervised loops", f"{through * 1e3:.1f} mA"))
    standing, alarm = sum(quiet.values()), sum(loud.values())
    compared: list[Compared] = []
    reading = latest(scheme, "current", supply.device.id)
    if reading is not None:
        measured, spread = measured_value(reading), measured_spread(reading)
        low, high = standing * (1 - MEASURED_SPREAD) - spread, standing * (1 + MEASURED_SPREAD) + spread
        compared.append(
            Compared(reading.id, "current", supply.device.id, measured, standing, low, high, "A", reading.instrument)
        )
        steps.append(
            (
                "standing current measured",
                f"{measured * 1e3:.0f} mA on {reading.date} with {reading.instrument}, in place of "
                f"{standing * 1e3:.0f} mA predicted ({(measured - standing) * 1e3:+.0f} mA)",
            )
        )
        alarm += measured - standing
        standing = measured
    steps.append(
        (
            "demand",
            f"{demand.standby.hours:g} h standby ({demand.standby.rule}: {demand.standby.citation}), then "
            f"{demand.alarm_s / 60:.3g} min of alarm ({demand.alarm_basis})",
        )
    )
    bell_max = supply.kind.get("bell_current_max_a")
    bells = {d.id for d in supply.members if bell_max is not None and kinds[d.id].family in SOUNDERS}
    result = Standby(
        at=supply.device.id,
        standby_current_a=standing,
        alarm_current_a=alarm,
        battery_ah=None,
        required_ah=None,
        demand_h=demand.standby.hours,
        demand_citation=demand.standby.citation,
        alarm_s=demand.alarm_s,
        predicted_h=None,
        interval_h=None,
        recharge_h=None,
        assumption="",
        demand_rule=demand.standby.rule,
        demand_seen=demand.standby.seen,
        recharge_demand_h=demand.recharge.hours,
        recharge_citation=demand.recharge.citation,
        recharge_rule=demand.recharge.rule,
        recharge_seen=demand.recharge.seen,
        output_a=sum(loud[d.id] for d in supply.members if d.id not in bells),
        output_max_a=supply.kind.get("output_current_max_a"),
        bell_a=sum(loud[key] for key in bells),
        bell_max_a=bell_max,
        battery_space_ah=supply.kind.get("battery_space_ah"),
        charge_current_a=supply.kind.get("charge_current_a"),
        measured=reading is not None,
    )
    try:
        return _with_battery(scheme, supply, result, steps), compared
    except OutOfRangeError as error:
        return replace(result, steps=tuple(steps), undecided=str(error)), compared


def _tally(what: str, amps: Mapping[str, float], kinds: Mapping[str, DeviceKind]) -> list[tuple[str, str]]:
    """A sum by kind of device, as a line of the calculation sheet."""
    count: dict[str, int] = {}
    total: dict[str, float] = {}
    for key, amp in amps.items():
        if amp > 0.0:
            name = kinds[key].name
            count[name] = count.get(name, 0) + 1
            total[name] = total.get(name, 0.0) + amp
    lines = " + ".join(f"{n} × {name} {total[name] * 1e3:.3g} mA" for name, n in count.items())
    return [(what, f"{lines or 'nothing'} = {sum(total.values()) * 1e3:.4g} mA (catalogue)")]


def _bank(scheme: ProtectionScheme, backups: list[Backup], supply: Supply) -> _Bank:
    """The batteries of a supply; the weakest decides where they differ."""
    kinds = [scheme.catalogue.kind(b.kind) for b in backups]
    given = [b.temperature_c for b in backups if b.temperature_c is not None]
    room = next((r for r in scheme.premises.rooms if r.id == supply.device.room_id), None)
    if not given and room is not None and room.temperature_min_c is not None:
        given = [room.temperature_min_c]
    rated = sum(b.count * k.need("capacity_ah") for b, k in zip(backups, kinds, strict=True))
    c20 = 0.0
    for backup, kind in zip(backups, kinds, strict=True):
        hours, exponent = kind.get("rate_h", 20.0) or 20.0, kind.get("peukert") or battery.PEUKERT_VRLA
        # The current that lasts 20 h, from the current that lasts the hours of the rating.
        c20 += backup.count * 20.0 * (kind.need("capacity_ah") / hours) * (hours / 20.0) ** (1.0 / exponent)
    limits = [b.count * limit for b, k in zip(backups, kinds, strict=True) if (limit := k.get("charge_current_max_a"))]
    warm = max(WARM_C, *given) if given else WARM_C
    life = min((k.get("design_life_s") or 5.0 * YEAR_S) / YEAR_S for k in kinds)
    return _Bank(
        rated_ah=rated,
        c20_ah=c20,
        exponent=max(k.get("peukert") or battery.PEUKERT_VRLA for k in kinds),
        lead_acid=all(k.words.get("chemistry", "lead-acid AGM").startswith("lead-acid") for k in kinds),
        temperature_c=min(given) if given else COLD_C,
        temperature_known=bool(given),
        age_years=max(b.age_years for b in backups),
        life_years=charging.service_life(life, [(1.0, warm)]),
        charge_factor=max(k.get("charge_factor") or 1.1 for k in kinds),
        charge_max_a=sum(limits) if limits else None,
        end_v=max(k.get("end_of_discharge_v") or discharge.END_OF_DISCHARGE_V for k in kinds),
        names=" + ".join(f"{b.count} × {k.name}" for b, k in zip(backups, kinds, strict=True)),
    )


def _with_battery(scheme: ProtectionScheme, supply: Supply, result: Standby, steps: list[tuple[str, str]]) -> Standby:
    """The result with everything that hangs on the battery."""
    backups = [b for b in scheme.design.backups if b.at == supply.device.id]
    duty = [
        battery.Phase(result.standby_current_a, result.demand_h),
        battery.Phase(result.alarm_current_a, result.alarm_s / 3600.0),
    ]
    bank = _bank(scheme, backups, supply) if backups else None
    temperature = COLD_C if bank is None else bank.temperature_c
    exponent = battery.PEUKERT_VRLA if bank is None else bank.exponent
    known = bank is not None and bank.temperature_known
    steps.append(("temperature of the battery", f"{temperature:g} °C" + ("" if known else " (assumption)")))
    if bank is None or bank.lead_acid:
        need = battery.required_capacity(duty, temperature_c=temperature, exponent=exponent)
        factors = f"{need.temperature_factor:.3f} × {battery.AGEING:g} × {battery.DESIGN_MARGIN:g}"
        effective, required = need.effective, need.capacity
        factor = need.temperature_factor
    else:
        if not 0.0 <= temperature <= 45.0:
            raise OutOfRangeError("lithium iron phosphate battery", "temperature", temperature, "0 to 45 °C")
        factor = 1.0
        effective = sum(p.current * p.hours for p in duty)
        required = effective * battery.AGEING * battery.DESIGN_MARGIN
        factors = f"1 × {battery.AGEING:g} × {battery.DESIGN_MARGIN:g}"
    steps.append(("charge drawn", f"Σ I t = {sum(p.current * p.hours for p in duty):.3g} Ah"))
    steps.append(("weighted by rate", f"{effective:.3g} Ah, Peukert {exponent:g}"))
    steps.append(
        ("capacity wanted", f"{effective:.3g} Ah × {factors} (cold, ageing, margin; IEEE 485) = {required:.3g} Ah")
    )
    if bank is None:
        return replace(result, required_ah=required, steps=tuple(steps), assumption="no battery is fitted")
    steps.append(("battery fitted", f"{bank.names}: {bank.rated_ah:g} Ah rated, {bank.c20_ah:.3g} Ah at 20 h"))
    worn = 1.0 - (1.0 - WORN) * min(1.0, bank.age_years / bank.life_years)
    cases = {
        "expected": (worn, 1.0, exponent),
        "worst": (WORN, 1.0 + CURRENT_SPREAD, max(exponent, battery.PEUKERT_VRLA)),
        "best": (1.0, 1.0 - CURRENT_SPREAD, min(exponent, 1.05)),
    }
    hours = {}
    for name, (health, more, p) in cases.items():
        hours[name] = _hours(bank, bank.c20_ah * health / factor, more, p, result)
        steps.append(
            (
                f"standby, {name}",
                f"{bank.c20_ah:.3g} Ah × {health:.2f} / {factor:.3f}, currents × {more:g}, Peukert {p:g}: "
                f"{hours[name]:.3g} h to {bank.end_v:g} V at the end of the alarm",
            )
        )
    steps.append(
        ("service life", f"{bank.life_years:.2g} years at {WARM_C:g} °C or warmer; now {bank.age_years:g} years old")
    )
    recharge = None
    charger = supply.kind.get("charge_current_a")
    if charger is not None:
        current = min(charger, bank.charge_max_a or math.inf)
        recharge = charging.recharge_hours(bank.rated_ah, current, to=RECHARGED, acceptance=bank.charge_factor)
        steps.append(
            (
                f"recharge to {RECHARGED:.0%}",
                f"{bank.charge_factor:g} × {RECHARGED:g} × {bank.rated_ah:g} Ah / {current:g} A = {recharge:.3g} h",
            )
        )
    if result.recharge_demand_h is not None:
        wanted = charging.charger_current(
            RECHARGED * bank.rated_ah, result.recharge_demand_h, acceptance=bank.charge_factor
        )
        steps.append(("charge current wanted", f"{wanted:.2f} A for {result.recharge_demand_h:g} h, besides the load"))
    return replace(
        result,
        battery_ah=bank.rated_ah,
        required_ah=required,
        predicted_h=hours["expected"],
        interval_h=(hours["worst"], hours["best"]),
        recharge_h=recharge,
        charge_max_a=bank.charge_max_a,
        age_years=bank.age_years,
        life_years=bank.life_years,
        assumption=(
            f"from a battery at {WORN:.0%} of its rating with currents {CURRENT_SPREAD:.0%} above the catalogue "
            f"to a new one with currents {CURRENT_SPREAD:.0%} below"
        ),
        steps=tuple(steps),
    )


def _hours(bank: _Bank, capacity: float, more: float, exponent: float, result: Standby) -> float:
    """Standby of a battery in one case. [h]"""
    if bank.lead_acid:
        return discharge.standby_hours(
            capacity,
            standby=result.standby_current_a * more,
            alarm=result.alarm_current_a * more,
            alarm_hours=result.alarm_s / 3600.0,
            exponent=exponent,
            end_voltage=bank.end_v,
        )
    # No discharge curve for this chemistry: its voltage is flat, so charge alone decides.
    left = capacity - result.alarm_current_a * more * result.alarm_s / 3600.0
    return max(0.0, left / (result.standby_current_a * more))
