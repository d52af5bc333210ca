"""Small edits of a job: add, set, remove. The same cases check them here and in the browser.

A place is the dotted name of a field of the job: ``design.devices``, ``premises.walls``, ``brief``. In a list of
elements the id says which one.
"""

import json
from collections.abc import Sequence
from typing import Annotated, Any, Literal

from pydantic import Field, StringConstraints, ValidationError

from wardwright.errors import InputError, UnknownReferenceError
from wardwright.job.model import Job
from wardwright.model import Id, Record

Place = Annotated[str, StringConstraints(pattern=r"^[a-z_]{1,40}(\.[a-z_]{1,40}){0,3}$")]
OWN = ("format", "retired_ids")
"""What the program keeps by itself."""


class Add(Record):
    """One more element at the end of a list, or before the one named."""

    do: Literal["add"]
    place: Place
    value: dict[str, Any]
    before: Id | None = None


class Set(Record):
    """Other values for some fields of an element of a list, or of a single record where no id is given."""

    do: Literal["set"]
    place: Place
    id: Id | None = None
    values: dict[str, Any]


class Remove(Record):
    """One element less."""

    do: Literal["remove"]
    place: Place
    id: Id


Move = Annotated[Add | Set | Remove, Field(discriminator="do")]


def moved(job: Job, moves: Sequence[Add | Set | Remove]) -> Job:
    """The job after some small edits, all of them or none.

    Parameters
    ----------
    job : Job
        The job.
    moves : sequence of Add, Set or Remove
        In order.

    Returns
    -------
    Job
        Checked as a whole.

    Raises
    ------
    InputError
        If a place is no such place, an id is taken or missing, or a value cannot be.
    """
    tree = job.model_dump(mode="json")
    for move in moves:
        _apply(tree, move)
    try:
        return Job.model_validate_json(json.dumps(tree), strict=True)  # by the letter: “1” is no number
    except ValidationError as error:
        from_move = error.errors(include_url=False, include_context=False, include_input=False)[0]
        raise InputError(f"{from_move['msg']}", where=".".join(str(step) for step in from_move["loc"])) from None


def _apply(tree: dict[str, Any], move: Add | Set | Remove) -> None:
    found = _at(tree, move.place)
    if isinstance(move, Set) and move.id is None:
        if not isinstance(found, dict):
            raise InputError("this is a list: say which element by its id", where=move.place)
        _set(found, move)
        return
    if not isinstance(found, list):
        raise InputError("this is no list of elements", where=move.place)
    if isinstance(move, Add):
        key = move.value.get("id")
        if key is not None and any(isinstance(e, dict) and e.get("id") == key for e in found):
            raise InputError("there is one with this id already", where=f"{move.place}, “{key}”")
        found.insert(len(found) if move.before is None else _index(found, move.place, move.before), move.value)
        return
    at = _index(found, move.place, move.id or "")
    if isinstance(move, Remove):
        del found[at]
    else:
        _set(found[at], move)


def _set(element: dict[str, Any], move: Set) -> None:
    if "id" in move.values and move.values["id"] != element.get("id"):
        raise InputError("an id is given once and never changed", where=move.place)
    element.update(move.values)


def _at(tree: dict[str, Any], place: str) -> Any:
    node: Any = tree
    for step in place.split("."):
        if not isinstance(node, dict) or step not in node or step in OWN:
            raise InputError("a job has no such place", where=place)
        node = node[step]
    return node


def _index(elements: list[Any], place: str, key: str) -> int:
    for i, element in enumerate(elements):
        if isinstance(element, dict) and element.get("id") == key:
            return i
    raise UnknownReferenceError(f"nothing here is called “{key}”", where=place)
