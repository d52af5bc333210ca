"""Ids within a job: readable, and never used twice, not even after what they named is gone."""

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from wardwright.errors import InputError
from wardwright.job.model import Job


def used_ids(job: Job) -> frozenset[str]:
    """Every id that is or ever was used in a job.

    Parameters
    ----------
    job : Job
        The job, with its revisions.

    Returns
    -------
    frozenset of str
        Ids in use anywhere in the job, in its revisions, and those retired.
    """
    return live_ids(job) | frozenset(job.retired_ids)


def live_ids(job: Job) -> frozenset[str]:
    """Every id in use in a job.

    Parameters
    ----------
    job : Job
        The job, with its revisions.

    Returns
    -------
    frozenset of str
        Ids in use anywhere in the job and in its revisions.
    """
    return frozenset(_ids_in(job))


def _ids_in(value: Any) -> Iterator[str]:
    if isinstance(value, BaseModel):
        key = getattr(value, "id", None)
        if isinstance(key, str):
            yield key
        for name in type(value).model_fields:
            yield from _ids_in(getattr(value, name))
    elif isinstance(value, tuple | list):
        for item in value:
            yield from _ids_in(item)


def next_id(job: Job, prefix: str) -> str:
    """The first free id of the form ``prefix-1``, ``prefix-2``, …

    Parameters
    ----------
    job : Job
        The job.
    prefix : str
        Short word for the kind of element.

    Returns
    -------
    str
        An id that was never used in this job.
    """
    used = used_ids(job)
    number = 1
    while f"{prefix}-{number}" in used:
        number += 1
    return f"{prefix}-{number}"


def replaced(before: Job, after: Job) -> Job:
    """The job after an edit, with every id that the edit dropped put on the retired list.

    Parameters
    ----------
    before, after : Job
        The job as it was and as it is to be.

    Returns
    -------
    Job
        ``after``, remembering what is gone.

    Raises
    ------
    InputError
        If the edit brings back an id that was retired.
    """
    live_before, live_after = live_ids(before), live_ids(after)
    back = sorted((live_after - live_before) & frozenset(before.retired_ids))
    if back:
        raise InputError(f"the id “{back[0]}” was used before in this job; choose another", where=before.id)
    retired = sorted(frozenset(before.retired_ids) | (live_before - live_after))
    return after.model_copy(update={"retired_ids": tuple(retired)})
