"""The stories a real building tells by itself, and the page that shows them."""

from pathlib import Path

import pytest

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.mode import Mode
from wardwright.analyses.routes import routes
from wardwright.analyses.scenario.standard import standard_stories
from wardwright.analyses.timing import timing
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.sheet import design_from_sheet
from wardwright.design.system import ProtectionScheme
from wardwright.documents.playing_page import playing_page
from wardwright.intake.open_file import read_premises
from wardwright.premises.notes import with_notes

DEMO = Path(__file__).resolve().parents[2] / "demo"


@pytest.mark.real
def test_a_real_house_tells_how_its_system_works(shared_premises: Path) -> None:
    read = read_premises(shared_premises / "house-fzk.ifc").premises
    premises = with_notes(read, (DEMO / "house-fzk.survey.toml").read_text(encoding="utf-8"))
    catalogue = load_catalogue()
    sheet = (DEMO / "house-fzk.design.toml").read_text(encoding="utf-8")
    system = ProtectionScheme(premises, design_from_sheet(sheet, premises, catalogue), catalogue, Brief())
    walks, ways = timing(system), [routes(system, mode, hazard_fields(system, mode)) for mode in Mode]
    told = standard_stories(system, walks, ways)
    assert [s.heading for s in told] == [
        "Going out and coming home",
        "Somebody breaks in while you are out",
        "Somebody breaks in at night",
    ]
    assert told == standard_stories(system, walks, ways)
    for story in told:
        assert all(i.in_time(story.timeline.monitored) for i in story.timeline.intrusions)
        page = playing_page(
            system, story.timeline, devices=system.fitted, firm=True, subtitle="Invented design", invented=True
        )
        assert story.heading in page
