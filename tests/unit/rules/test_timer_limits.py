"""A timer beyond what its profile allows is a finding, whichever timer and whichever profile."""

from dataclasses import replace

import pytest
from tests.house import scheme

from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme
from wardwright.design.timer_limits import timer_limits
from wardwright.findings import Outcome
from wardwright.rules.evidence import Evidence
from wardwright.rules.judge import rule_findings

BEYOND = [
    (profile, name, value)
    for profile in Profile
    for name, limit in timer_limits(profile).items()
    for value in (
        None if limit.least_s is None else limit.least_s - 5.0,
        None if limit.most_s is None else limit.most_s + 5.0,
    )
    if value is not None
]


def refused(system: ProtectionScheme, **timers: float) -> set[str]:
    programme = system.design.programme
    changed = programme.model_copy(update={"timers": programme.timers.model_copy(update=timers)})
    if "confirm_window_s" in timers:
        changed = changed.model_copy(update={"confirmation": "sequential"})
    place = system.premises.surroundings.model_copy(update={"sounder_limit_s": 900.0})  # as the place's law has it
    held = replace(
        system,
        premises=system.premises.model_copy(update={"surroundings": place}),
        design=system.design.model_copy(update={"programme": changed}),
    )
    return {f.rule for f in rule_findings(Evidence(held)) if f.outcome is Outcome.NOT_MET}


@pytest.mark.parametrize(("profile", "name", "value"), BEYOND)
def test_a_timer_beyond_its_profile_is_a_finding(profile: Profile, name: str, value: float) -> None:
    within = {key: limit.default_s for key, limit in timer_limits(profile).items()}
    assert refused(scheme(profile), **(within | {name: value})) - refused(scheme(profile), **within)
