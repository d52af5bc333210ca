"""The panel's behaviour as literal tables. Anything absent from a table is an error, never a default.

Three tables say it all: how an area moves between its phases, how a zone's trip is taken in each phase, and which codes
of ANSI/SIA DC-05 and DC-03 each event is reported with. The diagrams in the manual are drawn from them.
"""

from enum import StrEnum

from wardwright.panel.programme import Response


class Phase(StrEnum):
    """Where an area stands."""

    UNSET = "unset"
    EXIT = "exit time"
    SET = "set"
    ENTRY = "entry time"


class Move(StrEnum):
    """What moves an area."""

    ASK_SET = "asked to set"
    NOT_READY = "something prevents setting"
    OFF_ROUTE_IN_EXIT = "detector off the exit route"
    EXIT_ENDS = "exit time over"
    FINAL_DOOR_SHUT = "final door shut, second stage"
    EXIT_ERROR = "final door open when exit time ends"
    ENTRY_STARTS = "entry door opened"
    ENTRY_ENDS = "entry time over"
    OFF_ROUTE_IN_ENTRY = "detector off the entry route"
    ASK_UNSET = "asked to unset"


PHASES: dict[tuple[Phase, Move], Phase] = {
    (Phase.UNSET, Move.ASK_SET): Phase.EXIT,
    (Phase.UNSET, Move.NOT_READY): Phase.UNSET,
    (Phase.UNSET, Move.ASK_UNSET): Phase.UNSET,
    (Phase.EXIT, Move.NOT_READY): Phase.UNSET,
    (Phase.EXIT, Move.OFF_ROUTE_IN_EXIT): Phase.UNSET,
    (Phase.EXIT, Move.EXIT_ENDS): Phase.SET,
    (Phase.EXIT, Move.FINAL_DOOR_SHUT): Phase.SET,
    (Phase.EXIT, Move.EXIT_ERROR): Phase.ENTRY,
    (Phase.EXIT, Move.ASK_UNSET): Phase.UNSET,
    (Phase.SET, Move.ENTRY_STARTS): Phase.ENTRY,
    (Phase.SET, Move.ASK_UNSET): Phase.UNSET,
    (Phase.ENTRY, Move.ENTRY_ENDS): Phase.SET,
    (Phase.ENTRY, Move.OFF_ROUTE_IN_ENTRY): Phase.SET,
    (Phase.ENTRY, Move.ASK_UNSET): Phase.UNSET,
}
"""(phase, move) -> phase. Asking to set what is not unset is refused before it gets here."""


class Stage(StrEnum):
    """How a zone's area stands when the zone trips."""

    UNSET = "unset"
    EXIT = "exit time"
    AWAY = "set away"
    INSIDE = "set with people inside"
    ENTRY = "entry time"


class Take(StrEnum):
    """How a trip is taken."""

    NOTHING = "nothing"
    CHIME = "chime"
    EXIT_ROUTE = "on the exit route"
    OFF_EXIT_ROUTE = "off the exit route"
    START_ENTRY = "entry time starts"
    ENTRY_ROUTE = "on the entry route"
    OFF_ENTRY_ROUTE = "off the entry route"
    INTRUDER = "intruder alarm"
    HOLD_UP = "hold-up alarm"
    TAMPER = "tamper"
    FIRE = "fire"
    TECHNICAL = "technical"
    TROUBLE = "trouble"


def _always(take: Take) -> dict[Stage, Take]:
    return dict.fromkeys(Stage, take)


TAKES: dict[Response, dict[Stage, Take]] = {
    Response.ENTRY_EXIT: {
        Stage.UNSET: Take.CHIME,
        Stage.EXIT: Take.EXIT_ROUTE,
        Stage.AWAY: Take.START_ENTRY,
        Stage.INSIDE: Take.START_ENTRY,
        Stage.ENTRY: Take.ENTRY_ROUTE,
    },
    Response.PERIMETER: {
        Stage.UNSET: Take.CHIME,
        Stage.EXIT: Take.OFF_EXIT_ROUTE,
        Stage.AWAY: Take.INTRUDER,
        Stage.INSIDE: Take.INTRUDER,
        Stage.ENTRY: Take.OFF_ENTRY_ROUTE,
    },
    Response.INTERIOR: {
        Stage.UNSET: Take.NOTHING,
        Stage.EXIT: Take.EXIT_ROUTE,
        Stage.AWAY: Take.INTRUDER,
        Stage.INSIDE: Take.INTRUDER,
        Stage.ENTRY: Take.OFF_ENTRY_ROUTE,
    },
    Response.INTERIOR_FOLLOWER: {
        Stage.UNSET: Take.NOTHING,
        Stage.EXIT: Take.EXIT_ROUTE,
        Stage.AWAY: Take.INTRUDER,
        Stage.INSIDE: Take.INTRUDER,
        Stage.ENTRY: Take.ENTRY_ROUTE,
    },
    Response.DAY_24H: _always(Take.INTRUDER),
    Response.HOLD_UP: _always(Take.HOLD_UP),
    Response.TAMPER: _always(Take.TAMPER),
    Response.TROUBLE: _always(Take.TROUBLE),
    Response.FIRE: _always(Take.FIRE),
    Response.TECHNICAL: _always(Take.TECHNICAL),
}
"""Zone response -> stage -> how the trip is taken, for zones that are watched in that stage."""


CODES: dict[str, tuple[str, str]] = {
    "perimeter": ("1131", "BA"),
    "interior": ("1132", "BA"),
    "interior follower": ("1132", "BA"),
    "24-hour": ("1133", "BA"),
    "entry/exit": ("1134", "BA"),
    "intruder restored": ("3130", "BR"),
    "confirmed intruder": ("1139", "BV"),
    "hold-up audible": ("1123", "PA"),
    "hold-up silent": ("1122", "HA"),
    "duress": ("1121", "HA"),
    "tamper": ("1137", "TA"),
    "tamper restored": ("3137", "TR"),
    "fire": ("1110", "FA"),
    "fire restored": ("3110", "FR"),
    "technical": ("1150", "UA"),
    "technical restored": ("3150", "UR"),
    "zone trouble": ("1380", "BT"),
    "zone trouble restored": ("3380", "BJ"),
    "supervision lost": ("1381", "BZ"),
    "supervision restored": ("3381", "BJ"),
    "exit error": ("1374", "EA"),
    "recent closing": ("1459", "CR"),
    "entry started": ("1138", "BA"),
    "unset": ("1401", "OP"),
    "set away": ("3401", "CL"),
    "set inside": ("3441", "CG"),
    "failed to set": ("1454", "CI"),
    "cancel": ("1406", "OC"),
    "inhibited": ("1573", "BB"),
    "inhibit restored": ("3573", "BU"),
    "swinger shutdown": ("1575", "BB"),
    "mains lost": ("1301", "AT"),
    "mains restored": ("3301", "AR"),
    "battery low": ("1302", "YT"),
    "battery restored": ("3302", "YR"),
    "path lost": ("1350", "YC"),
    "path restored": ("3350", "YK"),
    "wrong codes": ("1461", "JA"),
    "sounder fault": ("1321", "YA"),
    "sounder restored": ("3321", "YH"),
    "part fault": ("1333", "ET"),
    "part restored": ("3333", "ER"),
    "radio battery low": ("1384", "XT"),
    "radio battery restored": ("3384", "XR"),
}
"""Event -> (qualifier and code of ANSI/SIA DC-05, code of ANSI/SIA DC-03)."""

INTRUDER_REPORTS = frozenset({"perimeter", "interior", "interior follower", "24-hour", "entry/exit"})
"""Reports of an intruder alarm."""
