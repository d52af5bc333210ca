"""The estimate of one design."""

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.cable_runs import cable_runs
from wardwright.design.devices import Keep
from wardwright.design.lengths import ALLOWED, ALLOWED_FACTOR, SLACK_M
from wardwright.design.system import Design
from wardwright.errors import InputError
from wardwright.estimate.tariff import Tariff
from wardwright.premises.model import Premises

Section = Literal["parts", "cable", "labour"]


@dataclass(frozen=True)
class Line:
    """One line of an estimate, at cost."""

    section: Section
    item: str
    """Id of the catalogue kind."""
    name: str
    quantity: Decimal
    unit: str
    each: Decimal
    amount: Decimal
    basis: str
    """Where quantity and price come from."""


@dataclass(frozen=True)
class RecurringCharge:
    """Something paid for as long as the system runs, before tax."""

    name: str
    year: Decimal
    basis: str


@dataclass(frozen=True)
class Estimate:
    """What one design costs. All amounts in ``currency``; lines are cost, ``net`` is the price before tax."""

    currency: str
    tariff: str
    lines: tuple[Line, ...]
    cost: Decimal
    sundries: Decimal
    overhead: Decimal
    margin: Decimal
    net: Decimal
    tax: Decimal
    total: Decimal
    recurring: tuple[RecurringCharge, ...]
    recurring_year: Decimal
    """All recurring charges in a year, with tax."""
    hours: Decimal
    cable_m: Decimal
    assumptions: tuple[str, ...]
    valid_days: int

    def section(self, section: Section) -> Decimal:
        """Cost of one section."""
        return sum((line.amount for line in self.lines if line.section == section), Decimal(0))


class _Reckoner:
    """Prices kinds in the tariff's currency and notes what was assumed on the way."""

    def __init__(self, catalogue: Catalogue, tariff: Tariff) -> None:
        self.catalogue = catalogue
        self.tariff = tariff
        self.assumptions: dict[str, None] = {}

    def round(self, amount: Decimal) -> Decimal:
        step = self.tariff.rounding
        return (amount / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step

    def money(self, kind: DeviceKind, name: str) -> Decimal:
        kind.need(name)
        figure = kind.figures[name]
        value = Decimal(figure.published)
        code = figure.unit.partition("/")[0]
        if code in (self.tariff.currency, "money", ""):
            return value
        if code in self.tariff.exchange:
            return value * self.tariff.exchange[code]
        if figure.source.startswith("assumption"):
            self.assume(f"invented list prices in {code} were counted one for one in {self.tariff.currency}")
            return value
        raise InputError(
            f"{name} is in {code} and the tariff reckons in {self.tariff.currency}; "
            f"the tariff needs the exchange of {code}",
            where=kind.id,
        )

    def assume(self, text: str) -> None:
        self.assumptions[text] = None

    def line(self, section: Section, kind: DeviceKind, quantity: Decimal, unit: str, basis: str) -> Line:
        each = self.money(kind, "rate_hour" if section == "labour" else "price")
        return Line(section, kind.id, kind.name, quantity, unit, each, self.round(quantity * each), basis)

    def labour(self, key: str, hours: Decimal, basis: str) -> Line:
        quantity = hours.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
        return self.line("labour", self.catalogue.kind(key), quantity, "h", basis)


def _minutes(kind: DeviceKind, name: str = "fit_minutes") -> Decimal:
    return Decimal(str(kind.get(name) or 0.0))


def _resistors(design: Design, catalogue: Catalogue, reckon: _Reckoner) -> Counter[str]:
    stocked = catalogue.family(Family.RESISTOR)
    found: Counter[str] = Counter()
    for loop in design.loops:
        if loop.status is not Keep.NEW:
            continue
        for resistor in loop.resistors:
            if not stocked:
                continue
            kind = min(stocked, key=lambda k: abs(math.log(k.need("ohm") / resistor.ohm)))
            if abs(kind.need("ohm") / resistor.ohm - 1.0) > 0.02:
                reckon.assume(f"a resistor of {resistor.ohm:g} ohm is not in the list and was priced as {kind.name}")
            found[kind.id] += 1
    return found


def _known(design: Design, catalogue: Catalogue, reckon: _Reckoner) -> Iterable[tuple[str, Keep]]:
    for device in design.devices:
        if device.kind in catalogue.kinds:
            yield device.kind, device.status
        else:
            reckon.assume(f"“{device.id}” is of the kind “{device.kind}”, which is not in the list: it was not priced")


def estimate(
    design: Design,
    catalogue: Catalogue,
    *,
    tariff: Tariff,
    premises: Premises,
    monitored: bool = True,
) -> Estimate:
    """What a design costs.

    Parameters
    ----------
    design : Design
        The design. New devices are priced and fitted, kept ones only proved, replaced ones taken away.
    catalogue : Catalogue
        Prices and minutes by kind, and labour rates.
    tariff : Tariff
        The firm's shares, times and recurring charges.
    premises : Premises
        The building, for the ways of the cables.
    monitored : bool, optional
        A receiving centre listens; its charge is added where the design has a reporting path.

    Returns
    -------
    Estimate
        Lines at cost, then ``net = cost · (1 + overhead) / (1 - margin)``, tax and total, and what recurs.

    Raises
    ------
    InputError
        If a kind gives no price, or gives it in a currency the tariff cannot turn into its own.
    """
    reckon = _Reckoner(catalogue, tariff)
    lines: list[Line] = []
    parts: Counter[str] = Counter()
    removed = proved = 0
    fit = programme = Decimal(0)
    for key, status in _known(design, catalogue, reckon):
        if status is Keep.REPLACED:
            removed += 1
            continue
        proved += 1
        kind = catalogue.kind(key)
        programme += _minutes(kind, "programme_minutes")
        if status is Keep.NEW:
            parts[key] += 1
        elif status is Keep.UNKNOWN:
            reckon.assume("what is there and not yet known was counted as kept: no part, no fitting, only proving")
    for backup in design.backups:
        if backup.kind in catalogue.kinds and not backup.age_years:
            parts[backup.kind] += backup.count
    parts += _resistors(design, catalogue, reckon)
    for key, count in parts.items():
        kind = catalogue.kind(key)
        lines.append(reckon.line("parts", kind, Decimal(count), "pc", kind.figures["price"].source))
        fit += count * _minutes(kind)
    runs = cable_runs(design, catalogue, premises)
    metres: dict[str, Decimal] = {}
    for run in runs:
        chosen = run.kind or tariff.cable_kind
        metres[chosen] = metres.get(chosen, Decimal(0)) + Decimal(str(round(run.length.metres, 3)))
    for key, length in metres.items():
        kind = catalogue.kind(key)
        whole = length.to_integral_value(rounding="ROUND_CEILING")
        ways = Counter(run.length.how for run in runs if (run.kind or tariff.cable_kind) == key)
        basis = "runs " + ", ".join(f"{count} {how}" for how, count in ways.items())
        lines.append(reckon.line("cable", kind, whole, "m", basis))
        fit += whole * _minutes(kind)
    holes = {hole for run in runs if run.length.way is not None for hole in run.length.way.holes}
    fit += Decimal(str(sum(hole.minutes for hole in holes)))
    if any(run.length.way is not None for run in runs):
        reckon.assume(
            f"cable is routed along ceilings and chases, {SLACK_M:g} m a run for the ends; {len(holes)} holes, their "
            "minutes assumed"
        )
    if any(run.length.how == ALLOWED for run in runs):
        reckon.assume(
            f"cable for which no way was found: {ALLOWED_FACTOR:g} times the distance along walls, "
            f"and {SLACK_M:g} m for the ends"
        )
    if removed:
        fit += removed * tariff.removal_minutes
    zones = len(design.programme.zones)
    set_up = programme + zones * tariff.zone_minutes + proved * tariff.test_minutes
    days = max(1, math.ceil((fit + set_up) / 60 / tariff.day_h)) if proved or removed else 0
    hour = Decimal(60)
    lines += [
        line
        for line in (
            reckon.labour("labour-survey", tariff.survey_h, "tariff"),
            reckon.labour("labour-fitting", fit / hour, "minutes by kind and metre"),
            reckon.labour("labour-programming", set_up / hour, f"{zones} zones, {proved} devices proved"),
            reckon.labour("labour-handover", tariff.handover_h, "tariff"),
            reckon.labour("labour-travel", (days + 1) * tariff.travel_h, f"{days} days on site and the survey"),
        )
        if line.quantity
    ]
    return _total(reckon, tuple(lines), tariff, _recurring(reckon, design, monitored), metres)


def _recurring(reckon: _Reckoner, design: Design, monitored: bool) -> tuple[RecurringCharge, ...]:
    tariff, found = reckon.tariff, []
    if monitored and design.programme.paths:
        found.append(RecurringCharge("Monitoring", reckon.round(12 * tariff.monitoring_month), "tariff"))
    for device in design.devices:
        kind = reckon.catalogue.kinds.get(device.kind)
        if kind is not None and device.status is not Keep.REPLACED and "reporting_month" in kind.figures:
            month = reckon.money(kind, "reporting_month")
            found.append(RecurringCharge(f"Reporting path: {kind.name}", reckon.round(12 * month), "list"))
    if tariff.visits_year and design.devices:
        visits = "visit" if tariff.visits_year == 1 else "visits"
        amount = reckon.round(tariff.visits_year * tariff.maintenance_visit)
        found.append(RecurringCharge(f"Maintenance, {tariff.visits_year} {visits} a year", amount, "tariff"))
    return tuple(found)


def _total(
    reckon: _Reckoner,
    lines: tuple[Line, ...],
    tariff: Tariff,
    recurring: tuple[RecurringCharge, ...],
    metres: dict[str, Decimal],
) -> Estimate:
    bought = sum((line.amount for line in lines if line.section != "labour"), Decimal(0))
    sundries = reckon.round(bought * tariff.sundries_share)
    cost = sum((line.amount for line in lines), Decimal(0)) + sundries
    overhead = reckon.round(cost * tariff.overhead_share)
    net = reckon.round((cost + overhead) / (1 - tariff.margin_share))
    tax = reckon.round(net * tariff.tax_share)
    yearly = sum((charge.year for charge in recurring), Decimal(0))
    return Estimate(
        currency=tariff.currency,
        tariff=tariff.name,
        lines=lines,
        cost=cost,
        sundries=sundries,
        overhead=overhead,
        margin=net - cost - overhead,
        net=net,
        tax=tax,
        total=net + tax,
        recurring=recurring,
        recurring_year=reckon.round(yearly * (1 + tariff.tax_share)),
        hours=sum((line.quantity for line in lines if line.section == "labour"), Decimal(0)),
        cable_m=sum(metres.values(), Decimal(0)).quantize(Decimal("0.1")),
        assumptions=tuple(reckon.assumptions),
        valid_days=tariff.valid_days,
    )
