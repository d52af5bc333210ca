"""How an intruder comes in and goes on: by a route of the proof, or by an attack somebody chose."""

from dataclasses import dataclass
from functools import lru_cache

from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import WalkedRoute, goals, walked_routes
from wardwright.analyses.scenario.ground import Ground, Spot, Trail
from wardwright.analyses.scenario.script import Act
from wardwright.analyses.scenario.senses import Senses, Span, watching
from wardwright.analyses.timely import exponent
from wardwright.analyses.ways_in import Attackable, attackable_openings
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.premises.life import Target
from wardwright.premises.plan import OpeningShape


@dataclass(frozen=True, eq=False)
class BrokenIn:
    """A way in taken, and the walk after it. Seconds from the beginning of the attack."""

    shape: OpeningShape
    attack: str
    delay_s: float
    trail: Trail
    spans: list[Span]
    target: Target | None


def broken_in(ground: Ground, senses: Senses, act: Act, who: str, pace: float) -> BrokenIn:
    """What an act of breaking in comes to.

    Parameters
    ----------
    ground : Ground
        The floors.
    senses : Senses
        The devices.
    act : Act
        The way in; with ``to`` by one of the three routes of the proof, else by its attack, or the quickest there is.
    who : str
        Whose lot counts.
    pace : float
        Pace where no route says otherwise. [m/s]

    Returns
    -------
    BrokenIn
        What happens.

    Raises
    ------
    InputError
        If the opening cannot be got at or attacked so, or no way leads to the target.
    """
    shape = ground.opening(act.by or "")
    item = next((x for x in attackable_openings(ground.scheme) if x.shape.opening.id == shape.opening.id), None)
    name = shape.opening.name
    if item is None:
        raise InputError(f"“{name}” is no way in from outside")
    if item.reachable is False:
        raise InputError(f"“{name}” is out of reach: {item.reach.explanation if item.reach else 'too high'}")
    if not item.attacks:
        raise InputError(f"nobody fits through “{name}”")
    return (
        _by_route(ground, senses, act, who, shape)
        if act.to is not None
        else _by_attack(ground, senses, act, who, item, pace)
    )


def _by_route(ground: Ground, senses: Senses, act: Act, who: str, shape: OpeningShape) -> BrokenIn:
    wanted = {g.id: g for g in goals(ground.scheme, senses.mode)}
    if act.to not in wanted:
        raise InputError(f"no target is called “{act.to}”: there is {', '.join(wanted) or 'none'}")
    found = next(
        (r for r in _walked(senses.scheme, senses.mode, shape.opening.id, act.to) if r.route.kind == act.route), None
    )
    if found is None:
        raise InputError(f"no way leads from “{shape.opening.name}” to “{wanted[act.to].name}”: check doors and stairs")
    sill: Spot = (shape.storey_id, *shape.centre)
    trail = Trail(found.walk, found.pace_m_s, (sill, *(ground.spot(n) for n in found.walk.nodes)))
    delay = found.attack.delay_s
    spans = senses.of_rates(found.rates, found.device_ids, trail, delay, who)
    spans += senses.of_steps(found.notices, trail, delay, who)
    target = next((t for t in ground.scheme.premises.targets if t.id == act.to), None)
    return BrokenIn(shape, found.attack.name, delay, trail, spans, target)


@lru_cache(maxsize=16)
def _walked(scheme: ProtectionScheme, mode: Mode, opening_id: str, goal_id: str) -> tuple[WalkedRoute, ...]:
    return walked_routes(scheme, mode, watching(scheme, mode)[0], opening_id, goal_id)


def _by_attack(ground: Ground, senses: Senses, act: Act, who: str, item: Attackable, pace: float) -> BrokenIn:
    told = [(a, senses.noticers.of(a, item.shape)) for a in item.attacks]
    if act.attack is not None:
        names = list(dict.fromkeys(a.name for a in item.attacks))
        told = [(a, n) for a, n in told if a.name == act.attack]
        if not told:
            raise InputError(f"“{item.shape.opening.name}” cannot be “{act.attack}”: {', '.join(names)}")
    attack, notices = min(told, key=lambda x: (x[0].delay_s, sum(exponent(n.probability) for n in x[1])))
    trail = ground.inward(item.shape, ground.behind(item.shape), pace)
    spans = senses.of_attack(notices, attack.delay_s, who)
    for span in senses.of_person(trail, who):
        off = None if span.off_s is None else span.off_s + attack.delay_s
        spans.append(Span(span.device_id, span.on_s + attack.delay_s, off))
    return BrokenIn(item.shape, attack.name, attack.delay_s, trail, spans, None)
