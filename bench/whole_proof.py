"""The main job on the real house: intake, and the whole proof with its design, on one core."""

import os
from pathlib import Path

from bench.routes import with_twelve_detectors
from bench.table import Row, best_of

from wardwright.catalogue.load import load_catalogue
from wardwright.design.sheet import design_from_sheet
from wardwright.intake.open_file import read_premises
from wardwright.job.model import Job
from wardwright.premises.notes import with_notes
from wardwright.prove import prove

ROOT = Path(__file__).resolve().parent.parent


def rows() -> list[Row]:
    """Measure."""
    path = Path(os.environ.get("WARDWRIGHT_SHARED", ROOT.parent / "shared")) / "data" / "premises" / "house-fzk.ifc"
    if not path.is_file():
        return [Row("whole job: the real house is not here; set WARDWRIGHT_SHARED", "not measured")]
    intake = best_of(2, lambda: read_premises(path))
    premises = read_premises(path).premises
    catalogue = load_catalogue()
    twelve = with_twelve_detectors(premises)
    plain = Job(id="bench", title="Detached house", premises=twelve.premises, design=twelve.design)
    lived_in = with_notes(premises, (ROOT / "demo" / "house-fzk.survey.toml").read_text(encoding="utf-8"))
    sheet = (ROOT / "demo" / "house-fzk.design.toml").read_text(encoding="utf-8")
    design = design_from_sheet(sheet, lived_in, catalogue)
    whole = plain.model_copy(update={"premises": lived_in, "design": design})
    found = [Row("whole job: intake of the IFC", f"{intake * 1000:.0f} ms")]
    for name, job in (("12 motion detectors and contacts", plain), (f"{len(design.devices)} devices", whole)):
        taken = best_of(3, lambda job=job: prove(job, catalogue, today="2026-01-02"))  # type: ignore[misc]
        found.append(
            Row(f"whole job: proof, {name}", f"{taken * 1000:.0f} ms", "1 s", f"{taken:.2f} ×", "under 1 s warm")
        )
    return found
