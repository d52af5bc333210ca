"""Steps looked up together are what each walk would be told by itself."""

import numpy as np
from tests.house import scheme

from wardwright.analyses.coverage import hazard_fields
from wardwright.analyses.detection_along import Walk
from wardwright.analyses.exposure import Exposure
from wardwright.analyses.mode import Mode, watching_devices
from wardwright.analyses.routes import routes
from wardwright.analyses.step_rates import StepRates
from wardwright.analyses.walkable import walk_graph


def test_every_walk_of_a_house_at_every_pace() -> None:
    held = scheme()
    fields = hazard_fields(held, Mode.AWAY)
    graph = walk_graph(held.premises)
    exposure = Exposure(graph, fields, watching_devices(held, Mode.AWAY))
    walks: list[Walk] = []
    routes(held, Mode.AWAY, fields, told=lambda walked: walks.append(walked.walk))
    assert len(walks) > 3
    rates = StepRates(exposure, graph.size)
    rates.learn(walks)
    seen = False
    for walk in walks:
        found = rates.on(walk)
        for pace in range(len(exposure.speeds_m_s)):
            alone = exposure.along(walk.start, walk.end, walk.move, pace)
            np.testing.assert_array_equal(found[pace], alone)
            seen = seen or bool(alone.any())
    assert seen


def test_with_nobody_watching_there_is_nothing_to_notice() -> None:
    held = scheme()
    graph = walk_graph(held.premises)
    rates = StepRates(Exposure(graph, {}, frozenset()), graph.size)
    rates.learn([])
    walks: list[Walk] = []
    routes(held, Mode.AWAY, {}, told=lambda walked: walks.append(walked.walk))
    rates.learn(walks)
    assert rates.on(walks[0]).shape == (1, 3, 0, len(walks[0].start))
