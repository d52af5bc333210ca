"""Placement: proved layouts, gap and time; and what proving costs again after one detector was moved."""

import time
from collections.abc import Callable

from bench.invented_buildings import open_hall, rooms_in_rows
from bench.routes import detached_house
from bench.table import Row
from bench.whole_proof import ROOT
from demo.write_ifc import write_ifc

from wardwright.analyses import field_store
from wardwright.analyses.kept_routes import forget_routes
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.estimate.tariff import load_tariff
from wardwright.job.from_file import job_from_file
from wardwright.job.model import Job
from wardwright.placement.layout import lay_out
from wardwright.placement.proposal import Problem, Proposal, finished, problem_of
from wardwright.placement.wants import Aims
from wardwright.premises.model import Premises
from wardwright.premises.notes import with_notes
from wardwright.prove import prove
from wardwright.worked_out import forget_all

DAY = "2026-01-02"


def rows() -> list[Row]:
    """Measure."""
    found = []
    house = detached_house()
    if house is None:
        found.append(Row("placing: the real house is not here; set WARDWRIGHT_SHARED", "not measured"))
    else:
        lived_in = with_notes(house, (ROOT / "demo" / "house-fzk.survey.toml").read_text(encoding="utf-8"))
        row, proposal = _placed("the real house", lived_in, Brief(), 60.0, "proved, < 5 s on two cores")
        found += [row, *_again(proposal)]
    found.append(_placed("the invented house", _orchard(), Brief(detect_before_target=0.6), 60.0, "proved, < 5 s")[0])
    empty = Brief(asleep_upstairs=False)
    found.append(_placed("12 rooms, 800 m²", rooms_in_rows(4, 3, 10.0, 6.67), empty, 30.0, "< 30 s")[0])
    found.append(_placed("open hall, 800 m²", open_hall(), empty, 30.0, "gap < 10 % in 30 s")[0])
    return found


def _orchard() -> Premises:
    drawing = ROOT / "out" / "bench" / "orchard-lane.ifc"
    drawing.parent.mkdir(parents=True, exist_ok=True)
    write_ifc(drawing)
    premises = job_from_file(drawing, key="orchard", title="Orchard Lane (invented)").premises
    return with_notes(premises, (ROOT / "demo" / "orchard-lane.survey.toml").read_text(encoding="utf-8"))


def _placed(name: str, premises: Premises, brief: Brief, limit: float, aim: str) -> tuple[Row, Proposal]:
    """From nothing: candidates, their hazard, the search."""
    field_store.forget()
    job = Job(id="bench", title=name, premises=premises, brief=brief)
    begin = time.perf_counter()
    problem: Problem = problem_of(job, load_catalogue(), load_tariff())
    assert problem.chances.fields
    hazard = time.perf_counter() - begin
    layout = lay_out(problem.chances, Aims.of(brief), problem.pricings, time_limit_s=limit)
    whole = time.perf_counter() - begin
    said = "proved" if layout.proved else f"gap {100.0 * layout.gap:.1f} %"
    text = f"placing: {name}, {len(problem.chances.candidates)} candidates, {len(layout.rounds)} rounds"
    row = Row(text, f"{said}, {whole:.1f} s (hazard {hazard:.1f} s)", aim=aim)
    return row, finished(problem, layout, today=DAY)


def _again(proposal: Proposal) -> list[Row]:
    """A motion detector moved a little, everything else the same."""
    job, catalogue = proposal.job, load_catalogue()
    device = next(d for d in job.design.devices if d.id.startswith(("PIR", "PIW")))

    def moved(by: float) -> Job:
        there = device.model_copy(update={"position": (device.position[0] + by, device.position[1])})
        devices = tuple(there if d.id == device.id else d for d in job.design.devices)
        return job.model_copy(update={"design": job.design.model_copy(update={"devices": devices})})

    def taken(work: Callable[[], object]) -> float:
        begin = time.process_time()
        work()
        return time.process_time() - begin

    field_store.forget()
    forget_routes()
    forget_all()
    nothing = taken(lambda: prove(job, catalogue, today=DAY))
    again = min(taken(lambda k=k: prove(moved(0.03 * k), catalogue, today=DAY)) for k in (1, 2, 3))  # type: ignore[misc]
    return [
        Row(
            "proving again after one detector was moved",
            f"{1e3 * again:.0f} ms",
            f"from nothing {1e3 * nothing:.0f} ms",
            f"{again / nothing:.2f} ×",
            "<= 0.10 ×",
        )
    ]
