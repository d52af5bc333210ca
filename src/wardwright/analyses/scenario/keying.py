"""Acts at keypads and buttons; and what an animal does."""

import random
from dataclasses import replace

import numpy as np

from wardwright.analyses.scenario.deeds import Deed, Keyed, frames_of, later
from wardwright.analyses.scenario.ground import Spot
from wardwright.analyses.scenario.people import People, Turn
from wardwright.analyses.scenario.script import Act
from wardwright.analyses.scenario.senses import HOLD_S, Span
from wardwright.analyses.scenario.walking import go
from wardwright.analyses.timing import CODE_S
from wardwright.catalogue.kinds import Family
from wardwright.errors import InputError
from wardwright.panel.events import Ask

WRONG_S = 4.0
"""From one wrong code to the next. Assumption. [s]"""
REST_S = (2.0, 15.0)
"""An animal stops this long between two walks. Assumption. [s]"""
ASKS: dict[str, Ask] = {
    "set away": Ask.SET_AWAY,
    "set inside": Ask.SET_INSIDE,
    "unset": Ask.UNSET,
    "unset under duress": Ask.DURESS_UNSET,
    "leave out": Ask.INHIBIT,
    "isolate": Ask.ISOLATE,
    "take back in": Ask.RESTORE,
    "override": Ask.OVERRIDE,
    "clear": Ask.RESTORE,
}


def at_keypad(people: People, turn: Turn) -> Deed:
    """Go to a keypad and ask for something, or enter a code that fits nobody."""
    keypads = people.scheme.of_family(Family.KEYPAD, Family.ALL_IN_ONE)
    if turn.act.keypad is not None:
        keypads = tuple(d for d in keypads if d.id == turn.act.keypad)
    if not keypads:
        raise InputError(f"no keypad is called “{turn.act.keypad}”" if turn.act.keypad else "there is no keypad")
    if turn.act.do != "wrong code" and turn.actor.right is None:
        raise InputError("has no code: name the right it has, or let it enter a wrong code")
    here = turn.inside()
    keypad = people.ground.nearest_of(here, keypads, turn.pace_m_s)
    gone = go(people, replace(turn, act=Act(do="go to", to=keypad.id)))
    if turn.act.do == "wrong code":
        keyed = tuple(Keyed(gone.seconds + WRONG_S * (i + 1), None) for i in range(turn.act.times))
        words = "goes to the keypad"
    else:
        keyed = (Keyed(gone.seconds + CODE_S, ASKS[turn.act.do], turn.act.areas, turn.act.zone),)
        words = f"goes to the keypad: {turn.act.do}"
    done = keyed[-1].at_s
    frames = (*gone.frames, (done, gone.frames[-1][1]))
    return replace(gone, words=words, seconds=done, frames=frames, keyed=keyed, device_id=keypad.id)


def press(people: People, turn: Turn) -> Deed:
    """Press a hold-up button."""
    device = next((d for d in people.scheme.fitted if d.id == turn.act.device), None)
    if device is None or people.scheme.kind_of(device).family is not Family.HOLD_UP:
        buttons = ", ".join(d.id for d in people.scheme.of_family(Family.HOLD_UP))
        raise InputError(f"“{turn.act.device}” is no hold-up button: there is {buttons or 'none'}")
    gone = go(people, replace(turn, act=Act(do="go to", to=device.id)))
    spans = (*gone.spans, Span(device.id, gone.seconds, gone.seconds + HOLD_S))
    return replace(gone, words="presses a hold-up button", spans=spans)


def roam(people: People, turn: Turn) -> Deed:
    """Walk about at random in some rooms."""
    pet, graph = people.pet(turn.actor), people.ground.graph
    rooms = turn.act.rooms or pet.room_ids or tuple(r.id for r in people.scheme.premises.rooms if r.indoors)
    unknown = [r for r in rooms if r not in graph.room_ids]
    if unknown:
        raise InputError(f"no room with a floor is called “{unknown[0]}”")
    nodes = np.flatnonzero(np.isin(graph.room, [graph.room_ids.index(r) for r in rooms]))
    if not len(nodes):
        raise InputError("there is no floor to roam on")
    lot = random.Random(f"{people.luck.seed}/roam/{turn.actor.id}/{turn.act.at}")
    here, at, wanted = turn.inside(), 0.0, turn.act.seconds or 0.0
    frames: list[tuple[float, Spot]] = [(0.0, people.ground.spot(here))]
    spans: list[Span] = []
    while at < wanted:
        trail = people.ground.way(here, int(nodes[lot.randrange(len(nodes))]), turn.pace_m_s)
        spans += later(people.noticed(turn.actor, trail), at)
        frames += frames_of(trail, at)
        here, at = trail.walk.nodes[-1], at + trail.seconds + lot.uniform(*REST_S)
        frames.append((at, trail.spots[-1]))
    return Deed("roams", at, replace(turn.standing, node=here), tuple(frames), tuple(spans))
