"""The register of papers issued: what left the house, to whom, and what it was computed from."""

import hashlib
from collections.abc import Iterable

from wardwright.catalogue.kinds import Catalogue
from wardwright.errors import InputError
from wardwright.findings import Finding, Outcome, Weight
from wardwright.job.ids import used_ids
from wardwright.job.model import Issued, Job


def next_copy_number(job: Job, paper: str) -> int:
    """Number of the next copy of a paper; numbers run on and are never used again."""
    return max((issued.copy_number for issued in job.issued if issued.paper == paper), default=0) + 1


def issue(
    job: Job,
    *,
    paper: str,
    copy_number: int,
    to: str,
    date: str,
    content: bytes,
    catalogue: Catalogue,
    findings: Iterable[Finding] = (),
    prices: dict[str, str] | None = None,
) -> Job:
    """The job with one more paper in its register.

    Parameters
    ----------
    job : Job
        The job the paper was made from.
    paper : str
        Which paper: ``client``, ``firm``.
    copy_number : int
        Number printed on it, from :func:`next_copy_number`.
    to : str
        Whom it was given to.
    date : str
        ISO date printed on it.
    content : bytes
        The file as it was handed over.
    catalogue : Catalogue
        List of kinds it was computed from; the rows in use are kept with the record.
    findings : iterable of Finding, optional
        What it says; the sources they rest on, and which required claims are met or stand open, are kept.
    prices : dict of str, optional
        Names and totals of what was offered.

    Returns
    -------
    Job
        With the record added; nothing that was there is changed.

    Raises
    ------
    InputError
        If that copy number was issued before, or nobody is named.
    """
    if not to.strip():
        raise InputError("a paper is issued to somebody: say to whom", where=f"{paper}, copy {copy_number}")
    if any(i.paper == paper and i.copy_number == copy_number for i in job.issued):
        raise InputError("this copy number was issued before", where=f"{paper}, copy {copy_number}")
    taken = used_ids(job)
    number = len(job.issued) + 1
    while f"I-{number}" in taken:
        number += 1
    said = tuple(findings)
    met = [f for f in said if f.weight is Weight.REQUIRED and f.outcome is Outcome.MET]
    used = sorted({d.kind for d in job.design.devices} | {b.kind for b in job.design.backups})
    record = Issued(
        id=f"I-{number}",
        paper=paper,
        copy_number=copy_number,
        to=to,
        date=date,
        fingerprint=hashlib.sha256(content).hexdigest(),
        catalogue_edition=catalogue.edition,
        snapshot={
            "kinds": {key: catalogue.kinds[key].model_dump(mode="json") for key in used if key in catalogue.kinds},
            "sources": sorted({finding.citation for finding in said if finding.citation}),
            "held": sorted({f.identity for f in met}),
            "rules": sorted({f.rule for f in met}),
            "standing": sorted({f.identity for f in said if f.refutes or f.blocks}),
            "prices": dict(prices or {}),
        },
    )
    return job.model_copy(update={"issued": (*job.issued, record)})
