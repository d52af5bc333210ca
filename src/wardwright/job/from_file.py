"""A new job from a building's file."""

from collections.abc import Sequence
from pathlib import Path

from wardwright.intake.draft import Assumption
from wardwright.intake.open_file import read_premises
from wardwright.job.model import IntakeNote, Job


def job_from_file(
    file: Path,
    *,
    key: str,
    title: str | None = None,
    scale: float | None = None,
    unit: str | None = None,
    plan: str | None = None,
) -> Job:
    """A new job from a building's file, with every guess of the intake kept as a note.

    Parameters
    ----------
    file : Path
        IFC, DXF, plan JSON or tape survey.
    key : str
        Id of the job.
    title : str, optional
        Title of the job; the building's name if left out.
    scale : float, optional
        Metres in one unit of the file. [m]
    unit : str, optional
        The file's unit by name.
    plan : str, optional
        Which plan, where the file holds several.

    Returns
    -------
    Job
        With an empty design.
    """
    found = read_premises(file, scale=scale, unit=unit, plan=plan)
    notes = notes_of(found.assumptions)
    return Job(id=key, title=title or found.premises.name, premises=found.premises, intake=notes)


def notes_of(assumptions: Sequence[Assumption]) -> tuple[IntakeNote, ...]:
    """Guesses of the intake as a job keeps them."""
    return tuple(
        IntakeNote(what=a.what, where=a.where, assumed=a.assumed, correct_by=a.correct_by, missing=a.missing)
        for a in assumptions
    )
