"""The panel's programme of a design, run through everything it can do."""

import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from wardwright.analyses.panel_programme import Numbering, numbering, panel_programme
from wardwright.analyses.timing import TimingAnalysis
from wardwright.design.system import ProtectionScheme
from wardwright.design.timer_limits import timer_limits
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.properties import Property
from wardwright.panel.verify import Answer, verify

BELL_LIMIT_S = 900.0
"""Longest time of a sounder where the profile says nothing (EN 50131-4)."""


@dataclass(frozen=True)
class ProgrammeProof:
    """Every property of the programme, proved or refuted."""

    programme: PanelProgramme
    names: Numbering
    answers: tuple[Answer, ...]
    seconds: float
    undecided: str = ""
    """Why nothing could be asked."""

    @property
    def transitions(self) -> int:
        """Steps of the panel looked at."""
        return next((a.transitions for a in self.answers if a.key == "never-stuck"), 0)

    @property
    def states(self) -> int:
        """States told apart."""
        return next((a.states for a in self.answers if a.key == "never-stuck"), 0)


def programme_proof(
    scheme: ProtectionScheme, walks: TimingAnalysis | None = None, own: Sequence[Property] = ()
) -> ProgrammeProof:
    """Prove or refute what a design's programme must do.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    walks : TimingAnalysis, optional
        The walks from the final doors to the keypads; without them nothing is known to be on the way.
    own : sequence of Property
        The contractor's own.

    Returns
    -------
    ProgrammeProof
        One answer for each property.
    """
    programme = walked_programme(scheme, walks)
    names = numbering(scheme)
    if not programme.areas or not programme.zones:
        what = "area" if not programme.areas else "zone"
        return ProgrammeProof(programme, names, (), 0.0, f"the programme has no {what}")
    limit = timer_limits(scheme.brief.profile).get("bell_s")
    most = BELL_LIMIT_S if limit is None or limit.most_s is None else limit.most_s
    begin = time.perf_counter()
    answers = _answers(programme, round(most * 1000), tuple(own))
    return ProgrammeProof(programme, names, answers, time.perf_counter() - begin)


@lru_cache(maxsize=32)
def _answers(programme: PanelProgramme, bell_limit_ms: int, own: tuple[Property, ...]) -> tuple[Answer, ...]:
    """Answers rest on the programme alone: moving a detector on the plan does not search it again."""
    return verify(programme, bell_limit_ms=bell_limit_ms, own=own)


def walked_programme(scheme: ProtectionScheme, walks: TimingAnalysis | None) -> PanelProgramme:
    """The panel's programme, with what people pass on the way to the keypad.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.
    walks : TimingAnalysis, optional
        The walks from the final doors to the keypads.

    Returns
    -------
    PanelProgramme
        Ready for the panel.
    """
    passed = frozenset(d for walk in walks.walks for d in walk.crossed_device_ids) if walks else frozenset()
    return panel_programme(scheme, passed)
