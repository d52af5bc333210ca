"""What a client may see: a paper that is lost must not tell a burglar anything.

Nothing that shows an evasion route, an unwatched place, or where the parts are that bring the system down.
"""

import re

from wardwright.catalogue.kinds import Family
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.findings import Finding, Outcome, Question

HIDDEN = frozenset(
    {
        Family.PANEL,
        Family.ALL_IN_ONE,
        Family.EXPANDER,
        Family.SUPPLY,
        Family.BATTERY,
        Family.COMMUNICATOR,
        Family.HOLD_UP,
        Family.RESISTOR,
        Family.CABLE,
    }
)
"""Families never drawn or placed in words for a client: attack them and the system is silent."""
_TELLING = frozenset({Question.ENTRY, Question.ROUTE, Question.ATTACK, Question.SIGNAL, Question.POWER})
IN_PERSON = "A point here is still open. We go through it with you in person, not on paper."


def visible_devices(scheme: ProtectionScheme) -> tuple[Device, ...]:
    """Devices a client's plan and tables may show."""
    return tuple(d for d in scheme.fitted if scheme.kind_of(d).family not in HIDDEN)


def hidden_devices(scheme: ProtectionScheme) -> tuple[Device, ...]:
    """Devices whose place is told in person only."""
    return tuple(d for d in scheme.design.devices if scheme.kind_of(d).family in HIDDEN)


def says_too_much(text: str, scheme: ProtectionScheme) -> bool:
    """True when a text names a device whose place is kept back, by id or by the name it was given."""
    names = {name for device in hidden_devices(scheme) for name in (device.id, device.name) if name}
    kinds = {scheme.kind_of(device).name for device in hidden_devices(scheme)}
    return _names_any(text, names - kinds)


def safe_sentence(finding: Finding, scheme: ProtectionScheme) -> str:
    """A finding in the client's words, held back where it would show a way past the system.

    Parameters
    ----------
    finding : Finding
        Any finding.
    scheme : ProtectionScheme
        The building and system it is about.

    Returns
    -------
    str
        Its plain sentence. Where a claim about ways in, ways through or the system itself is refuted or undecided and
        the sentence names a place or a device, a sentence that names none; the same where it names a hidden device.
        Empty where there is nothing to say, or where a claim that holds names a hidden device.
    """
    text = finding.plain.strip()
    if not text:
        return ""
    if says_too_much(text, scheme):
        return IN_PERSON if finding.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED) else ""
    if finding.question in _TELLING and finding.outcome in (Outcome.NOT_MET, Outcome.NOT_DECIDED):
        premises = scheme.premises
        places = {item.name for group in (premises.openings, premises.rooms, premises.stairs) for item in group}
        ids = {item.id for group in (premises.openings, premises.rooms, scheme.design.devices) for item in group}
        if _names_any(text, places | ids):
            return IN_PERSON
    return text


def _names_any(text: str, names: set[str]) -> bool:
    return any(
        re.search(rf"(?<![\w-]){re.escape(name)}(?![\w-])", text, flags=re.IGNORECASE) is not None
        for name in names
        if len(name) > 1
    )
