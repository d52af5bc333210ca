"""Which kinds of the catalogue a brief allows."""

import re

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.brief import Profile
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
