"""Scenarios: how fast a day in building and panel is played, and the page that shows it is made."""

import sys
import tempfile
import time
from pathlib import Path

from bench.table import Row, best_of

from wardwright.analyses.scenario.playing import play
from wardwright.analyses.scenario.script import scenario_from_text
from wardwright.analyses.timing import timing
from wardwright.catalogue.load import load_catalogue
from wardwright.design.brief import Brief
from wardwright.design.sheet import design_from_sheet
from wardwright.design.system import ProtectionScheme
from wardwright.documents.playing_page import playing_page
from wardwright.intake.open_file import read_premises
from wardwright.premises.notes import with_notes

DEMO = Path(__file__).resolve().parent.parent / "demo"


def _orchard_lane() -> ProtectionScheme:
    sys.path.insert(0, str(DEMO.parent))
    from demo.write_ifc import write_ifc

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "orchard-lane.ifc"
        write_ifc(path)
        premises = with_notes(
            read_premises(path).premises, (DEMO / "orchard-lane.survey.toml").read_text(encoding="utf-8")
        )
    catalogue = load_catalogue()
    sheet = (DEMO / "orchard-lane.design.toml").read_text(encoding="utf-8")
    return ProtectionScheme(premises, design_from_sheet(sheet, premises, catalogue), catalogue, Brief())


def rows() -> list[Row]:
    """Play the demonstration scenarios."""
    scheme = _orchard_lane()
    walks = timing(scheme)
    found = []
    for path in sorted((DEMO / "scenarios").glob("*.toml")):
        script = scenario_from_text(path.read_text(encoding="utf-8"))
        begin = time.perf_counter()
        timeline = play(scheme, script, walks)
        first = time.perf_counter() - begin
        again = best_of(3, lambda script=script: play(scheme, script, walks))  # type: ignore[misc]
        simulated = timeline.ends_ms / 1000
        found.append(
            Row(
                f"scenario {path.stem}: {simulated / 60:,.0f} min, {len(timeline.moments)} moments",
                f"{simulated / again:,.0f} s per s",
                f"first time, {first * 1000:.0f} ms",
                f"{again / first:.2f}",
            )
        )
        page = best_of(
            3,
            lambda timeline=timeline: playing_page(  # type: ignore[misc]
                scheme, timeline, devices=scheme.fitted, firm=True, subtitle="", invented=True
            ),
        )
        found.append(Row(f"scenario {path.stem}: its page", f"{page * 1000:.0f} ms"))
    return found
