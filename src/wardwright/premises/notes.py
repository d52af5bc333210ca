"""What a surveyor adds to a drawing: goods, beds, pets, people, heat, habits, locks, glass, roofs, response.

A drawing knows walls; it rarely knows any of this. The notes are a TOML file: whole records are added under their own
heading, and ``[[room]]``, ``[[opening]]`` and ``[[leaf]]`` change fields of what is there already.
"""

import tomllib
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError

from wardwright.errors import InputError
from wardwright.model import Record, plain_errors
from wardwright.premises.fabric import Chase, NoDrilling, Obstacle, Stair, Standing
from wardwright.premises.life import Bed, HeatSource, Person, Pet, ServicePoint, Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import Opening

Change = dict[str, Any]


class SurveyNotes(BaseModel):
    """The whole file."""

    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)

    name: str | None = None
    surroundings: Change = {}
    target: tuple[Target, ...] = ()
    bed: tuple[Bed, ...] = ()
    pet: tuple[Pet, ...] = ()
    person: tuple[Person, ...] = ()
    heat: tuple[HeatSource, ...] = ()
    service: tuple[ServicePoint, ...] = ()
    obstacle: tuple[Obstacle, ...] = ()
    standing: tuple[Standing, ...] = ()
    stair: tuple[Stair, ...] = ()
    chase: tuple[Chase, ...] = ()
    no_drilling: tuple[NoDrilling, ...] = ()
    room: tuple[Change, ...] = ()
    opening: tuple[Change, ...] = ()
    leaf: tuple[Change, ...] = ()


def with_notes(premises: Premises, text: str, *, where: str = "notes") -> Premises:
    """A building with a surveyor's notes added.

    Parameters
    ----------
    premises : Premises
        As drawn.
    text : str
        The notes, TOML.
    where : str
        Name of the file, for messages.

    Returns
    -------
    Premises
        With the records added; one of the same id is replaced.

    Raises
    ------
    InputError
        One line for each thing that cannot be used, naming the row.
    """
    try:
        tree = tomllib.loads(text)
        notes = SurveyNotes.model_validate(tree)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"not a file of survey notes: {error}", where=where) from None
    except ValidationError as error:
        raise InputError("\n  ".join(["cannot be used:", *plain_errors(error)]), where=where) from None
    faults: list[str] = []
    openings = _leaves_changed(_changed(premises.openings, notes.opening, faults), notes.leaf, faults)
    update = {
        "name": notes.name or premises.name,
        "surroundings": _with(premises.surroundings, notes.surroundings, "surroundings", faults),
        "rooms": _changed(premises.rooms, notes.room, faults),
        "openings": openings,
        "targets": _added(premises.targets, notes.target),
        "beds": _added(premises.beds, notes.bed),
        "pets": _added(premises.pets, notes.pet),
        "people": _added(premises.people, notes.person),
        "heat_sources": _added(premises.heat_sources, notes.heat),
        "services": _added(premises.services, notes.service),
        "obstacles": _added(premises.obstacles, notes.obstacle),
        "standings": _added(premises.standings, notes.standing),
        "stairs": _added(premises.stairs, notes.stair),
        "chases": _added(premises.chases, notes.chase),
        "no_drilling": _added(premises.no_drilling, notes.no_drilling),
    }
    if faults:
        raise InputError("\n  ".join(["cannot be used:", *faults]), where=where)
    return premises.model_copy(update=update)


def _added(there: tuple[Any, ...], new: tuple[Any, ...]) -> tuple[Any, ...]:
    keys = {item.id for item in new}
    return (*(item for item in there if item.id not in keys), *new)


def _with(record: Record, change: Change, called: str, faults: list[str]) -> Any:
    """The record with some fields changed, judged as a whole."""
    try:
        return type(record).model_validate({**record.model_dump(), **change})
    except ValidationError as error:
        faults.extend(f"“{called}”, {line}" for line in plain_errors(error))
        return record


def _changed(there: tuple[Any, ...], changes: tuple[Change, ...], faults: list[str]) -> tuple[Any, ...]:
    items = {item.id: item for item in there}
    for change in changes:
        key = change.get("id")
        if key not in items:
            faults.append(f"“{key}”: nothing of that kind is called so")
            continue
        items[key] = _with(items[key], change, str(key), faults)
    return tuple(items.values())


def _leaves_changed(
    openings: tuple[Opening, ...], changes: tuple[Change, ...], faults: list[str]
) -> tuple[Opening, ...]:
    by_leaf = {change.get("id"): change for change in changes}
    known = {leaf.id for opening in openings for leaf in opening.leaves}
    faults.extend(f"“{key}”: no leaf of an opening is called so" for key in by_leaf if key not in known)
    return tuple(
        opening.model_copy(
            update={
                "leaves": tuple(
                    _with(leaf, by_leaf[leaf.id], leaf.id, faults) if leaf.id in by_leaf else leaf
                    for leaf in opening.leaves
                )
            }
        )
        for opening in openings
    )
