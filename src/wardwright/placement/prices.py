"""What a candidate adds to the price: parts, cable that can really be run, fitting, one zone; with margin and tax.

Linear in the candidates, so that the covering problem can spend by it. What the estimate adds once for the whole job
(survey, travel, panel) is left out; so the sum is what the detectors cost, not the price of the job.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from wardwright.catalogue.kinds import Catalogue, DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.lengths import SLACK_M, place_of
from wardwright.estimate.tariff import Tariff
from wardwright.placement.candidates import Candidate
from wardwright.premises.cableways import cableways
from wardwright.premises.model import Premises


@dataclass(frozen=True, eq=False)
class Pricing:
    """Prices of candidates for one position of the panel."""

    premises: Premises
    catalogue: Catalogue
    tariff: Tariff
    panel: Device
    receiver: Device | None = None
    """What radio devices talk to; None: only what can be wired is to be had."""
    heard: frozenset[str] = frozenset()
    """Radio devices that the receiver hears well enough."""
    fixed: float = 0.0
    """Of a receiver that is not there yet: paid once, by every layout."""
    no_cable: bool = False
    """The brief rules out the cable."""

    def of(self, candidate: Candidate) -> float | None:
        """Price of one candidate with margin and tax, in the tariff's currency; None where it cannot be wired or heard.

        Parameters
        ----------
        candidate : Candidate
            What would be placed; what is kept costs nothing.
        """
        if candidate.kept:
            return 0.0
        bought = minutes = 0.0
        before, wired = self.panel, False
        for device in candidate.devices:
            kind = self.catalogue.kind(device.kind)
            bought += self._bought(kind)
            minutes += (kind.get("fit_minutes") or 0.0) + float(self.tariff.test_minutes)
            if kind.radio:
                if device.id not in self.heard:
                    return None
                continue
            run = None if self.no_cable else self._cable(device, before)
            before = device
            wired = True
            if run is None:
                return None
            bought, minutes = bought + run[0], minutes + run[1]
        share, work = self._input() if wired else (0.0, 0.0)
        return self.sold(bought + share, minutes + work + float(self.tariff.zone_minutes))

    def all(self, candidates: Sequence[Candidate]) -> list[float | None]:
        """Price of each."""
        return [self.of(c) for c in candidates]

    def box(self, device: Device) -> float:
        """Price of a box beside the panel with its cable, fitted and proved, with margin and tax.

        Parameters
        ----------
        device : Device
            The box.
        """
        kind = self.catalogue.kind(device.kind)
        metres, minutes = self._cable(device, self.panel) or (0.0, 0.0)
        work = sum(kind.get(name) or 0.0 for name in ("fit_minutes", "programme_minutes"))
        return self.sold(self._bought(kind) + metres, minutes + work + float(self.tariff.test_minutes))

    def sold(self, bought: float, minutes: float) -> float:
        """Price of parts and time: sundries and labour, overhead, margin, tax.

        Parameters
        ----------
        bought : float
            Parts and cable at cost.
        minutes : float
            Of one fitter. [min]
        """
        tariff = self.tariff
        hour = next((k.get("rate_hour") or 0.0 for k in self.catalogue.family(Family.LABOUR) if "fitting" in k.id), 0.0)
        cost = bought * (1.0 + float(tariff.sundries_share)) + hour * minutes / 60.0
        net = cost * (1.0 + float(tariff.overhead_share)) / (1.0 - float(tariff.margin_share))
        return net * (1.0 + float(tariff.tax_share))

    def _bought(self, kind: DeviceKind) -> float:
        figure = kind.figures.get("price")
        if figure is None:
            return kind.need("price")
        code = figure.unit.partition("/")[0]
        return figure.value * float(self.tariff.exchange.get(code, 1))

    def _cable(self, device: Device, before: Device) -> tuple[float, float] | None:
        """Price and minutes of the cable from the panel, or from the device before it on the same zone."""
        kind = self.catalogue.kind(self.tariff.cable_kind)
        way = cableways(self.premises).way(place_of(device), place_of(before))
        if way is None:
            return None
        metres = way.length_m + SLACK_M
        holes = sum(hole.minutes for hole in way.holes)
        return metres * self._bought(kind), metres * (kind.get("fit_minutes") or 0.0) + holes

    def _input(self) -> tuple[float, float]:
        """Share of an expander that one zone takes: price and minutes."""
        expanders = [k for k in self.catalogue.family(Family.EXPANDER) if (k.get("inputs") or 0.0) > 0.0]
        if not expanders:
            return 0.0, 0.0
        kind = min(expanders, key=lambda k: k.need("price") / k.need("inputs"))
        inputs = kind.need("inputs")
        return self._bought(kind) / inputs, (kind.get("fit_minutes") or 0.0) / inputs
