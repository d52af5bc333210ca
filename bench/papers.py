"""Papers of the real detached house with twelve detectors: plans, coverage, routes, both PDFs."""

from bench.routes import detached_house, with_twelve_detectors
from bench.table import Row, best_of

from wardwright.analyses.coverage import coverage_map, hazard_fields
from wardwright.analyses.entry import entry
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.documents.dossier import client_papers, firm_papers
from wardwright.documents.drawing import plan_drawing
from wardwright.documents.frame import A3
from wardwright.documents.sheet import TitleBlock
from wardwright.estimate.offers import offers
from wardwright.estimate.tariff import load_tariff
from wardwright.job.model import Job
from wardwright.prove import Proof

DATE = "2026-01-02"


def proof() -> Proof | None:
    """What the papers are made from; None where the real house is not at hand."""
    premises = detached_house()
    if premises is None:
        return None
    scheme = with_twelve_detectors(premises)
    fields = {mode: hazard_fields(scheme, mode) for mode in Mode}
    return Proof(
        job=Job(id="bench", title="Detached house", premises=scheme.premises, design=scheme.design),
        scheme=scheme,
        findings=(),
        entry=entry(scheme, fields),
        routes=tuple(routes(scheme, mode, fields[mode]) for mode in Mode),
        coverage=coverage_map(scheme, Mode.AWAY),
        offers=offers(scheme.design, scheme.catalogue, tariff=load_tariff(), premises=scheme.premises),
    )


def rows() -> list[Row]:
    """Measure."""
    made = proof()
    if made is None:
        return [Row("papers: the real house is not here; set WARDWRIGHT_SHARED", "not measured")]
    block = TitleBlock("", "Detached house", "", "Devices", "", DATE, "draft", "")
    storey = made.scheme.premises.storeys[0].id
    plan = best_of(3, lambda: plan_drawing(made.scheme, storey, paper=A3, block=block))
    client = best_of(3, lambda: client_papers(made, date=DATE))
    firm = best_of(3, lambda: firm_papers(made, copy_number=1, to="bench", date=DATE))
    locked = best_of(
        3, lambda: firm_papers(made, copy_number=1, to="bench", date=DATE, passphrase="only for measuring")
    )
    return [
        Row(f"papers: plan of one storey, {len(made.scheme.fitted)} devices", f"{plan * 1000:.0f} ms"),
        Row("papers: the client's proposal", f"{client * 1000:.0f} ms"),
        Row(
            "papers: the firm's dossier", f"{firm * 1000:.0f} ms", "the proposal", f"{firm / client:.1f} ×", "under 1 s"
        ),
        Row("papers: the same, encrypted", f"{locked * 1000:.0f} ms", "not encrypted", f"{locked / firm:.1f} ×"),
    ]
