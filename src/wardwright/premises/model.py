"""Premises: one frozen value that holds the whole building."""

from functools import cached_property
from typing import Literal, TypeVar

from pydantic import Field

from wardwright.errors import UnknownReferenceError
from wardwright.model import Record
from wardwright.premises.fabric import (
    Chase,
    Construction,
    NoDrilling,
    Obstacle,
    Room,
    Stair,
    Standing,
    Storey,
    Wall,
)
from wardwright.premises.life import Bed, HeatSource, Person, Pet, ServicePoint, Surroundings, Target
from wardwright.premises.openings import Opening

T = TypeVar("T", bound=Record)


class Premises(Record):
    """A building, measured or approximate. Metres; x and y on plan, z up."""

    name: str
    storeys: tuple[Storey, ...] = Field(min_length=1)
    constructions: tuple[Construction, ...] = ()
    walls: tuple[Wall, ...] = ()
    openings: tuple[Opening, ...] = ()
    rooms: tuple[Room, ...] = ()
    stairs: tuple[Stair, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    standings: tuple[Standing, ...] = ()
    chases: tuple[Chase, ...] = ()
    no_drilling: tuple[NoDrilling, ...] = ()
    heat_sources: tuple[HeatSource, ...] = ()
    beds: tuple[Bed, ...] = ()
    pets: tuple[Pet, ...] = ()
    people: tuple[Person, ...] = ()
    targets: tuple[Target, ...] = ()
    services: tuple[ServicePoint, ...] = ()
    surroundings: Surroundings = Surroundings()
    survey: Literal["measured", "drawn", "approximate"] = "drawn"

    @cached_property
    def _index(self) -> dict[str, Record]:
        groups: tuple[tuple[Record, ...], ...] = (
            self.storeys,
            self.constructions,
            self.walls,
            self.openings,
            self.rooms,
            self.stairs,
            self.obstacles,
            self.standings,
            self.chases,
            self.no_drilling,
            self.heat_sources,
            self.beds,
            self.pets,
            self.people,
            self.targets,
            self.services,
        )
        return {item.id: item for group in groups for item in group}  # type: ignore[attr-defined]

    @property
    def ids(self) -> frozenset[str]:
        """Every id in use, of whatever kind of element."""
        return frozenset(self._index)

    def _find(self, kind: type[T], key: str) -> T:
        item = self._index.get(key)
        if not isinstance(item, kind):
            raise UnknownReferenceError(f"no {kind.__name__.lower()} is called “{key}”", where=self.name)
        return item

    def storey(self, key: str) -> Storey:
        """The storey with this id."""
        return self._find(Storey, key)

    def wall(self, key: str) -> Wall:
        """The wall with this id."""
        return self._find(Wall, key)

    def opening(self, key: str) -> Opening:
        """The opening with this id."""
        return self._find(Opening, key)

    def room(self, key: str) -> Room:
        """The room with this id."""
        return self._find(Room, key)

    def target(self, key: str) -> Target:
        """The target with this id."""
        return self._find(Target, key)

    def storey_of(self, opening: Opening) -> Storey:
        """The storey whose floor an opening's sill is measured from."""
        place = opening.place
        return self.storey(self.wall(place.wall_id).storey_id if place.kind == "wall" else place.storey_id)
