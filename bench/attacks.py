"""The attack table: all single faults, pairs and threes on every way in, each played to the panel."""

import time
import tracemalloc

from bench.table import Row
from demo.orchard_lane_job import orchard_lane_job

from wardwright.analyses.attack_choices import attack_choices
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.defeats import attack_analysis
from wardwright.analyses.loops import loops
from wardwright.analyses.mode import Mode
from wardwright.analyses.power import power
from wardwright.analyses.routes import routes
from wardwright.catalogue.load import load_catalogue
from wardwright.prove import scheme_of


def rows() -> list[Row]:
    """Measure."""
    scheme = scheme_of(orchard_lane_job(), load_catalogue())
    fields = hazard_fields(scheme, Mode.AWAY)
    away = routes(scheme, Mode.AWAY, fields)
    given = (away, fields, contact_fields(scheme), loops(scheme), power(scheme))
    found, before = [], 0.0
    for size in (1, 2, 3):
        start = time.perf_counter()
        analysis = attack_analysis(scheme, *given, size=size)
        took = time.perf_counter() - start
        what = f"attacks: table to size {size}, {analysis.tried} courses, {len(analysis.defeats)} sets"
        reference = (f"size {size - 1}", f"{took / before:.1f} ×") if before else ("", "")
        found.append(Row(what, f"{took * 1000:.0f} ms", *reference, "under 5 s" if size == 2 else ""))
        before = took
    start = time.perf_counter()
    choices = attack_choices(scheme, *given)
    found.append(Row(f"attacks: {len(choices)} choices compared", f"{(time.perf_counter() - start) * 1000:.0f} ms"))
    tracemalloc.start()
    attack_analysis(scheme, *given, size=3)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    found.append(Row("attacks: memory of the table to size 3", f"{peak / 2**20:.0f} MiB", "", "", "under 1024 MiB"))
    return found
