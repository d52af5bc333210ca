"""Where the work can hurt somebody: the usual cautions, printed where the work is."""

from dataclasses import dataclass

from wardwright.design.brief import Profile
from wardwright.documents.frame import is_american

_PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Caution:
    """One caution."""

    heading: str
    text: str
    citation: str
    client: bool = False
    """Printed for the client too."""


_EVERYWHERE: tuple[Caution, ...] = (
    Caution(
        "Mains",
        "A competent, licensed electrician makes the mains connection. Isolate, lock off, prove dead before opening "
        "the supply. Local wiring rules decide, not this paper.",
        _PRACTICE,
        client=True,
    ),
    Caution(
        "Batteries",
        "Sealed lead-acid batteries hold about 35 % sulphuric acid and give very high current into a short circuit: "
        "eye protection, insulated tools, no rings or watches, a fuse at the battery, two hands to lift. Charging "
        "makes hydrogen: never in a gas-tight box, keep sparks away. Old ones are hazardous waste: return them.",
        "EHS-LEAD-ACID",
    ),
    Caution(
        "Ladders and height",
        "Set a ladder at about one out for four up, its rails at least 0.9 m (3 ft) above the landing or tied at the "
        "top. No work alone on long ladders; roofs need protection against falls; rails that do not conduct near live "
        "parts.",
        "CFR29-1926.1053",
    ),
    Caution(
        "Drilling",
        "Find cables, gas and water pipes before every hole. Stop and ask when a wall is not what the survey says.",
        _PRACTICE,
    ),
    Caution(
        "Fire and carbon monoxide",
        "Smoke, heat and carbon monoxide alarms are life safety. They are listed here only for power, loops and "
        "audibility, are designed to the fire code with listed equipment by people licensed for it, and the intruder "
        "alarm must never delay or mask them. The way out stays free: no lock, shutter or contact may hinder escape.",
        _PRACTICE,
        client=True,
    ),
    Caution(
        "Sounders",
        "Warn everybody in and near the building before sounders are tested; wear hearing protection beside an outer "
        "sounder.",
        _PRACTICE,
        client=True,
    ),
    Caution(
        "People and papers",
        "Tell somebody where you work when you work alone. Codes are never written down; drawings and keys are kept "
        "locked and given to named people only.",
        _PRACTICE,
    ),
)
_AMERICAN: tuple[Caution, ...] = (
    Caution(
        "Lead paint",
        "A home or a place where children are, built before 1978: paid work that disturbs more than 6 sq ft of paint "
        "in a room inside, or 20 sq ft outside, needs a certified firm.",
        "CFR40-745E",
    ),
    Caution(
        "Plug-in transformer",
        "Use the listed class 2 transformer only, on an outlet nobody switches off, held by its screw where the code "
        "allows it.",
        "NEC-CLASS2",
    ),
)
_EUROPEAN: tuple[Caution, ...] = (
    Caution(
        "Asbestos",
        "A building put up before 2000 may hold asbestos in boards, panels and textured coatings. Ask for the survey "
        "before drilling, and treat it as there unless shown not to be; a survey can miss a panel.",
        "HSG264",
        client=True,
    ),
)

LIMITS: tuple[str, ...] = (
    "This paper supports a licensed practitioner and does not replace one. Local code, the text of the standard asked "
    "for, and the equipment's own instructions come first.",
    "Figures come from generic kinds of equipment. Where people, clothing, temperature or workmanship decide, a result "
    "is given as a range with its governing assumption, and worded likely, doubtful or unlikely.",
    "What was not measured on site is a prediction. What could not be decided is called open: nothing is passed by "
    "silence.",
    "A rule known only from memory refutes nothing until somebody who holds the text confirms it.",
    "An alarm tells; it does not stop anybody. Doors, locks and habits do that.",
)


def cautions(profile: Profile, *, client: bool = False) -> tuple[Caution, ...]:
    """The cautions that belong to a job.

    Parameters
    ----------
    profile : Profile
        Decides which country's cautions are added.
    client : bool, optional
        Only those that concern the client.

    Returns
    -------
    tuple of Caution
        In the order they are printed.
    """
    every = (*_EVERYWHERE, *(_AMERICAN if is_american(profile) else _EUROPEAN))
    return tuple(c for c in every if c.client or not client)
