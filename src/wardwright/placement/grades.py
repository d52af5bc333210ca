"""Which kinds of the catalogue a brief allows."""

import re

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme

_CONFIRMED_GRADE = 2
"""Least grade of a system whose confirmed alarms are answered. From memory. [-]"""


def grade_of(profile: Profile) -> int:
    """Security grade a profile asks of its components; 1 where it names none. [-]

    Parameters
    ----------
    profile : Profile
        The brief's.
    """
    found = re.search(r"grade (\d)", profile.value)
    if found:
        return int(found.group(1))
    return _CONFIRMED_GRADE if profile is Profile.UK_CONFIRMED else 1


def suitable(scheme: ProtectionScheme, *families: Family) -> list[DeviceKind]:
    """Kinds of the families named that the brief allows, cheapest first by price and time to fit.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief and catalogue.
    *families : Family
        What is looked for.

    Returns
    -------
    list of DeviceKind
        Those of the wanted grade or above (a kind that declares none is left in), not ruled out, with a price.
    """
    wanted = grade_of(scheme.brief.profile)
    kinds = [
        k
        for family in families
        for k in scheme.catalogue.family(family)
        if (k.get("grade") or 4.0) >= wanted and k.id not in scheme.brief.ruled_out and k.get("price") is not None
    ]
    return sorted(kinds, key=lambda k: (k.need("price") + (k.get("fit_minutes") or 0.0), k.id))


def receiver_there(scheme: ProtectionScheme) -> Device | None:
    """The device of the design that hears radio devices."""
    return next((d for d in scheme.fitted if scheme.kind_of(d).get("radio_sensitivity_dbm") is not None), None)


def receiver_kind(scheme: ProtectionScheme) -> DeviceKind | None:
    """The kind that hears radio devices: that of the receiver there is, else the cheapest in a band lawful there.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief, catalogue and what is placed already.
    """
    there = receiver_there(scheme)
    if there is not None:
        return scheme.kind_of(there)
    american = scheme.brief.profile in (Profile.US_HOME, Profile.US_BUSINESS)
    for kind in suitable(scheme, Family.EXPANDER):
        band = kind.figures.get("radio_frequency_hz")
        if band is None or "radio_sensitivity_dbm" not in kind.figures:
            continue
        # a band is licence-free by the rules of one side of the Atlantic: the figure names them
        if band.source.startswith("CFR47") is american:
            return kind
    return None


def wired_kinds(scheme: ProtectionScheme, *families: Family) -> list[DeviceKind]:
    """Those of the suitable kinds that report by wire, cheapest first."""
    return [k for k in suitable(scheme, *families) if not k.radio]


def radio_kinds(scheme: ProtectionScheme, *families: Family) -> list[DeviceKind]:
    """Those of the suitable kinds that the receiver hears, by its band, cheapest first."""
    ear = receiver_kind(scheme)
    band = None if ear is None else ear.get("radio_frequency_hz")
    if band is None:
        return []
    return [
        k for k in suitable(scheme, *families) if k.radio and abs((k.get("radio_frequency_hz") or 0.0) - band) < 1e6
    ]
