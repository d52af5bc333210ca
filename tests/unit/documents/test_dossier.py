"""The two papers: what is in them, and above all what is not."""

import io
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdf
import pytest
from tests.unit.documents import invented_house as house

from wardwright.design.brief import Profile
from wardwright.documents.client_view import hidden_devices
from wardwright.documents.dossier import client_papers, firm_papers
from wardwright.documents.drawing import plan_drawing
from wardwright.documents.frame import A3
from wardwright.documents.lettering import font_folder
from wardwright.documents.sheet import INVENTED, TitleBlock
from wardwright.documents.typesetting import typeset
from wardwright.errors import InputError, PaperError
from wardwright.premises.model import Premises

DATE = "2026-11-25"


def pages(pdf: bytes, password: str | None = None) -> list[str]:
    reader = pypdf.PdfReader(io.BytesIO(pdf), password=password)
    return [" ".join(page.extract_text().split()) for page in reader.pages]


@pytest.fixture(scope="module")
def client() -> bytes:
    return client_papers(house.proof(), date=DATE)


@pytest.fixture(scope="module")
def firm() -> bytes:
    return firm_papers(house.proof(), copy_number=3, to="the engineer", date=DATE)


def test_the_client_reads_what_was_asked_and_what_is_offered(client: bytes) -> None:
    text = " ".join(pages(client))
    for words in (
        "What you asked for",
        "Sleep upstairs with the ground floor watched",
        "No cable to be seen in the living room",
        "What we propose",
        "Passive infrared detector, pet tolerant",
        "How it works",
        "What it costs",
        "Essential",
        "As specified",
        "Extended",
        "Is every way in watched?",
        "The slowest of you reaches the keypad in time.",
        "the cable is bricked in",
        "Cautions",
        "What this paper does not do",
        "Scale 1:100 on A4",
    ):
        assert words in text, words


def test_the_client_reads_nothing_a_burglar_could_use(client: bytes) -> None:
    proof = house.proof()
    text = " ".join(pages(client))
    for device in hidden_devices(proof.scheme):
        assert device.id not in text
        assert device.name not in text
        assert proof.scheme.kind_of(device).tag not in text.split(), "its tag is on no plan"
    for word in (
        "quietest",
        "fastest",
        "best-timed",
        "Tools",
        "Jewellery",
        "margin",
        "dB",
        "nothing confirms",
        "coats",
    ):
        assert word not in text, word
    assert "We go through it with you in person" in text
    raw = b"".join(
        stream.get_data()
        for page in pypdf.PdfReader(io.BytesIO(client)).pages
        for stream in [page.get_contents()]
        if stream
    )
    assert b"CP-1" not in raw
    assert not pypdf.PdfReader(io.BytesIO(client)).attachments


def test_the_firm_finds_everything(firm: bytes) -> None:
    proof = house.proof()
    text = " ".join(pages(firm))
    design = proof.scheme.design
    ids = [x.id for group in (design.devices, design.loops, design.cables, design.feeds) for x in group]
    for key in ids:
        assert key in text, key
    for finding in proof.findings:
        if finding.outcome.value != "does not apply":
            assert finding.rule.split(".")[-1] in text.replace("- ", "-") or finding.rule in text, finding.rule
    for words in (
        "Three routes, away",
        "Coverage, away",
        "quietest",
        "Battery at CP-1",
        "Test plan",
        "Intake report",
        "T-1",
    ):
        assert words in text, words
    assert "Governed by: battery age" in text
    assert "power.old PIR-9" in text, "a lapsed acceptance is printed"
    assert "HSG264" in text and "EHS-LEAD-ACID" in text, "what is cited stands under the sources"
    assert "CFR40-745E" not in text, "what is not cited does not"


def test_every_page_carries_its_head(client: bytes, firm: bytes) -> None:
    for page in pages(firm):
        assert "copy 3" in page and "confidential" in page and "Hopgarth Lane 3" in page
    for page in (*pages(client), *pages(firm)):
        assert INVENTED in page
    honest = house.proof()
    honest = replace(honest, job=honest.job.model_copy(update={"invented": False}))
    assert not any(INVENTED in page for page in pages(client_papers(honest, date=DATE)))


def test_the_same_input_gives_the_same_bytes(client: bytes, firm: bytes) -> None:
    assert client_papers(house.proof(), date=DATE) == client
    assert firm_papers(house.proof(), copy_number=3, to="the engineer", date=DATE) == firm
    assert client_papers(house.proof(), date="2026-11-26") != client


def test_papers_are_tagged_archival_and_in_our_typeface(client: bytes, firm: bytes) -> None:
    for pdf in (client, firm):
        reader = pypdf.PdfReader(io.BytesIO(pdf))
        assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"] == True  # noqa: E712  # a PDF boolean
        assert reader.trailer["/Root"]["/Lang"].startswith("en")
        metadata = reader.trailer["/Root"]["/Metadata"].get_object().get_data()
        assert b"<pdfaid:part>3</pdfaid:part>" in metadata
        assert b"<pdfaid:conformance>A</pdfaid:conformance>" in metadata
        fonts = {
            str(font.get_object()["/BaseFont"])
            for page in reader.pages
            for font in page["/Resources"].get("/Font", {}).values()
        }
        assert fonts and all("SourceSans3" in font for font in fonts), fonts


def test_schedules_are_embedded(firm: bytes) -> None:
    attached = pypdf.PdfReader(io.BytesIO(firm)).attachments
    assert {"devices.csv", "zones.csv", "loops.csv", "cables.csv", "feeds.csv", "findings.csv", "estimate.csv"} <= set(
        attached
    )
    devices = attached["devices.csv"][0].decode("utf-8-sig")
    assert devices.splitlines()[0].startswith("id,tag,kind")
    assert "PIR-2" in devices


def test_encryption_opens_only_with_the_passphrase() -> None:
    phrase = "four quite ordinary words"
    pdf = firm_papers(house.proof(), copy_number=4, to="the engineer", date=DATE, passphrase=phrase)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.is_encrypted
    with pytest.raises(pypdf.errors.FileNotDecryptedError):
        reader.pages[0].extract_text()
    assert pypdf.PdfReader(io.BytesIO(pdf)).decrypt("four quite ordinary word") == pypdf.PasswordType.NOT_DECRYPTED
    assert "copy 4" in pages(pdf, phrase)[0]
    assert "devices.csv" in pypdf.PdfReader(io.BytesIO(pdf), password=phrase).attachments
    assert b"PIR-2" not in pdf and b"Hopgarth" not in pdf
    encryption = pypdf.PdfReader(io.BytesIO(pdf), password=phrase).trailer["/Encrypt"].get_object()
    assert (encryption["/V"], encryption["/R"], encryption["/Length"]) == (5, 6, 256)
    with pytest.raises(InputError, match="12 characters"):
        firm_papers(house.proof(), copy_number=4, to="x", date=DATE, passphrase="short")
    with pytest.raises(InputError, match="to whom"):
        firm_papers(house.proof(), copy_number=4, to=" ", date=DATE)


def test_a_missing_font_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copy(font_folder() / "OFL.md", tmp_path)
    monkeypatch.setattr("wardwright.documents.typesetting.font_folder", lambda: tmp_path)
    with pytest.raises(PaperError, match="unknown font family: source sans 3"):
        client_papers(house.proof(), date=DATE)


def test_a_template_that_lacks_its_data_is_refused() -> None:
    with pytest.raises(PaperError, match="could not be set"):
        typeset("client", {"title": "x"}, date=DATE)


def test_american_papers_are_letter_and_in_feet() -> None:
    pdf = client_papers(house.proof(Profile.US_HOME), date=DATE)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    sizes = {(round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in reader.pages}
    assert sizes == {(612, 792), (792, 612)}
    assert any("1/8 in = 1 ft (1:96)" in text for text in pages(pdf))


def test_a_bare_proof_is_papered_too() -> None:
    proof = house.proof()
    scheme = type(proof.scheme)(
        proof.scheme.premises, type(proof.scheme.design)(), proof.scheme.catalogue, proof.scheme.brief
    )
    bare = replace(
        proof, scheme=scheme, findings=(), accepted=(), lapsed=(), entry=None, routes=(), power=None, loops=None,
        timing=None, coverage=(), estimate=None, offers=(),
    )  # fmt: skip
    assert "The design is not far enough to be judged." in pages(client_papers(bare, date=DATE))[0]
    assert "there is no design to speak of yet" in pages(firm_papers(bare, copy_number=1, to="x", date=DATE))[0]


def test_words_are_never_taken_for_commands() -> None:
    proof = house.proof()
    brief = proof.scheme.brief.model_copy(
        update={"client": '#panic("x") *bold* $x$ <tag> \\', "wishes": ('#include "x"',)}
    )
    scheme = type(proof.scheme)(proof.scheme.premises, proof.scheme.design, proof.scheme.catalogue, brief)
    text = " ".join(pages(client_papers(replace(proof, scheme=scheme), date=DATE)))
    assert '#panic("x") *bold* $x$ <tag> \\' in text and '#include "x"' in text


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler) is not installed")
def test_a_wall_of_ten_metres_is_a_hundred_millimetres(tmp_path: Path) -> None:
    premises = Premises(
        name="One wall",
        storeys=(house.premises().storeys[0],),
        walls=(house.wall("W", "GF", 1.0, 1.0, 11.0, 1.0, 0.3), house.wall("X", "GF", 0.0, 20.0, 20.0, 20.0, 0.1)),
    )
    scheme = house.scheme()
    bare = type(scheme)(premises, type(scheme.design)(), scheme.catalogue, scheme.brief)
    block = TitleBlock("f", "j", "", "d", "s", DATE, "draft", "x")
    drawing = plan_drawing(bare, "GF", paper=A3, block=block)
    assert drawing.scale == 100
    proof = replace(
        house.proof(), scheme=bare, findings=(), accepted=(), entry=None, routes=(), coverage=(), timing=None
    )
    (tmp_path / "x.pdf").write_bytes(firm_papers(proof, copy_number=1, to="x", date=DATE))
    sheets = [i for i, t in enumerate(pages((tmp_path / "x.pdf").read_bytes()), 1) if "Scale 1:100 on A3" in t]
    run = ["pdftoppm", "-r", "300", "-gray", "-f", str(sheets[0]), "-l", str(sheets[0]), "x.pdf", "page"]
    subprocess.run(run, cwd=tmp_path, check=True)
    image = _gray(next(tmp_path.glob("page*.pgm")))
    assert drawing.frame is not None
    x, y = drawing.frame.at((6.0, 1.0))
    row = image[round(y / 25.4 * 300)] < 128
    middle = round(x / 25.4 * 300)
    left = middle - np.argmin(row[middle::-1]) + 1
    right = middle + np.argmin(row[middle:]) - 1
    assert (right - left + 1) / 300 * 25.4 == pytest.approx(100.0, abs=0.5)


def _gray(path: Path) -> np.ndarray:
    """A binary portable graymap as an array."""
    head, size, depth, data = path.read_bytes().split(b"\n", 3)
    assert head == b"P5" and depth == b"255"
    width, height = (int(n) for n in size.split())
    return np.frombuffer(data, dtype=np.uint8).reshape(height, width)
