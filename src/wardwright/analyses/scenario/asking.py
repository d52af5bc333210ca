"""What somebody at a keypad asks for: which areas and zone are meant, and whether this person may, at this hour."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from wardwright.analyses.panel_programme import Numbering
from wardwright.analyses.scenario.deeds import Keyed
from wardwright.analyses.scenario.script import Actor
from wardwright.design.programme import Zone
from wardwright.errors import InputError
from wardwright.panel.events import Ask, UserEvent
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.rights import RightRow, allowed
from wardwright.panel.state import PanelState
from wardwright.panel.tables import Phase


@dataclass(frozen=True, eq=False)
class Keypads:
    """The rights and names of a programme. Without any right in it everybody with a code may do everything."""

    programme: PanelProgramme
    names: Numbering
    zones: tuple[Zone, ...]
    rights: Sequence[RightRow]

    def check(self, actor: Actor) -> None:
        """Refuse an actor whose right nobody holds."""
        holders = tuple(dict.fromkeys(r.holder for r in self.rights))
        if actor.right is not None and holders and actor.right not in holders:
            raise InputError(
                f"nobody holds a right as “{actor.right}”: there is {', '.join(holders)}", where=actor.called
            )

    def area(self, key: str, where: str) -> int:
        """Index of an area."""
        if key not in self.names.area_ids:
            raise InputError(f"no area is called “{key}”: there is {', '.join(self.names.area_ids)}", where=where)
        return self.names.area_ids.index(key)

    def zone(self, name: str, where: str) -> int:
        """Index of a zone by its id, number or name."""
        for zone in self.zones:
            if name in (zone.id, str(zone.number), zone.name):
                return self.names.zone_ids.index(zone.id)
        raise InputError(f"no zone is called “{name}”", where=where)

    def asked(
        self, actor: Actor, keyed: Keyed, state: PanelState, when: datetime.datetime
    ) -> tuple[tuple[UserEvent, ...], tuple[str, ...]]:
        """What the panel is asked, and what the keypad refuses without asking it.

        Parameters
        ----------
        actor : Actor
            Who.
        keyed : Keyed
            What, with its ask.
        state : PanelState
            How the panel stands: decides which areas somebody means who names none.
        when : datetime
            Local time.

        Returns
        -------
        tuple of UserEvent, and tuple of str
            One event for each area; keypad lines.
        """
        ask = keyed.ask
        assert ask is not None  # a wrong code asks nothing
        zone = None if keyed.zone is None else self.zone(keyed.zone, actor.called)
        wanted = [self.area(a, actor.called) for a in keyed.areas]
        if zone is not None:
            wanted = [self.programme.zones[zone].areas[0]]
        elif not wanted:
            wanted = self._meant(actor, ask, state)
        if ask is Ask.RESTORE and zone is None:
            wanted = wanted[:1]  # clearing the memory is for all areas at once
        may = [a for a in wanted if not self.rights or allowed(self.rights, actor.right or "", ask, a, when)]
        names = [self.programme.areas[a].name for a in wanted if a not in may]
        refused = (f"no right to {ask} here and now: {', '.join(names)}",) if names else ()
        user = 1 + next((i for i, r in enumerate(self.rights) if r.holder == actor.right), 0)
        return tuple(UserEvent(ask, a, zone, user) for a in may), refused

    def _meant(self, actor: Actor, ask: Ask, state: PanelState) -> list[int]:
        """Areas the right covers that the request can change."""
        held = {a for r in self.rights if r.holder == actor.right for a in r.areas}
        covered = [i for i in range(len(self.names.area_ids)) if not self.rights or i in held]
        setting = ask in (Ask.SET_AWAY, Ask.SET_INSIDE, Ask.OVERRIDE)
        fitting = [i for i in covered if (state.areas[i].phase is Phase.UNSET) == setting]
        return fitting or covered or [0]
