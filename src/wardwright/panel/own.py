"""A contractor's own property, said in one line: *while set away: zone “Kitchen window” trips -> alarm*."""

import re
import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path

from wardwright.errors import InputError
from wardwright.panel.events import Ask, Condition, SupplyEvent, TamperEvent, UserEvent, WrongCode, ZoneEvent
from wardwright.panel.explore import Seen
from wardwright.panel.programme import PanelProgramme
from wardwright.panel.properties import LEFT_OUT, Property, is_alarm, reports, says, sounds
from wardwright.panel.tables import CODES, Phase

LINE = re.compile(r"^while (?P<when>[^:]+): (?P<what>.+?) -> (?P<must>.+)$")
ZONE = re.compile(r"^(?:zone [“\"](?P<name>[^”\"]+)[”\"]|any zone) (?P<does>trips|is tampered with|is masked)$")
WHEN: Mapping[str, tuple[Phase | None, bool | None]] = {
    "anything": (None, None),
    "unset": (Phase.UNSET, None),
    "exit time": (Phase.EXIT, None),
    "set away": (Phase.SET, False),
    "set with people inside": (Phase.SET, True),
    "entry time": (Phase.ENTRY, None),
}
"""Phase and whether people are inside; None: either."""
WHAT: Mapping[str, Callable[[Seen], bool]] = {
    "the panel is opened": lambda s: isinstance(s.event, TamperEvent) and not s.event.good,
    "mains fail": lambda s: s.event == SupplyEvent("mains", good=False),
    "the battery runs low": lambda s: s.event == SupplyEvent("battery", good=False),
    "too many wrong codes": lambda s: (
        isinstance(s.event, WrongCode) and s.before.wrong_codes == s.programme.wrong_code_limit - 1
    ),
    "a user unsets": lambda s: isinstance(s.event, UserEvent) and s.event.ask is Ask.UNSET,
    "a user unsets under duress": lambda s: isinstance(s.event, UserEvent) and s.event.ask is Ask.DURESS_UNSET,
    "a user calls for help": lambda s: isinstance(s.event, UserEvent) and s.event.ask is Ask.HOLD_UP,
}
DOES = {"trips": Condition.ACTIVE, "is tampered with": Condition.TAMPER, "is masked": Condition.MASKED}
MUST: Mapping[str, Callable[[Seen], bool]] = {
    "alarm": is_alarm,
    "no alarm": lambda s: not is_alarm(s),
    "a sound": lambda s: bool(sounds(s)),
    "no sound": lambda s: not sounds(s),
    "the bell": lambda s: "bell" in sounds(s),
    "entry time": lambda s: s.after.areas[0].phase is Phase.ENTRY,
    "no entry time": lambda s: s.after.areas[0].phase is not Phase.ENTRY or s.before.areas[0].phase is Phase.ENTRY,
    "unset": lambda s: s.after.areas[0].phase is Phase.UNSET,
    "it stays as it is": lambda s: s.after.areas[0].phase is s.before.areas[0].phase,
    "no report": lambda s: not reports(s),
}


def own_properties(path: Path, programme: PanelProgramme) -> tuple[Property, ...]:
    """Read a contractor's own properties.

    Parameters
    ----------
    path : Path
        A TOML file: under ``[properties]`` one line for each, ``name = "while …: … -> …"``.
    programme : PanelProgramme
        The programme, whose zones may be named.

    Returns
    -------
    tuple of Property
        Ready to be proved.

    Raises
    ------
    InputError
        If the file or a line cannot be read; it says what was expected.
    """
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise InputError(f"this file of properties cannot be read: {error}", where=path.name) from error
    lines = content.get("properties")
    if not isinstance(lines, dict) or not all(isinstance(v, str) for v in lines.values()):
        raise InputError("a table [properties] of lines was expected", where=path.name)
    return tuple(own_property(name, line, programme) for name, line in lines.items())


def own_property(name: str, line: str, programme: PanelProgramme) -> Property:
    """One line as a property.

    Parameters
    ----------
    name : str
        What it is called in the answer.
    line : str
        ``while WHEN: WHAT -> MUST``.
    programme : PanelProgramme
        The programme, whose zones may be named.

    Returns
    -------
    Property
        Ready to be proved.

    Raises
    ------
    InputError
        If the line says what is not known.
    """
    parts = LINE.match(line.strip())
    if parts is None:
        raise InputError(f"“{line}” was expected to read “while …: … -> …”", where=name)
    when, what, must = (parts[k].strip() for k in ("when", "what", "must"))
    _known(when, WHEN, name)
    number, happens = _happens(what, name, programme)
    holds = _holds(must, name)

    def check(seen: Seen) -> str:
        area = seen.before.areas[0]
        phase, inside = WHEN[when]
        now = phase in (None, area.phase) and inside in (None, area.inside)
        if seen.before.dead or not now or not happens(seen):
            return ""
        return "" if holds(seen) else f"{what}, and not: {must}"

    return Property(f"own-{name}", line, when, LEFT_OUT, check, frozenset({number} - {0}))


def _known(word: str, words: Mapping[str, object], where: str) -> None:
    if word not in words:
        raise InputError(f"“{word}” is not known; one of {', '.join(words)} was expected", where=where)


def _happens(what: str, where: str, programme: PanelProgramme) -> tuple[int, Callable[[Seen], bool]]:
    zone = ZONE.match(what)
    if zone is None:
        _known(what, {**WHAT, "any zone trips": None, "zone “NAME” trips": None}, where)
        return 0, WHAT[what]
    number = 0
    if zone["name"]:
        found = [row.number for row in programme.zones if zone["name"] in (row.name, str(row.number))]
        if not found:
            raise InputError(f"no zone is called “{zone['name']}”", where=where)
        number = found[0]
    condition = DOES[zone["does"]]

    def happens(seen: Seen) -> bool:
        if not isinstance(seen.event, ZoneEvent) or seen.event.condition is not condition:
            return False
        row, state = seen.programme.zones[seen.event.zone], seen.before.zones[seen.event.zone]
        left_out = state.inhibited or state.isolated or state.trips >= row.swinger_count
        fresh = state.condition is Condition.NORMAL and not seen.before.deaf_left_ms
        return fresh and not left_out and number in (0, row.number)

    return number, happens


def _holds(must: str, where: str) -> Callable[[Seen], bool]:
    if must.startswith("report "):
        what = must.removeprefix("report ")
        _known(what, CODES, where)
        return lambda seen: what in reports(seen)
    if must.startswith("keypad "):
        text = must.removeprefix("keypad ")
        return lambda seen: says(seen, text)
    _known(must, {**MUST, "report NAME": None, "keypad TEXT": None}, where)
    return MUST[must]
