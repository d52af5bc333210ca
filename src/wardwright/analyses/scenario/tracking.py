"""Where everybody was, kept while a scenario is played: for the picture that moves."""

from wardwright.analyses.scenario.deeds import Deed
from wardwright.analyses.scenario.ground import Spot
from wardwright.analyses.scenario.script import Actor
from wardwright.analyses.scenario.timeline import Leg, Track


class Tracks:
    """The tracks of all actors of a scenario."""

    def __init__(self, actors: tuple[Actor, ...]) -> None:
        self._actors = actors
        self._legs: dict[str, list[Leg]] = {a.id: [] for a in actors}
        self._gone: dict[str, list[tuple[int, int]]] = {a.id: [] for a in actors}
        self._out_since: dict[str, int] = dict.fromkeys(self._legs, 0)
        self._spot: dict[str, Spot] = {}

    def appear(self, actor: Actor, at_ms: int, spot: Spot) -> None:
        """An actor is seen here from now on."""
        since = self._out_since.pop(actor.id, None)
        if since is not None and since < at_ms:
            self._gone[actor.id].append((since, at_ms))
        if not self._legs[actor.id]:
            self._legs[actor.id].append(Leg(((at_ms, spot),), None))
        self._spot[actor.id] = spot

    def follow(self, actor: Actor, at_ms: int, deed: Deed) -> None:
        """An actor does something from now on; whoever is outside when it is done is seen no more."""
        if not deed.frames:
            return
        self.appear(actor, at_ms, deed.frames[0][1])
        frames = tuple((at_ms + round(t * 1000), spot) for t, spot in deed.frames)
        self._legs[actor.id].append(Leg(frames, deed.device_id))
        self._spot[actor.id] = frames[-1][1]
        if deed.after.node is None:
            self._out_since[actor.id] = at_ms + round(deed.seconds * 1000)

    def spot(self, actor: Actor) -> Spot | None:
        """Where an actor ends up with what it does now."""
        return self._spot.get(actor.id)

    def told(self, end_ms: int) -> tuple[Track, ...]:
        """All tracks up to the end."""
        found = []
        for a in self._actors:
            since = self._out_since.get(a.id)
            gone = [*self._gone[a.id], *([(since, end_ms + 1)] if since is not None else [])]
            found.append(Track(a.id, a.called, a.kind, tuple(self._legs[a.id]), tuple(gone)))
        return tuple(found)
