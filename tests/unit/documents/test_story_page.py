"""How the system works, from the job itself: true to the panel, and for a client without anything telling."""

import io

import pypdf
import pytest
from tests.house import scheme

from wardwright.catalogue.load import load_catalogue
from wardwright.documents.client_view import hidden_devices
from wardwright.documents.dossier import client_papers, firm_papers
from wardwright.documents.story_page import stories
from wardwright.job.model import Job
from wardwright.prove import Proof, prove

DATE = "2026-11-25"


@pytest.fixture(scope="module")
def proof() -> Proof:
    system = scheme()
    job = Job(id="house", title="Invented house", premises=system.premises, design=system.design, brief=system.brief)
    return prove(job, load_catalogue(), today=DATE, with_coverage=True)


def text(pdf: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages).split())


def test_a_job_tells_of_going_out_and_of_a_break_in_it_notices(proof: Proof) -> None:
    told = {s.heading: s.timeline for s in proof.stories}
    assert {"Going out and coming home", "Somebody breaks in while you are out"} <= set(told)
    assert not told["Going out and coming home"].false_alarms
    (intrusion,) = told["Somebody breaks in while you are out"].intrusions
    assert intrusion.in_time(monitored=True)


def test_without_a_detector_there_is_no_break_in_to_show() -> None:
    system = scheme()
    left = tuple(d for d in system.design.devices if d.id in ("panel", "keypad", "communicator"))
    bare = system.design.model_copy(update={"devices": left})
    job = Job(id="house", title="Bare", premises=system.premises, design=bare, brief=system.brief)
    found = prove(job, load_catalogue(), today=DATE, with_coverage=True)
    assert not [s for s in found.stories if s.timeline.intrusions]


def test_the_clients_paper_has_the_page_and_nothing_telling_on_it(proof: Proof) -> None:
    words = text(client_papers(proof, date=DATE))
    assert "How your system works" in words
    assert "Somebody breaks in while you are out" in words
    rows, _ = stories(proof, firm=False)
    cells = " ".join(value for story in rows for row in story["rows"] for value in row.values())
    for device in hidden_devices(proof.scheme):
        assert device.id not in cells.split()
    for word in ("Jewellery", "p-ip", "swinger", "1131", "opened", "glass broken"):
        assert word not in cells


def test_the_firms_paper_has_the_codes(proof: Proof) -> None:
    words = text(firm_papers(proof, copy_number=1, to="us", date=DATE))
    assert "How the system works" in words
    assert "3401 01 000; CL" in words  # closing, area 1: SIA DC-05 and DC-03, from memory
