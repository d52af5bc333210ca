"""A scenario as a client may see it: intrusions that are noticed in time, and nothing about where control equipment is.

What is not noticed in time is not hidden in the picture: it is taken out of the script and the rest is played again, so
that nothing of it shows in what the panel does.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import Scenario
from wardwright.analyses.scenario.timeline import Intrusion, Leg, Moment, Timeline, Track
from wardwright.analyses.timing import TimingAnalysis
from wardwright.design.system import ProtectionScheme
from wardwright.documents.client_view import hidden_devices, says_too_much, visible_devices
from wardwright.errors import InputError

IN_PERSON = "A part of this scenario is not on the client's page: we go through it with the client in person."
ALL_IN_PERSON = "this scenario has no page for a client: we go through it with the client in person"
SHOWN_MS = 2_000
"""An intruder is shown for so long after he was last noticed. [ms]"""
ORDINARY = ("mains lost", "mains back")
"""What may happen to the system itself on a client's page; the rest would show what it hangs on."""
UNSPOKEN = ("left out:", "isolated:", "inhibited", "duress", "hold-up", "swinger")
"""Words that would tell what is not watched, or of a quiet call for help."""


@dataclass(frozen=True)
class ClientStory:
    """A timeline a client may see."""

    timeline: Timeline
    left_out: bool
    """Something was taken out of the script."""


def client_story(
    scheme: ProtectionScheme, scenario: Scenario, timeline: Timeline, walks: TimingAnalysis | None = None
) -> ClientStory:
    """Take out of a scenario what a client's page must not show, and play the rest.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building, system, brief.
    scenario : Scenario
        The whole script.
    timeline : Timeline
        What came of it.
    walks : TimingAnalysis, optional
        The walks to the keypads, where they are worked out already.

    Returns
    -------
    ClientStory
        Every intrusion in it raises the alarm before anything is taken, and is reported where there is somebody to
        report to, both in the whole script and in what is left of it.

    Raises
    ------
    InputError
        If nothing is left.
    """
    script = scenario.model_copy(update={"event": tuple(e for e in scenario.event if e.what in ORDINARY)})
    told = timeline
    evading = {a.id for a in script.actor if any(act.route != "fastest" for act in a.act)}
    while True:
        missed = evading | {i.actor_id for i in told.intrusions if not i.in_time(told.monitored)}
        kept = tuple(a for a in script.actor if a.id not in missed)
        if not kept:
            raise InputError(ALL_IN_PERSON)
        if script == scenario and not missed:
            break
        settled = kept == script.actor and told is not timeline
        if settled:
            break
        script = script.model_copy(update={"actor": kept})
        told = play(scheme, script, walks)
    return ClientStory(_safe(scheme, told), left_out=script != scenario)


def _safe(scheme: ProtectionScheme, timeline: Timeline) -> Timeline:
    """Without the places of control equipment and buttons, path names, what is left out, and what is worth stealing."""
    hidden = frozenset(d.id for d in hidden_devices(scheme))
    seen = {d.id for d in visible_devices(scheme)}
    ends = {i.actor_id: _last_noticed(timeline, i) for i in timeline.intrusions}
    told = [_intruders(m, ends) for m in timeline.moments]
    return replace(
        timeline,
        moments=tuple(m for moment in told if moment and (m := _moment(scheme, moment, hidden)) is not None),
        tracks=tuple(_track(track, hidden, ends.get(track.actor_id)) for track in timeline.tracks),
        lit=tuple(x for x in timeline.lit if x.device_id in seen),
        intrusions=tuple(replace(i, had_ms=None) for i in timeline.intrusions),
    )


def _last_noticed(timeline: Timeline, intrusion: Intrusion) -> int:
    """Moment up to which an intruder is shown: when he was last noticed before he had anything. [ms]"""
    until = intrusion.had_ms if intrusion.had_ms is not None else timeline.ends_ms
    noticed = [x.at_ms for x in timeline.moments if x.actor_id == intrusion.actor_id and x.tripped and x.answered]
    return max((t for t in noticed if t < until), default=intrusion.began_ms)


def _intruders(moment: Moment, ends: Mapping[str, int]) -> Moment | None:
    """An intruder's doings told without what he is after, and only as long as he is shown."""
    if moment.actor_id not in ends:
        return moment
    if moment.at_ms > ends[moment.actor_id]:
        return None if moment.what or moment.tripped else moment
    what = "" if moment.what.startswith("takes ") else moment.what.partition(":")[0].partition(";")[0]
    return replace(moment, what=what)


def _moment(scheme: ProtectionScheme, moment: Moment, hidden: frozenset[str]) -> Moment | None:
    if moment.tripped and (not moment.answered or hidden & set(moment.tripped)):
        return None
    what = moment.what
    if any(word in what for word in UNSPOKEN):
        what = "asks: unset" if "unset" in what else ""
    if says_too_much(what, scheme):
        what = "goes through the building"
    found = replace(
        moment,
        what=what,
        where=moment.where if moment.who else "",
        keypads=tuple(k for k in moment.keypads if not _unfit(k, scheme)),
        reports=tuple(replace(r, path="") for r in moment.reports if not _unfit(r.what, scheme)),
    )
    empty = not (found.what or found.tripped or found.keypads or found.reports)
    return None if empty and found.sounding == () else found


def _unfit(text: str, scheme: ProtectionScheme) -> bool:
    return any(word in text for word in UNSPOKEN) or says_too_much(text, scheme)


def _track(track: Track, hidden: frozenset[str], until: int | None) -> Track:
    """Without the ways to and from hidden devices: there the actor is out of sight; an intruder up to a moment only."""
    legs: list[Leg] = []
    gone = list(track.gone)
    private = False
    for leg in track.legs:
        secret = leg.device_id in hidden
        if secret or private:
            gone.append((leg.frames[0][0], leg.frames[-1][0]))
            # until the next walk it stands there
            later = [other.frames[0][0] for other in track.legs if other.frames[0][0] >= leg.frames[-1][0]]
            if secret and later:
                gone.append((leg.frames[-1][0], min(later)))
            elif secret:
                gone.append((leg.frames[-1][0], 2**40))
        else:
            legs.append(leg)
        private = secret
    if until is not None:
        cut = (Leg(tuple(f for f in leg.frames if f[0] <= until), leg.device_id) for leg in legs)
        legs = [leg for leg in cut if leg.frames]
        gone.append((until + SHOWN_MS, 2**40))
    return replace(track, legs=tuple(legs), gone=tuple(sorted(gone)))
