"""The invented house as a job with its design, for the workbench to be looked at and measured with."""

import tempfile
from pathlib import Path

from demo.write_ifc import write_ifc

from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief, Profile
from wardwright.design.sheet import design_from_sheet
from wardwright.job.from_file import job_from_file
from wardwright.job.model import Job
from wardwright.premises.notes import with_notes

HERE = Path(__file__).resolve().parent


def orchard_lane_job() -> Job:
    """Brought in from an IFC of our own, with the surveyor's notes and the design sheet."""
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder) / "orchard-lane.ifc"
        write_ifc(source)
        job = job_from_file(source, key="orchard-lane", title="12 Orchard Lane (invented)")
    notes = (HERE / "orchard-lane.survey.toml").read_text(encoding="utf-8")
    premises = with_notes(job.premises, notes, where="orchard-lane.survey.toml")
    brief = Brief(client="Ann Weir (invented)", address="12 Orchard Lane", profile=Profile.EU_GRADE_2)
    sheet = (HERE / "orchard-lane.design.toml").read_text(encoding="utf-8")
    design = design_from_sheet(sheet, premises, load_catalogue(), profile=brief.profile)
    return job.model_copy(update={"premises": premises, "brief": brief, "design": design, "invented": True})
