"""What a layout has to do, as rows over the candidates: every way in watched, every route noticed, and by two zones.

A row asks that what the chosen candidates give sums to a need. It is asked at the pessimistic end of what is known,
which is where a proof calls it met. Where no choice of candidates reaches that, the central assumption is asked instead
(the proof will say: not decided, try it on site); where that is out of reach too, the row is given up and named.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from wardwright.analyses.exposure import CENTRAL, LOW
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import Route
from wardwright.design.brief import Brief
from wardwright.placement.candidates import Candidate
from wardwright.placement.chances import Chances
from wardwright.rules.aims.route import CONFIRMED_P

Array = NDArray[np.float64]
FEW = 4
"""The pessimistic end is asked where this many zones reach it; more detectors on one walk are worth less than a walk
test. Assumption. [-]"""
STRICTLY = 1.0 + 2e-5
"""Needs are asked a little over, so that what the solver calls met is met. [-]"""


@dataclass(frozen=True)
class Aims:
    """What is asked, as chances."""

    notice: float
    detect: float
    confirm: float
    confirm_within_s: float
    in_time: float | None = None
    """Of an alarm in time for the response; None: not asked."""

    @classmethod
    def of(cls, brief: Brief) -> "Aims":
        """The brief's own."""
        return cls(
            brief.notice_way_in, brief.detect_before_target, CONFIRMED_P, brief.confirm_within_s, brief.alarm_in_time
        )

    def with_miss(self, power: float) -> "Aims":
        """The same with every chance of slipping by raised to a power: 1 leaves it, more asks for more."""

        def stricter(chance: float) -> float:
            return -math.expm1(power * math.log1p(-min(chance, 1.0 - 1e-9)))

        surer = {name: stricter(getattr(self, name)) for name in ("notice", "detect", "confirm")}
        return replace(self, **surer)

    def with_margin(self) -> "Aims":
        """Half the chance of slipping by, everywhere."""

        def half(chance: float) -> float:
            return 1.0 - (1.0 - chance) / 2.0

        in_time = None if self.in_time is None else half(self.in_time)
        return replace(
            self, notice=half(self.notice), detect=half(self.detect), confirm=half(self.confirm), in_time=in_time
        )


@dataclass(frozen=True, eq=False)
class Want:
    """One thing a layout has to do."""

    what: Literal["way in", "route", "second zone", "in time"]
    mode: str
    opening_id: str
    attack: str
    given: Array
    """What each candidate gives, at the end asked. [-]"""
    need: float
    end: int = LOW
    target_id: str = ""
    route: Route | None = None
    exponents: Array | None = None
    """What each candidate gives at every end, shape (3, candidates), where the row can be asked for other aims."""

    def short(self, chosen: Sequence[int]) -> float:
        """How much a choice lacks; 0 where it is met. [-]"""
        return max(0.0, self.need - float(self.given[list(chosen)].sum()))


def most_of(given: Array, candidates: Sequence[Candidate]) -> float:
    """The most any choice gives: the best candidate of every spot. [-]

    Parameters
    ----------
    given : array
        What each gives.
    candidates : sequence of Candidate
        For their spots.
    """
    return float(sum(given[i] for i in strongest(given, candidates)))


def few_strongest(given: Array, candidates: Sequence[Candidate]) -> list[int]:
    """The candidates that give most, no spot twice, no more of them than is sensible for one walk."""
    return sorted(strongest(given, candidates), key=lambda i: -float(given[i]))[:FEW]


def strongest(given: Array, candidates: Sequence[Candidate]) -> list[int]:
    """The candidate of every spot that gives most; those that give nothing left out."""
    best: dict[str, int] = {}
    for i in np.flatnonzero(given > 0.0).tolist():
        spot = candidates[i].spot
        if spot not in best or given[i] > given[best[spot]]:
            best[spot] = i
    return list(best.values())


def reachable_end(given: Array, need: float, candidates: Sequence[Candidate]) -> int | None:
    """The end at which a need can be asked: pessimistic, else central; None where no choice reaches it.

    Parameters
    ----------
    given : array
        Shape (3, candidates).
    need : float
        What is asked. [-]
    candidates : sequence of Candidate
        For their spots.
    """
    if float(given[LOW][few_strongest(given[LOW], candidates)].sum()) >= need:
        return LOW
    return CENTRAL if most_of(given[CENTRAL], candidates) >= need else None


def need_of(chance: float) -> float:
    """Sum of exponents that makes a chance. [-]"""
    return -math.log1p(-min(chance, 1.0 - 1e-9)) * STRICTLY


def restated(want: Want, aims: Aims, candidates: Sequence[Candidate]) -> Want | None:
    """A row of a route found for one set of aims, asked for another; None where it says nothing for them.

    Parameters
    ----------
    want : Want
        The row.
    aims : Aims
        What is asked now.
    candidates : sequence of Candidate
        For their spots.
    """
    if want.what != "route" or want.exponents is None:
        return None
    need = need_of(aims.detect)
    end = reachable_end(want.exponents, need, candidates)
    return None if end is None else replace(want, given=want.exponents[end], need=need, end=end)


def opening_wants(chances: Chances, aims: Aims) -> tuple[list[Want], list[Want]]:
    """Every way in, every attack on it, in every mode; and those that no choice of candidates can watch.

    Parameters
    ----------
    chances : Chances
        What candidates give.
    aims : Aims
        What is asked.
    """
    need = need_of(aims.notice)
    premises = chances.scheme.premises
    wanted: list[Want] = []
    hopeless: list[Want] = []
    for mode in chances.modes:
        for item in chances.openings:
            opening = item.shape.opening
            rooms = [premises.room(r) for r in opening.room_ids]
            loose = premises.survey == "approximate" or opening.position_assumed
            loose = loose or any(r.position_assumed for r in rooms)
            seen = chances.coming_in(mode, item)
            for attack in item.attacks:
                given = chances.on_attack[(mode, attack)] + seen
                if loose:
                    given[LOW] = np.where(chances.sure, given[LOW], 0.0)
                end = reachable_end(given, need, chances.candidates)
                want = Want(
                    "way in", mode.value, opening.id, attack.name, given[LOW if end is None else end], need, end or LOW
                )
                (hopeless if end is None else wanted).append(want)
    return wanted, hopeless


def at_least_two(given: Array, chosen: Sequence[int]) -> float:
    """Chance that at least two of the zones chosen notice. [-]

    Parameters
    ----------
    given : array
        Exponent of each candidate.
    chosen : sequence of int
        Zones that are there.
    """
    none, one = 1.0, 0.0
    for i in chosen:
        miss = math.exp(-float(given[i]))
        none, one = none * miss, one * miss + none * (1.0 - miss)
    return 1.0 - none - one


def need_beside(chance: float, most: float) -> float:
    r"""What all zones but one have to give together for two to notice.

    Parameters
    ----------
    chance : float
        Wanted, that at least two notice. [-]
    most : float
        The most that the one gives. [-]

    Returns
    -------
    float
        The least sum :math:`s` with :math:`1 - e^{-s}(1 + q s) \ge P`, where :math:`q = e^{-g}` is the chance to slip
        by the one. However a sum is spread over zones, the chance that two of them notice is at most that of a Poisson
        count, and it rises with the sum and with what the one gives; so the condition is necessary. [-]
    """
    slips, low, high = math.exp(-most), 0.0, 40.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if 1.0 - math.exp(-middle) * (1.0 + slips * middle) < chance:
            low = middle
        else:
            high = middle
    return low


def confirmed_mode(mode: Mode) -> bool:
    """A second zone is required only where nobody is in: people inside are themselves the confirmation."""
    return mode is Mode.AWAY
