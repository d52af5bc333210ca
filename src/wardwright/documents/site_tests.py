"""The test plan: every prediction that can be tried on site is a line, with room for what was measured."""

from dataclasses import dataclass

from wardwright.analyses.audibility import Audibility
from wardwright.analyses.entry_records import EntryAnalysis
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.radio import RadioAnalysis
from wardwright.analyses.timing import TimingAnalysis
from wardwright.catalogue.kinds import Family
from wardwright.design.system import ProtectionScheme
from wardwright.documents.route_layer import RouteSet
from wardwright.documents.wording import chance_words, rounded
from wardwright.findings import Question


@dataclass(frozen=True)
class SiteTest:
    """One line of the test plan."""

    number: str
    question: Question
    about: str
    do: str
    expect: str
    """What was predicted, or what must happen."""


@dataclass(frozen=True)
class _Line:
    question: Question
    about: str
    do: str
    expect: str


def site_tests(
    scheme: ProtectionScheme,
    *,
    entry: EntryAnalysis | None = None,
    routes: tuple[RouteSet, ...] = (),
    power: PowerAnalysis | None = None,
    loops: LoopAnalysis | None = None,
    timing: TimingAnalysis | None = None,
    radio: RadioAnalysis | None = None,
    audibility: Audibility | None = None,
) -> tuple[SiteTest, ...]:
    """The test plan of a job.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and system.
    entry, power, loops, timing, radio, audibility : analyses, optional
        Results whose predictions are to be tried.
    routes : tuple of RouteSet, optional
        The routes that are drawn, one set for each mode.

    Returns
    -------
    tuple of SiteTest
        Numbered T-1, T-2 … in the order of the questions.
    """
    lines = [
        *_contact_tests(scheme),
        *(_glass_tests(scheme, entry) if entry is not None else ()),
        *_walk_tests(scheme, routes),
        *(_power_tests(power) if power is not None else ()),
        *(_loop_tests(loops) if loops is not None else ()),
        *(_radio_tests(radio) if radio is not None else ()),
        *_signal_tests(scheme),
        *(_sound_tests(audibility) if audibility is not None else ()),
        *(_timing_tests(scheme, timing) if timing is not None else ()),
    ]
    return tuple(SiteTest(f"T-{i}", line.question, line.about, line.do, line.expect) for i, line in enumerate(lines, 1))


def _contact_tests(scheme: ProtectionScheme) -> list[_Line]:
    found = []
    names = {o.id: o.name for o in scheme.premises.openings}
    for device in scheme.of_family(Family.CONTACT):
        kind = scheme.kind_of(device)
        zones = scheme.zones_of_device.get(device.id, ())
        told = f"zone {', '.join(str(z.number) for z in zones)} opens" if zones else "no zone: nobody hears it"
        release = kind.get("release_gap_m")
        by = f" before the gap is {rounded(release * 1000, 2)} mm" if release is not None else ""
        name = names.get(device.opening_id or "", "its leaf")
        found.append(
            _Line(Question.ENTRY, device.id, f"Open {name} slowly; then shut it.", f"{told}{by}; shuts again.")
        )
    return found


def _glass_tests(scheme: ProtectionScheme, entry: EntryAnalysis) -> list[_Line]:
    names = {o.id: o.name for o in scheme.premises.openings}
    breakers = {d.id for d in scheme.of_family(Family.GLASS_BREAK)}
    best: dict[tuple[str, str], tuple[float, str]] = {}
    for way in entry.ways:
        for notice in way.notices:
            if notice.device_id in breakers:
                key = (notice.device_id, way.opening_id)
                if key not in best or notice.probability > best[key][0]:
                    best[key] = (
                        notice.probability,
                        f"{notice.how}; {chance_words(notice.probability, notice.interval)}",
                    )
    return [
        _Line(
            Question.ENTRY,
            device,
            f"Sound the glass-break simulator at {names.get(opening, opening)}, curtains drawn, doors shut as at "
            "night; before handing over.",
            told,
        )
        for (device, opening), (_, told) in sorted(best.items())
    ]


def _walk_tests(scheme: ProtectionScheme, routes: tuple[RouteSet, ...]) -> list[_Line]:
    walkers = {d.id for d in scheme.of_family(Family.MOTION, Family.DUAL, Family.BEAM)}
    found = []
    for drawn in routes:
        for dot in drawn.dots:
            if dot.device_id not in walkers:
                continue
            kind, time = dot.times[0]
            route = next(r for r in drawn.routes if r.kind == kind)
            chance = next(n.probability for n in route.noticings if n.device_id == dot.device_id)
            found.append(
                _Line(
                    Question.ROUTE,
                    dot.device_id,
                    f"Walk the {kind} way from {drawn.way_in} to {drawn.target.name} ({drawn.mode}), as drawn; note "
                    "where it trips.",
                    f"By dot {dot.number}, about {time:.0f} s after the start: {chance_words(chance)}.",
                )
            )
    return found


def _power_tests(power: PowerAnalysis) -> list[_Line]:
    found = []
    for supply in power.standby:
        found.append(
            _Line(
                Question.POWER,
                supply.at,
                "System unset, mains off: measure the battery current.",
                f"{rounded(supply.standby_current_a * 1000, 2)} mA in standby",
            )
        )
        found.append(
            _Line(
                Question.POWER,
                supply.at,
                "All sounders on, mains off: measure the battery current.",
                f"{rounded(supply.alarm_current_a * 1000, 2)} mA in alarm",
            )
        )
    for at in power.voltages:
        least = f"; it needs {at.minimum_v:.1f} V" if at.minimum_v is not None else ""
        if at.undecided:
            expect = f"open: {at.undecided}"
        else:
            expect = f"above {at.voltage_v:.1f} V, which is left at the end of discharge{least}"
        found.append(_Line(Question.POWER, at.device_id, "Mains off, all in alarm: measure at its terminals.", expect))
    return found


def _loop_tests(loops: LoopAnalysis) -> list[_Line]:
    found = []
    for report in loops.reports:
        if report.undecided:
            found.append(_Line(Question.POWER, report.loop_id, "Measure the loop.", f"open: {report.undecided}"))
            continue
        states = "; ".join(f"{s.name} {s.low * 100:.0f}–{s.high * 100:.0f} %" for s in report.states)
        found.append(
            _Line(
                Question.POWER,
                report.loop_id,
                "Bring the loop into each state; read the input as a share of its reference.",
                states,
            )
        )
    return found


def _radio_tests(radio: RadioAnalysis) -> list[_Line]:
    found = []
    for link in radio.links:
        expect = f"open: {link.undecided}"
        if link.level_dbm is not None and link.reserve_db is not None:
            expect = f"about {link.level_dbm:.0f} dBm, {link.reserve_db:.0f} dB over the weakest it takes"
        do = f"In its final place, doors shut: read the level at {link.receiver_id}."
        found.append(_Line(Question.POWER, link.device_id, do, expect))
    return found


def _sound_tests(audibility: Audibility) -> list[_Line]:
    return [
        _Line(
            Question.LIVING,
            place.id,
            f"Ears protected, doors shut, sounders on: measure at the pillow of {place.name}.",
            f"about {place.level_db:.0f} dB(A) ({place.interval_db[0]:.0f}–{place.interval_db[1]:.0f})",
        )
        for place in audibility.of("bed")
    ]


def _signal_tests(scheme: ProtectionScheme) -> list[_Line]:
    found = []
    for path in scheme.design.programme.paths:
        found.append(
            _Line(
                Question.SIGNAL,
                path.id,
                f"Send a test by the {path.kind} path alone; time it to the receiving centre's answer.",
                f"received as sent{f', category {path.category}' if path.category else ''}",
            )
        )
    for device in scheme.of_family(Family.OUTER_SOUNDER, Family.INNER_SOUNDER):
        found.append(
            _Line(
                Question.SIGNAL,
                device.id,
                "Warn the neighbours, then sound it with the mains off.",
                "sounds, and stops",
            )
        )
    return found


def _timing_tests(scheme: ProtectionScheme, timing: TimingAnalysis) -> list[_Line]:
    names = {o.id: o.name for o in scheme.premises.openings}
    found = []
    for walk in timing.walks:
        name = names.get(walk.opening_id, walk.opening_id)
        if walk.walk_s is None:
            expect = f"open: {walk.undecided}"
        else:
            spread = f" ({walk.interval_s[0]:.0f}–{walk.interval_s[1]:.0f} s)" if walk.interval_s else ""
            expect = (
                f"about {walk.walk_s:.0f} s{spread}; entry time {walk.entry_s:.0f} s, exit time {walk.exit_s:.0f} s"
            )
        found.append(
            _Line(
                Question.LIVING,
                walk.opening_id,
                f"Slowest person, in by {name} to the keypad, and out again: time the walk.",
                expect,
            )
        )
    return found
