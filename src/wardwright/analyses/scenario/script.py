"""A scenario as a person writes it: who does what and when, in TOML.

The script knows names only; whether the building has them is found out when it is played.
"""

import datetime
import re
import tomllib
from collections.abc import Iterable
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationError, model_validator

from wardwright.errors import InputError
from wardwright.model import Id, Positive, Record, plain_errors

Do = Literal[
    "go to",
    "walk",
    "come in",
    "leave",
    "break in",
    "take",
    "call at",
    "open",
    "shut",
    "set away",
    "set inside",
    "unset",
    "unset under duress",
    "wrong code",
    "leave out",
    "isolate",
    "take back in",
    "override",
    "clear",
    "press",
    "roam",
    "wait",
]
NEEDS: dict[str, tuple[str, ...]] = {
    "go to": ("to",),
    "walk": ("through",),
    "come in": ("by",),
    "leave": (),
    "break in": ("by",),
    "take": ("to",),
    "call at": ("by",),
    "open": ("by",),
    "shut": ("by",),
    "leave out": ("zone",),
    "isolate": ("zone",),
    "take back in": ("zone",),
    "press": ("device",),
    "roam": ("seconds",),
    "wait": ("seconds",),
}
"""What each act cannot do without."""
AT_KEYPAD = ("areas", "keypad")
MAY: dict[str, tuple[str, ...]] = {
    "go to": ("pace_m_s",),
    "walk": ("pace_m_s",),
    "come in": ("pace_m_s",),
    "leave": ("by", "pace_m_s"),
    "break in": ("attack", "to", "route"),
    "take": ("pace_m_s",),
    "call at": ("seconds",),
    "roam": ("rooms",),
    "set away": AT_KEYPAD,
    "set inside": AT_KEYPAD,
    "unset": AT_KEYPAD,
    "unset under duress": AT_KEYPAD,
    "override": AT_KEYPAD,
    "clear": ("keypad",),
    "wrong code": ("times", "keypad"),
    "leave out": ("keypad",),
    "isolate": ("keypad",),
    "take back in": ("keypad",),
}
"""What else each act may say; anything more would be passed over in silence, and so is refused."""
What = Literal[
    "mains lost",
    "mains back",
    "battery low",
    "battery good",
    "all power lost",
    "all power back",
    "path lost",
    "path back",
    "tamper",
    "tamper over",
    "fault",
    "fault over",
    "device trips",
    "device at rest",
    "device masked",
    "device lost",
]
ABOUT: dict[str, str] = {
    **dict.fromkeys(("path lost", "path back"), "path"),
    **dict.fromkeys(("tamper", "tamper over", "fault", "fault over"), "part"),
    **dict.fromkeys(("device trips", "device at rest", "device masked", "device lost"), "device"),
}
"""What an event is about, and so must name."""


def _clock(text: str) -> str:
    if not re.fullmatch(r"([01]?\d|2[0-3]):[0-5]\d(:[0-5]\d)?", text):
        raise ValueError("a time of day is wanted, for example “07:45” or “07:45:30”")
    return text


Clock = Annotated[str, AfterValidator(_clock)]


def seconds_of(clock: str) -> int:
    """Second of the day of a time of day."""
    hours, minutes, *rest = (int(part) for part in clock.split(":"))
    return 3600 * hours + 60 * minutes + (rest[0] if rest else 0)


class Act(Record):
    """One thing somebody does, after what came before it."""

    do: Do
    at: Clock | None = None
    """Not before this time of day; None: as soon as the act before is done."""
    by: Id | None = None
    """An opening."""
    to: str | None = None
    """A room, a target, a bed or a keypad."""
    through: tuple[tuple[Id, float, float], ...] = ()
    """Storey id, x, y: corners of a straight-line walk. [m]"""
    attack: str | None = None
    route: Literal["quietest", "fastest", "best-timed"] = "fastest"
    areas: tuple[Id, ...] = ()
    keypad: Id | None = None
    zone: str | None = None
    """Id, number or name of a zone."""
    device: Id | None = None
    rooms: tuple[Id, ...] = ()
    seconds: Positive | None = None
    times: Annotated[int, Field(ge=1, le=20)] = 1
    pace_m_s: Annotated[float, Field(gt=0.05, le=8.0)] | None = None

    @model_validator(mode="after")
    def _whole(self) -> "Act":
        missing = [name for name in NEEDS.get(self.do, ()) if not getattr(self, name)]
        if missing:
            raise ValueError(f"“{self.do}” needs {' and '.join(missing)}")
        if self.do == "walk" and len(self.through) < 2:
            raise ValueError("“walk” needs at least two places in through")
        if self.do == "break in" and self.to is None and "route" in self.model_fields_set:
            raise ValueError("a route leads to something: say to what")
        if self.do == "break in" and self.to is not None and self.attack is not None:
            raise ValueError("the route chooses the attack: leave out attack, or to")
        known = {"do", "at", *NEEDS.get(self.do, ()), *MAY.get(self.do, ())}
        idle = sorted(self.model_fields_set - known)
        if idle:
            raise ValueError(f"“{self.do}” has no use for {', '.join(idle)}")
        return self


class Actor(Record):
    """Somebody who acts: a person with a right or none, an intruder, an animal."""

    id: Id
    name: str = ""
    kind: Literal["person", "intruder", "animal"] = "person"
    right: str | None = None
    """Holder of a right in the programme; None: has no code."""
    pet: Id | None = None
    """Which of the building's animals it is."""
    where: str = "outside"
    """Room, bed or target where it is at the beginning."""
    pace_m_s: Annotated[float, Field(gt=0.05, le=8.0)] | None = None
    act: tuple[Act, ...] = ()

    @property
    def called(self) -> str:
        """Name, or id where there is none."""
        return self.name or self.id

    @model_validator(mode="after")
    def _sensible(self) -> "Actor":
        deeds = {a.do for a in self.act}
        if self.kind == "animal" and (self.pet is None or deeds - {"roam", "go to", "walk", "wait"}):
            raise ValueError("an animal names its pet, and can only roam, go to, walk and wait")
        if self.kind != "animal" and (self.pet is not None or "roam" in deeds):
            raise ValueError("only an animal has a pet and roams")
        if self.kind != "intruder" and "break in" in deeds:
            raise ValueError("only an intruder breaks in")
        return self


class Happening(Record):
    """Something nobody in the building does: mains, paths, parts, a device by itself."""

    at: Clock
    what: What
    path: Id | None = None
    device: Id | None = None
    part: str | None = None

    @model_validator(mode="after")
    def _whole(self) -> "Happening":
        wanted = ABOUT.get(self.what)
        for name in ("path", "device", "part"):
            if name == wanted and not getattr(self, name):
                raise ValueError(f"“{self.what}” must name its {name}")
            if name != wanted and getattr(self, name):
                raise ValueError(f"“{self.what}” has no use for {name}")
        return self


class Scenario(Record):
    """The whole script."""

    title: str
    date: str = "2026-03-02"
    """ISO date: rights depend on the day of the week, and end on a day."""
    begins: Clock
    ends: Clock | None = None
    """None: some time after the last thing that happens."""
    seed: Annotated[int, Field(ge=0)] | None = None
    """Draws who notices whom; None: the likeliest course, in which a device notices just what is more likely than not.
    """
    set_away: tuple[Id, ...] = ()
    """Areas that are set, with everybody out, at the beginning."""
    set_inside: tuple[Id, ...] = ()
    actor: tuple[Actor, ...] = ()
    event: tuple[Happening, ...] = ()

    @model_validator(mode="after")
    def _sensible(self) -> "Scenario":
        try:
            datetime.date.fromisoformat(self.date)
        except ValueError:
            raise ValueError("date: an ISO date is wanted, for example “2026-03-02”") from None
        twice = _twice(a.id for a in self.actor)
        if twice:
            raise ValueError(f"two actors are called “{twice}”")
        both = sorted(set(self.set_away) & set(self.set_inside))
        if both:
            raise ValueError(f"the area “{both[0]}” cannot be set away and inside at once")
        return self

    @property
    def starts(self) -> datetime.datetime:
        """Day and time at which it begins."""
        day = datetime.datetime.fromisoformat(self.date)
        return day + datetime.timedelta(seconds=seconds_of(self.begins))

    def ms(self, clock: str) -> int:
        """Milliseconds from the beginning to a time of day; earlier than the beginning: on the next day. [ms]"""
        return (seconds_of(clock) - seconds_of(self.begins)) % 86_400 * 1000


def _twice(names: Iterable[str]) -> str:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    return ""


def scenario_from_text(text: str, *, where: str = "scenario") -> Scenario:
    """A scenario from its TOML.

    Parameters
    ----------
    text : str
        The file's text.
    where : str
        Its name, for messages.

    Returns
    -------
    Scenario
        What it says.

    Raises
    ------
    InputError
        One line for each thing that cannot be used.
    """
    try:
        tree: dict[str, Any] = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"not a scenario: {error}", where=where) from None
    try:
        return Scenario.model_validate(tree)
    except ValidationError as error:
        lines = [line.replace("Value error, ", "") for line in plain_errors(error, tree, with_given=True)]
        raise InputError("\n  ".join(["cannot be used:", *lines]), where=where) from None
