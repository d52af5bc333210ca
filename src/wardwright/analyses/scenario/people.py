"""Actors: where they begin, how fast they walk, what notices them."""

from dataclasses import dataclass
from functools import cached_property

from wardwright.analyses.mode import Mode
from wardwright.analyses.scenario.deeds import Standing
from wardwright.analyses.scenario.ground import Ground, Trail, ground_of
from wardwright.analyses.scenario.script import Act, Actor
from wardwright.analyses.scenario.senses import Luck, Senses, Span
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.premises.life import Pet

PERSON_M_S = 1.3
"""Pace of a person nobody said more about: means of 1.27 to 1.46 m/s by age and sex [BOHANNON-1997]_. [m/s]"""
INTRUDER_M_S = 1.5
"""Pace of an intruder where no route says otherwise. Assumption. [m/s]"""
ANIMAL_M_S = 0.8
"""Pace of an animal that roams. Assumption. [m/s]"""


@dataclass(frozen=True)
class Turn:
    """One actor about to do one thing."""

    actor: Actor
    standing: Standing
    act: Act
    pace_m_s: float

    def inside(self) -> int:
        """The place the actor is at; outside nobody can do this."""
        if self.standing.node is None:
            raise InputError("is outside: come in, or break in, first")
        return self.standing.node


@dataclass(frozen=True, eq=False)
class People:
    """Actors in one mode of the system."""

    scheme: ProtectionScheme
    mode: Mode
    luck: Luck

    @cached_property
    def ground(self) -> Ground:
        """The floors."""
        return ground_of(self.scheme, self.mode)

    @cached_property
    def senses(self) -> Senses:
        """The devices."""
        return Senses(self.scheme, self.mode, self.luck)

    def begin(self, actor: Actor) -> Standing:
        """Where an actor is at the beginning."""
        if actor.where == "outside":
            if actor.kind == "animal":
                raise InputError("an animal begins in a room: say where", where=actor.called)
            return Standing()
        try:
            return Standing(self.ground.place(actor.where)[0])
        except InputError as error:
            raise InputError(error.message, where=actor.called) from None

    def pace(self, actor: Actor, act: Act) -> float:
        """Pace of an actor: the act's, the actor's, the person's in the building, or the usual one. [m/s]"""
        for said in (act.pace_m_s, actor.pace_m_s):
            if said is not None:
                return said
        if actor.kind != "person":
            return INTRUDER_M_S if actor.kind == "intruder" else ANIMAL_M_S
        known = (p.walking_speed_m_s for p in self.scheme.premises.people if p.id == actor.id)
        return next((pace for pace in known if pace is not None), PERSON_M_S)

    def pet(self, actor: Actor) -> Pet:
        """The animal an actor is."""
        pets = self.scheme.premises.pets
        for pet in pets:
            if pet.id == actor.pet:
                return pet
        raise InputError(f"the building has no animal “{actor.pet}”: it has {', '.join(p.id for p in pets) or 'none'}")

    def noticed(self, actor: Actor, trail: Trail) -> list[Span]:
        """What notices an actor on a walk."""
        if actor.kind == "animal":
            return self.senses.of_animal(trail, self.pet(actor), actor.id)
        return self.senses.of_person(trail, actor.id)
