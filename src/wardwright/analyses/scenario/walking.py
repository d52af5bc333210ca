"""Acts on foot: coming, going, breaking in, taking, leaving something open."""

from dataclasses import replace

from wardwright.analyses.scenario.deeds import Deed, Standing, frames_of, later
from wardwright.analyses.scenario.ground import OUT_M
from wardwright.analyses.scenario.intruder import broken_in
from wardwright.analyses.scenario.people import People, Turn
from wardwright.analyses.scenario.senses import Span
from wardwright.analyses.scenario.straight import straight_walk
from wardwright.analyses.timing import DOOR_S
from wardwright.errors import InputError
from wardwright.premises.plan import OpeningShape

CALL_S = 30.0
"""How long somebody stands at a door. Assumption. [s]"""


def go(people: People, turn: Turn) -> Deed:
    """Walk to a room, a target, a bed or a device."""
    assert turn.act.to is not None  # the script sees to it
    node, _ = people.ground.place(turn.act.to)
    trail = people.ground.way(turn.inside(), node, turn.pace_m_s)
    device = next((d.id for d in people.scheme.fitted if d.id == turn.act.to), None)
    words = f"goes to {people.ground.room_name(trail.spots[-1]) or turn.act.to}"
    return Deed(
        words,
        trail.seconds,
        replace(turn.standing, node=node),
        frames_of(trail),
        tuple(people.noticed(turn.actor, trail)),
        device_id=device,
    )


def walk(people: People, turn: Turn) -> Deed:
    """Walk along straight lines somebody wrote down."""
    here = turn.inside()
    straight = straight_walk(people.ground, turn.act.through, turn.pace_m_s)
    first, last = straight.walk.nodes[0], straight.walk.nodes[-1]
    there = people.ground.way(here, first, turn.pace_m_s)
    spans = [*people.noticed(turn.actor, there), *later(people.noticed(turn.actor, straight), there.seconds)]
    frames = (*frames_of(there), *frames_of(straight, there.seconds))
    room = people.ground.room_name(straight.spots[-1])
    words = f"walks to {room}" if room else "walks"
    return Deed(words, there.seconds + straight.seconds, replace(turn.standing, node=last), frames, tuple(spans))


def come_in(people: People, turn: Turn) -> Deed:
    """Come in by a door with its key."""
    if turn.standing.node is not None:
        raise InputError("is inside already")
    shape, node = people.ground.door(turn.act.by or "")
    reached = OUT_M / turn.pace_m_s
    trail = people.ground.inward(shape, node, turn.pace_m_s)
    inside = reached + DOOR_S
    spans = [Span(d, reached, inside) for d in people.senses.of_door(shape.opening)]
    spans += later(people.noticed(turn.actor, trail), inside)
    frames = ((0.0, people.ground.before(shape)), (reached, trail.spots[0]), *frames_of(trail, inside))
    words = f"comes in by {shape.opening.name}"
    return Deed(words, inside + trail.seconds, Standing(node, turn.act.by), frames, tuple(spans))


def leave(people: People, turn: Turn) -> Deed:
    """Go out: by a door, or an intruder by the hole he came in by."""
    here = turn.inside()
    key = turn.act.by or turn.standing.by
    if key is None:
        raise InputError("say by which door")
    same_hole = turn.standing.broke and key == turn.standing.by
    shape: OpeningShape
    if same_hole:
        shape = people.ground.opening(key)
        node = people.ground.behind(shape)
    else:
        shape, node = people.ground.door(key)
    trail = people.ground.way(here, node, turn.pace_m_s)
    at = trail.seconds
    spans = people.noticed(turn.actor, trail)
    if not same_hole:
        shut = None if turn.actor.kind == "intruder" else at + DOOR_S
        spans += [Span(d, at, shut) for d in people.senses.of_door(shape.opening)]
    sill = (shape.storey_id, *shape.centre)
    out = at + DOOR_S + OUT_M / turn.pace_m_s
    frames = (*frames_of(trail), (at + DOOR_S / 2, sill), (at + DOOR_S, sill), (out, people.ground.before(shape)))
    return Deed(f"leaves by {shape.opening.name}", out, Standing(), frames, tuple(spans))


def break_in(people: People, turn: Turn) -> Deed:
    """Attack a way in and go on from there."""
    if turn.standing.node is not None:
        raise InputError("is inside already")
    found = broken_in(people.ground, people.senses, turn.act, turn.actor.id, turn.pace_m_s)
    shape, start = found.shape, people.ground.before(found.shape)
    frames = ((0.0, start), (found.delay_s, found.trail.spots[0]), *frames_of(found.trail, found.delay_s))
    done = found.delay_s + found.trail.seconds
    had = None if found.target is None else done + found.target.take_s
    words = f"breaks in by {shape.opening.name}: {found.attack}"
    if found.target is not None:
        words += f"; makes for “{found.target.name}”"
        frames = (*frames, (had or done, found.trail.spots[-1]))
    after = Standing(found.trail.walk.nodes[-1], turn.act.by, broke=True)
    return Deed(words, had or done, after, frames, tuple(found.spans), had_s=had, opening_id=shape.opening.id)


def take(people: People, turn: Turn) -> Deed:
    """Go to what is worth stealing and pick it up."""
    target = next((t for t in people.scheme.premises.targets if t.id == turn.act.to), None)
    if target is None:
        names = ", ".join(t.id for t in people.scheme.premises.targets)
        raise InputError(f"nothing worth stealing is called “{turn.act.to}”: there is {names or 'nothing named'}")
    gone = go(people, turn)
    done = gone.seconds + target.take_s
    frames = (*gone.frames, (done, gone.frames[-1][1]))
    return replace(gone, words=f"takes “{target.name}”", seconds=done, frames=frames, had_s=done)


def call(people: People, turn: Turn) -> Deed:
    """Stand at a door outside."""
    if turn.standing.node is not None:
        raise InputError("is inside: only somebody outside calls at a door")
    shape = people.ground.opening(turn.act.by or "")
    spot = people.ground.before(shape)
    stay = turn.act.seconds or CALL_S
    return Deed(f"stands at {shape.opening.name}", stay, turn.standing, ((0.0, spot), (stay, spot)))


def open_or_shut(people: People, turn: Turn) -> Deed:
    """Open or shut a window or door and leave it so."""
    shape = people.ground.opening(turn.act.by or "")
    node = people.ground.behind(shape)
    trail = people.ground.way(turn.inside(), node, turn.pace_m_s)
    devices = people.senses.of_door(shape.opening)
    spans = people.noticed(turn.actor, trail)
    at = trail.seconds
    if turn.act.do == "open":
        spans += [Span(d, at, None) for d in devices]
    ended = tuple((at, d) for d in devices) if turn.act.do == "shut" else ()
    words = f"{'opens' if turn.act.do == 'open' else 'shuts'} {shape.opening.name}"
    return Deed(words, at + 1.0, replace(turn.standing, node=node), frames_of(trail), tuple(spans), ended=ended)


def wait(_people: People, turn: Turn) -> Deed:
    """Do nothing."""
    return Deed("", turn.act.seconds or 0.0, turn.standing)
