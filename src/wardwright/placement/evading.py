"""Which routes slip by a choice of candidates, found by the searches that prove a design; and rows that forbid it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from wardwright.analyses.exposure import CENTRAL, HIGH, LOW
from wardwright.analyses.mode import Mode
from wardwright.analyses.route_records import Route
from wardwright.analyses.routes import WalkedRoute, routes
from wardwright.findings import Outcome
from wardwright.placement.chances import Along, Chances, trial
from wardwright.placement.wants import (
    Aims,
    Array,
    Want,
    at_least_two,
    confirmed_mode,
    few_strongest,
    need_beside,
    need_of,
    reachable_end,
    strongest,
)
from wardwright.rules.aims.route import CONFIRMED_P, confirmation, in_time

BESIDE = 4
"""Strongest spots beside which a second zone is asked for at once. [-]"""


@dataclass(eq=False)
class Evasion:
    """Asks route after route of one job; remembers what no choice of candidates can do."""

    chances: Chances
    aims: Aims
    two_zones: bool = True
    """Ask for a second zone too, and for an alarm in time for the response."""
    hopeless: list[Want] = field(default_factory=list)
    looked_at: int = 0
    """Routes accounted for. [-]"""
    undecided: tuple[str, ...] = ()
    _asked: dict[tuple[Mode, tuple[int, ...]], list[Want]] = field(default_factory=dict)
    """Answers held: with people inside only what is watched then matters."""

    def against(self, chosen: Sequence[int]) -> list[Want]:
        """Rows for every route that slips by a choice, of any kind, in every mode; empty where none does.

        Parameters
        ----------
        chosen : sequence of int
            Candidates that are there.
        """
        found: list[Want] = []
        for mode in self.chances.modes:
            watched = [i for i in chosen if mode is Mode.AWAY or self.chances.candidates[i].inside]
            key = (mode, tuple(watched))
            if key not in self._asked:
                self._asked[key] = list(self._walked(mode, watched))
            found += self._asked[key]
        return found

    def _walked(self, mode: Mode, chosen: Sequence[int]) -> Iterator[Want]:
        scheme = trial(self.chances.scheme, [self.chances.candidates[i] for i in chosen])
        walks: list[WalkedRoute] = []
        analysis = routes(scheme, mode, self.chances.fields_of(chosen, mode), told=walks.append)
        self.undecided = tuple(dict.fromkeys((*self.undecided, *analysis.undecided)))
        self.looked_at += len(walks)
        for walked in walks:
            yield from self._rows(mode, walked, chosen)

    def _rows(self, mode: Mode, walked: WalkedRoute, chosen: Sequence[int]) -> Iterator[Want]:
        route = walked.route
        noticed = route.probability if not route.assumed else route.sure_probability
        low = min(route.interval[0], noticed)
        asked = self.two_zones and confirmed_mode(mode)
        second = asked and confirmation(route, self.aims.confirm_within_s) is not Outcome.MET
        if asked and self.aims.confirm > CONFIRMED_P:
            second = second or route.confirmed_interval[0] < self.aims.confirm
        limit = self.aims.in_time if asked else None
        late = limit is not None and in_time(route, limit) in (Outcome.NOT_MET, Outcome.NOT_DECIDED)
        if low >= self.aims.detect and not second and not late:
            return
        along = self.chances.along(mode, walked)
        if low < self.aims.detect:
            want = self._detected(route, along.whole)
            if want is not None and want.short(chosen) > 1e-9:
                yield want
        if second:
            yield from self._confirmed(route, along, chosen)
        if late and limit is not None and route.last_moment_s is not None:
            yield from self._in_time(route, along.by(route.last_moment_s), chosen, limit)

    def _want(self, what: str, route: Route, given: Array, need: float, end: int) -> Want:
        return Want(what, route.mode, route.opening_id, route.attack, given, need, end, route.target_id, route)  # type: ignore[arg-type]

    def _detected(self, route: Route, given: Array) -> Want | None:
        need = need_of(self.aims.detect)
        end = reachable_end(given, need, self.chances.candidates)
        if end is None:
            self._give_up(self._want("route", route, given[LOW], need, LOW))
            return None
        return replace(self._want("route", route, given[end], need, end), exponents=given)

    def _confirmed(self, route: Route, along: Along, chosen: Sequence[int]) -> Iterator[Want]:
        """What a second zone needs, at the worse end that can be had: sure enough, and soon enough at every end."""
        seconds = self.aims.confirm_within_s
        possible = False
        for end in (LOW, CENTRAL):
            if not self._twice_at_best(along.whole[end], few=end == LOW):
                continue
            possible = True
            made = list(self._second(route, along.whole[end], chosen, end))
            if not made:
                for each in (end, *(e for e in (CENTRAL, HIGH) if e > end)):
                    soon = along.soon_after(chosen, each, seconds)
                    if soon is not None and self._twice_at_best(soon, few=each == LOW):
                        made += self._second(route, soon, chosen, each)
                    elif soon is not None and each == end:
                        self._give_up(self._want("second zone", route, soon, need_of(self.aims.confirm), each))
            yield from made
            break
        if not possible:
            self._give_up(self._want("second zone", route, along.whole[LOW], need_of(self.aims.confirm), LOW))

    def _in_time(self, route: Route, given: Array, chosen: Sequence[int], limit: float) -> Iterator[Want]:
        """What has to have noticed by the last moment at which an alarm is of use; two zones, where it takes two."""
        if self.chances.scheme.premises.surroundings.response.confirmed_only:
            for end in (LOW, CENTRAL):
                if self._twice_at_best(given[end], few=end == LOW, limit=limit):
                    yield from self._second(route, given[end], chosen, end, "in time", limit)
                    return
            self._give_up(self._want("in time", route, given[LOW], need_of(limit), LOW))
            return
        need = need_of(limit)
        reached = reachable_end(given, need, self.chances.candidates)
        if reached is None:
            self._give_up(self._want("in time", route, given[LOW], need, LOW))
            return
        want = self._want("in time", route, given[reached], need, reached)
        if want.short(chosen) > 1e-9:
            yield want

    def _twice_at_best(self, given: Array, *, few: bool, limit: float | None = None) -> bool:
        best = (few_strongest if few else strongest)(given, self.chances.candidates)
        return at_least_two(given, best) >= (self.aims.confirm if limit is None else limit)

    def _second(
        self,
        route: Route,
        at: Array,
        chosen: Sequence[int],
        end: int,
        what: str = "second zone",
        limit: float | None = None,
    ) -> Iterator[Want]:
        """Rows that every layout confirmed by these chances meets; none where the choice meets them.

        All zones but the strongest have to give enough together. That is necessary; where it is not enough, one of the
        candidates that are in no choice that fails with this one must come in.
        """
        candidates, limit = self.chances.candidates, self.aims.confirm if limit is None else limit
        there = [i for i in chosen if at[i] > 0.0]
        if at_least_two(at, there) >= limit:
            return
        if there:
            by_spot = candidates_by_spot(self.chances)
            spot = candidates[max(there, key=lambda i: at[i])].spot
            want = self._beside(what, route, at, by_spot[spot], end, limit)
            if want.short(chosen) > 1e-9:
                yield want
                # the same holds beside any spot: asked beside the strongest, it need not be found out one by one
                strong = sorted(by_spot, key=lambda key: -float(at[by_spot[key]].max()))[:BESIDE]
                for key in strong:
                    if key != spot and at[by_spot[key]].max() > 0.0:
                        yield self._beside(what, route, at, by_spot[key], end, limit)
                return
        failing = _grown(at, there, candidates_by_spot(self.chances), limit)
        outside = np.array([0.0 if i in failing or at[i] <= 0.0 else 1.0 for i in range(len(candidates))])
        if outside.any():
            yield self._want(what, route, outside, 1.0, end)

    def _beside(self, what: str, route: Route, at: Array, spot: Sequence[int], end: int, limit: float) -> Want:
        """What all candidates but those of one spot have to give together."""
        need = need_beside(limit, float(at[spot].max()))
        given = at.copy()
        given[spot] = 0.0
        return self._want(what, route, given, need, end)

    def _give_up(self, want: Want) -> None:
        key = (want.what, want.mode, want.opening_id, want.attack, want.target_id)
        if key not in {(w.what, w.mode, w.opening_id, w.attack, w.target_id) for w in self.hopeless}:
            self.hopeless.append(want)


def candidates_by_spot(chances: Chances) -> dict[str, list[int]]:
    """Candidates of every spot."""
    found: dict[str, list[int]] = {}
    for i, candidate in enumerate(chances.candidates):
        found.setdefault(candidate.spot, []).append(i)
    return found


def _grown(given: Array, there: Sequence[int], by_spot: dict[str, list[int]], limit: float) -> set[int]:
    """A largest set of candidates round a choice that still does not notice twice, weakest spots first."""
    failing = set(there)
    best = set(there)
    spots = sorted(by_spot.values(), key=lambda held: max(given[i] for i in held))
    for held in spots:
        top = max(held, key=lambda i: given[i])
        if given[top] <= 0.0:
            failing.update(held)
            continue
        trial_set = {i for i in best if i not in held} | {top}
        if at_least_two(given, sorted(trial_set)) < limit:
            best = trial_set
            failing.update(held)
    return failing
