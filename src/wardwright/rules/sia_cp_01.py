"""ANSI/SIA CP-01, editions 2000 to 2019: the timers that prevent false alarms."""

from collections.abc import Iterator

from wardwright.rules.evidence import Evidence
from wardwright.rules.judgement import Judgement, Operator, compared, stated
from wardwright.rules.register import clause


def _timer(name: str, value: float, relation: Operator, limit: float, where: str, plain: str) -> Judgement:
    words = "at least" if relation == ">=" else "at most"
    return compared(name, value, relation, limit, "s", plain=plain, about=(where,), fix=f"{words} {limit:g} s")


_LEAVE = "There is time enough to leave, and not so much that somebody forgets."
_COME = "There is time enough to come in and unset, and not too much."
_ABORT = "A mistake can be put right before anybody is called."


@clause("US-CP-01")
def exit_time(evidence: Evidence) -> Iterator[Judgement]:
    """Exit time 45 to 255 s."""
    for area, seconds in evidence.exit_s().items():
        yield _timer(f"exit time of “{area}”", seconds, ">=", 45.0, area, _LEAVE)
        yield _timer(f"exit time of “{area}”", seconds, "<=", 255.0, area, _LEAVE)


@clause("US-CP-03")
def exit_restart(evidence: Evidence) -> Iterator[Judgement]:
    """Exit time starts again once if somebody comes back before it is over."""
    on = evidence.timers.exit_restart
    plain = "Coming back for something forgotten sets off no alarm."
    yield stated(on, "exit restart is on", "exit restart is off", plain=plain, about=("programme",), fix="switch it on")


@clause("US-CP-07")
def entry_delay(evidence: Evidence) -> Iterator[Judgement]:
    """Entry delay 30 to 240 s."""
    for area, seconds in evidence.entry_s().items():
        yield _timer(f"entry delay of “{area}”", seconds, ">=", 30.0, area, _COME)
        yield _timer(f"entry delay of “{area}”", seconds, "<=", 240.0, area, _COME)


@clause("US-CP-09")
def entry_and_abort(evidence: Evidence) -> Iterator[Judgement]:
    """Entry delay and abort window together take no more than 60 s."""
    for area, seconds in evidence.entry_s().items():
        total = seconds + evidence.timers.abort_s
        name = f"entry delay and abort window of “{area}”"
        yield _timer(name, total, "<=", 60.0, area, "Help is called soon after the time for coming in is over.")


@clause("US-CP-10")
def abort_window(evidence: Evidence) -> Iterator[Judgement]:
    """Abort window 15 to 45 s."""
    yield _timer("abort window", evidence.timers.abort_s, ">=", 15.0, "programme", _ABORT)
    yield _timer("abort window", evidence.timers.abort_s, "<=", 45.0, "programme", _ABORT)


@clause("US-CP-12")
def cancel_window(evidence: Evidence) -> Iterator[Judgement]:
    """Cancel window of 5 to 255 min."""
    plain = "For some minutes after help was called it can be called off."
    yield _timer("cancel window", evidence.timers.cancel_s, ">=", 300.0, "programme", plain)
    yield _timer("cancel window", evidence.timers.cancel_s, "<=", 15300.0, "programme", plain)


@clause("US-CP-16")
def swinger_shutdown(evidence: Evidence) -> Iterator[Judgement]:
    """A zone is shut down after 1 to 6 trips (1 or 2 in the edition of 2000)."""
    counts = {"programme": evidence.timers.swinger_count}
    counts |= {z.id: z.swinger_count for z in evidence.programme.zones if z.swinger_count is not None}
    for where, count in counts.items():
        plain = "One faulty detector cannot call help again and again."
        yield compared(
            f"trips before {where} is shut down", float(count), "<=", 6.0, "", plain=plain, about=(where,), fix="2"
        )
