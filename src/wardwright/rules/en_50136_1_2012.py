"""EN 50136-1:2012: alarm transmission, categories and reporting times."""

from collections.abc import Iterator

from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, compared, not_applicable, stated, undecided
from wardwright.rules.register import clause

_MINUTE, _HOUR, _DAY = 60.0, 3600.0, 86_400.0
CATEGORIES = (*(f"SP{n}" for n in range(1, 7)), *(f"DP{n}" for n in range(1, 5)), "C")
PRIMARY_S = {
    "SP1": 32 * _DAY,
    "SP2": 25 * _HOUR,
    "SP3": 30 * _MINUTE,
    "SP4": 3 * _MINUTE,
    "SP5": 90.0,
    "SP6": 20.0,
    "DP1": 25 * _HOUR,
    "DP2": 30 * _MINUTE,
    "DP3": 3 * _MINUTE,
    "DP4": 90.0,
}
ALTERNATIVE_S = {"DP1": 50 * _HOUR, "DP2": 25 * _HOUR, "DP3": 25 * _HOUR, "DP4": 5 * _HOUR}
"""Alternative path while the primary works."""
_PLAIN = "The way the alarm is reported is ordered by the standard's own categories."


@clause("EU-ATS-01")
def category_named(evidence: Evidence) -> Iterator[Judgement]:
    """A path is ordered by one of ten categories, or a custom one."""
    for path in evidence.programme.paths:
        if not path.category:
            yield undecided(f"{path.id}: no category was ordered", _PLAIN, about=(path.id,))
        else:
            yield stated(
                path.category in CATEGORIES,
                f"{path.id} is ordered as {path.category}",
                f"{path.id} is ordered as “{path.category}”, which is no category",
                plain=_PLAIN,
                about=(path.id,),
                fix=f"one of {', '.join(CATEGORIES)}",
            )


@clause("EU-ATS-02")
def dual_path_is_dual(evidence: Evidence) -> Iterator[Judgement]:
    """A dual-path category needs a second network interface."""
    for device_id in dict.fromkeys(p.device_id for p in evidence.programme.paths if p.category.startswith("DP")):
        paths = [p for p in evidence.programme.paths if p.device_id == device_id]
        networks = {p.kind for p in paths}
        yield stated(
            len(networks) >= 2,
            f"{device_id} reports by {' and '.join(sorted(networks))}",
            f"{device_id} is ordered as dual path and reports by {' and '.join(sorted(networks))} alone",
            plain="Two separate ways of reporting are there where two are ordered."
            if len(networks) >= 2
            else "A second way of reporting is ordered and not yet planned.",
            about=tuple(p.id for p in paths),
            fix="a second path over another network",
        )


def _reporting(evidence: Evidence, limits: dict[str, float], *, primary: bool) -> Iterator[Judgement]:
    for device_id in dict.fromkeys(p.device_id for p in evidence.programme.paths):
        paths = sorted((p for p in evidence.programme.paths if p.device_id == device_id), key=lambda p: p.priority)
        for path in paths[:1] if primary else paths[1:]:
            if path.category in limits:
                yield compared(
                    f"reporting time of {path.id} ({path.category})",
                    path.reporting_interval_s,
                    "<=",
                    limits[path.category],
                    "s",
                    plain="A way of reporting that fails is noticed in time.",
                    about=(path.id,),
                    missing="the interval ordered with the path is not entered",
                    fix="order the path with that interval",
                )


@clause("EU-ATS-04")
def primary_reporting_time(evidence: Evidence) -> Iterator[Judgement]:
    """A failed primary path is reported within the time of its category."""
    yield from _reporting(evidence, PRIMARY_S, primary=True)


@clause("EU-ATS-05")
def alternative_reporting_time(evidence: Evidence) -> Iterator[Judgement]:
    """A failed alternative path is reported within the time of its category."""
    if not any(p.category in ALTERNATIVE_S for p in evidence.programme.paths):
        yield not_applicable("no dual-path category is ordered")
        return
    yield from _reporting(evidence, ALTERNATIVE_S, primary=False)
