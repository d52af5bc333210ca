"""Site records and revisions: added, never changed, so that two phones can be merged."""

from pydantic import ValidationError

from wardwright.analyses.readings import measured_spread, measured_value
from wardwright.design.brief import Reading
from wardwright.design.reading_places import place_wanted, reading_places
from wardwright.errors import InputError
from wardwright.job.ids import next_id, used_ids
from wardwright.job.model import Job, Revision, SiteRecord


def add_site_record(job: Job, record: SiteRecord) -> Job:
    """The job with one more thing done on site.

    Parameters
    ----------
    job : Job
        The job.
    record : SiteRecord
        With an id never used in this job.

    Returns
    -------
    Job
        With the record added.

    Raises
    ------
    InputError
        If the id was used before; if a reading names no place its quantity can be read at, or a unit that does not fit.
    """
    reading = record.reading
    if reading is not None:
        if reading.at not in reading_places(reading.quantity, job.design, job.premises):
            said = f"{reading.quantity} cannot be read at “{reading.at}”: give {place_wanted(reading.quantity)}"
            raise InputError(said, where="reading")
        measured_value(reading)
        measured_spread(reading)
    if record.id in used_ids(job):
        raise InputError("a site record is added once and never changed; this id is taken", where=record.id)
    return job.model_copy(update={"site": (*job.site, record)})


def with_reading(
    job: Job,
    *,
    quantity: str,
    at: str,
    value: float,
    unit: str,
    instrument: str,
    by: str,
    date: str,
    uncertainty: float | None = None,
) -> Job:
    """The job with one more reading taken on site.

    Parameters
    ----------
    job : Job
        The job.
    quantity, at : str
        What was measured, and the id of the element it was read at.
    value : float
        What the instrument showed, in ``unit``.
    unit, instrument, by, date : str
        Its unit, what it was measured with, by whom, and the ISO date.
    uncertainty : float, optional
        Of the instrument, in ``unit``.

    Returns
    -------
    Job
        With the reading as its last site record.

    Raises
    ------
    InputError
        If no such quantity is read, it cannot be read there, or the unit does not fit.
    """
    key = next_id(job, "site")
    given = {
        "id": f"{key}-reading", "quantity": quantity, "at": at, "value": value, "unit": unit, "date": date,
        "instrument": instrument, "by": by, "uncertainty": uncertainty,
    }  # fmt: skip
    try:
        taken = Reading.model_validate(given)
    except ValidationError as error:
        raise InputError("; ".join(f"{e['loc'][0]}: {e['msg']}" for e in error.errors()), where="reading") from None
    return add_site_record(job, SiteRecord(id=key, date=date, by=by, kind="reading", about=(at,), reading=taken))


def merge_site_records(job: Job, other: Job) -> Job:
    """The job with the site records of another copy of it.

    Parameters
    ----------
    job, other : Job
        Two copies of one job.

    Returns
    -------
    Job
        ``job`` with every record of both, in order of date, then id.

    Raises
    ------
    InputError
        If they are different jobs, or one id stands for two different records.
    """
    if job.id != other.id:
        raise InputError(f"these are two different jobs, “{job.id}” and “{other.id}”", where=job.id)
    merged = {record.id: record for record in job.site}
    for record in other.site:
        if merged.setdefault(record.id, record) != record:
            raise InputError("the two copies hold different records under one id", where=record.id)
    ordered = sorted(merged.values(), key=lambda r: (r.date, r.id))
    return job.model_copy(update={"site": tuple(ordered)})


def keep_revision(job: Job, revision: Revision) -> Job:
    """The job with its design kept under the name of what it is: surveyed, sold, as fitted, altered.

    Parameters
    ----------
    job : Job
        The job.
    revision : Revision
        With an id never used in this job.

    Returns
    -------
    Job
        With the revision added.

    Raises
    ------
    InputError
        If the id was used before.
    """
    if revision.id in used_ids(job):
        raise InputError("this id is taken", where=revision.id)
    return job.model_copy(update={"revisions": (*job.revisions, revision)})
