"""The main job, twice: an invented house that comes in as an IFC of our own, and a real one where its file is at hand.

``./dev demo`` runs it and says where the papers are. The same steps by hand are in the README.
"""

import os
import sys
import time
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from demo.write_ifc import write_ifc  # noqa: E402
from rich.console import Console  # noqa: E402

from wardwright.analyses.scenario.playing import play  # noqa: E402
from wardwright.analyses.scenario.script import scenario_from_text  # noqa: E402
from wardwright.analyses.scenario.timeline import Timeline  # noqa: E402
from wardwright.catalogue.load import load_catalogue  # noqa: E402
from wardwright.design.brief import Brief, Profile  # noqa: E402
from wardwright.design.devices import Device  # noqa: E402
from wardwright.design.sheet import design_from_sheet  # noqa: E402
from wardwright.documents.client_story import client_story  # noqa: E402
from wardwright.documents.client_view import visible_devices  # noqa: E402
from wardwright.documents.dossier import client_papers, firm_papers  # noqa: E402
from wardwright.documents.playing_page import playing_page  # noqa: E402
from wardwright.documents.register import issue, next_copy_number  # noqa: E402
from wardwright.documents.verdict_table import verdict_table  # noqa: E402
from wardwright.errors import InputError  # noqa: E402
from wardwright.estimate.tariff import load_tariff  # noqa: E402
from wardwright.findings import Outcome  # noqa: E402
from wardwright.job.departures import accept  # noqa: E402
from wardwright.job.from_file import job_from_file  # noqa: E402
from wardwright.job.model import Firm, Job  # noqa: E402
from wardwright.premises.notes import with_notes  # noqa: E402
from wardwright.prove import Proof, prove, with_departures  # noqa: E402
from wardwright.storage.firm import today  # noqa: E402
from wardwright.storage.job_file import save_job, write_whole  # noqa: E402

FIRM = Firm(
    name="Weir Lane Alarms (invented)",
    address="2 Weir Lane, Millbridge (invented)",
    telephone="000 0000",
    licence="none: an invented firm",
)


def whole_job(
    source: Path,
    out: Path,
    *,
    title: str,
    brief: Brief,
    notes: Path,
    sheet: Path,
    accepted: Mapping[tuple[str, str], str] | None = None,
) -> Proof:
    """From a building's file to a proved design, a price and papers.

    Parameters
    ----------
    source : Path
        The building's file.
    out : Path
        Folder for the job and its papers.
    title : str
        Title of the job.
    brief : Brief
        What was asked for.
    notes : Path
        What a surveyor notes and no drawing shows.
    sheet : Path
        The design sheet.
    accepted : mapping, optional
        Why a finding is taken on, by its rule and the element it is about.

    Returns
    -------
    Proof
        The proof the papers were made from.
    """
    day = today()
    catalogue, tariff = load_catalogue(), load_tariff()
    job = job_from_file(source, key=out.name, title=title)
    premises = with_notes(job.premises, notes.read_text(encoding="utf-8"), where=notes.name)
    job = job.model_copy(update={"premises": premises, "brief": brief, "firm": FIRM, "invented": True})
    design = design_from_sheet(
        sheet.read_text(encoding="utf-8"), job.premises, catalogue, profile=brief.profile, where=sheet.name
    )
    job = job.model_copy(update={"design": design})
    proof = prove(job, catalogue, today=day, tariff=tariff, with_coverage=True)
    for finding in proof.findings:
        why = (accepted or {}).get((finding.rule, finding.about[0] if finding.about else ""))
        if why and finding.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
            job = accept(job, finding, who=brief.client, why=why, when=day)
    proof = with_departures(proof, job, today=day)
    job = papers_of(job, proof, out, day)
    save_job(job, out / "job.json")
    return proof


def papers_of(job: Job, proof: Proof, out: Path, day: str) -> Job:
    """Write both readers' papers and log them in the job."""
    number = next_copy_number(job, "firm")
    made = {
        "client": client_papers(proof, date=day),
        "firm": firm_papers(proof, copy_number=number, to=FIRM.name, date=day),
    }
    for paper, content in made.items():
        write_whole(out / f"{paper}.pdf", content)
        job = issue(
            job,
            paper=paper,
            copy_number=next_copy_number(job, paper),
            to=job.brief.client if paper == "client" else FIRM.name,
            date=day,
            content=content,
            catalogue=proof.scheme.catalogue,
            findings=proof.findings,
        )
    return job


def orchard_lane(out: Path) -> Proof:
    """The invented house."""
    drawing = out / "orchard-lane.ifc"
    out.mkdir(parents=True, exist_ok=True)
    write_ifc(drawing)
    return whole_job(
        drawing,
        out,
        title="Orchard Lane (invented)",
        brief=Brief(
            client="Ines and Tomas (invented)",
            address="7 Orchard Lane, Millbridge (invented)",
            profile=Profile.EU_GRADE_2,
            wishes=("Shop and home set apart", "The dog has the run of kitchen and hall"),
            limits=("No cable to be seen in the shop",),
            detect_before_target=0.6,
            confirm_within_s=60.0,
        ),
        notes=ROOT / "demo" / "orchard-lane.survey.toml",
        sheet=ROOT / "demo" / "orchard-lane.design.toml",
        accepted={
            ("route.confirmed-in-time", "keys"): "The keys will hang in the bedroom; the hook by the door goes.",
            ("route.confirmed-in-time", "stock"): "Nothing of worth stays on the shelf by the window overnight.",
        },
    )


def scenarios_of(proof: Proof, out: Path) -> list[Path]:
    """Play the demonstration scenarios: a page that moves for the firm each, and for the client where there is one."""
    scheme, written = proof.scheme, []
    for path in sorted((ROOT / "demo" / "scenarios").glob("*.toml")):
        script = scenario_from_text(path.read_text(encoding="utf-8"), where=path.name)
        timeline = play(scheme, script, proof.timing)
        told: list[tuple[str, Timeline, tuple[Device, ...]]] = [("firm", timeline, scheme.fitted)]
        with suppress(InputError):  # it has no page for a client
            told.append(
                ("client", client_story(scheme, script, timeline, proof.timing).timeline, visible_devices(scheme))
            )
        for reader, shown, devices in told:
            page = playing_page(
                scheme,
                shown,
                devices=devices,
                firm=reader == "firm",
                subtitle=f"{proof.job.title}, for the {reader}",
                invented=True,
            )
            written.append(out / f"{path.stem}-{reader}.html")
            write_whole(written[-1], page.encode())
    return written


def real_house(source: Path, out: Path) -> Proof:
    """A real building nobody here drew, with a design of ours."""
    return whole_job(
        source,
        out,
        title="House FZK, design invented",
        brief=Brief(
            client="A household (invented)",
            profile=Profile.EU_GRADE_2,
            detect_before_target=0.6,
        ),
        notes=ROOT / "demo" / "house-fzk.survey.toml",
        sheet=ROOT / "demo" / "house-fzk.design.toml",
    )


def main() -> None:
    """Run both jobs and say where the papers are."""
    console = Console()
    started = time.perf_counter()
    folder = ROOT / "out"
    shared = Path(os.environ.get("WARDWRIGHT_SHARED", ROOT.parent / "shared"))
    real = shared / "data" / "premises" / "house-fzk.ifc"
    written = [folder / "orchard-lane"]
    console.rule("Orchard Lane, an invented house with a shop and a workshop")
    proof = orchard_lane(folder / "orchard-lane")
    console.print(verdict_table(proof))
    pages = scenarios_of(proof, folder / "orchard-lane")
    if real.is_file():
        console.rule("House FZK, a real building with a design of ours")
        console.print(verdict_table(real_house(real, folder / "house-fzk")))
        written.append(folder / "house-fzk")
    else:
        console.print(f"The real house is not at hand ({real}); set WARDWRIGHT_SHARED to the folder that holds it.")
    console.print(f"\nDone in {time.perf_counter() - started:.1f} s. Papers:")
    for each in written:
        for paper in ("client.pdf", "firm.pdf", "job.json"):
            console.print(f"  {each / paper}", soft_wrap=True)
    console.print("Pages that move, for a browser:")
    for each in pages:
        console.print(f"  {each}", soft_wrap=True)


if __name__ == "__main__":
    main()
