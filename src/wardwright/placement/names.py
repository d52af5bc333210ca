"""Ids and names for what is placed: short ones in the trade's abbreviations, never one that is in use."""

from collections.abc import Iterable

from wardwright.catalogue.kinds import DeviceKind


class Names:
    """Hands out ids and zone names.

    Parameters
    ----------
    used : iterable of str
        Ids that are taken.
    zones : iterable of str
        Names of zones that are taken.
    """

    def __init__(self, used: Iterable[str], zones: Iterable[str]) -> None:
        self._used = set(used)
        self._zones = set(zones)

    def device(self, kind: DeviceKind) -> str:
        """The next free id of a kind's abbreviation: ``PIR-3``."""
        number = 1
        while f"{kind.tag}-{number}" in self._used:
            number += 1
        key = f"{kind.tag}-{number}"
        self._used.add(key)
        return key

    def zone(self, name: str) -> str:
        """A zone name that is free: ``Hall``, ``Hall 2``."""
        number, wanted = 1, name
        while wanted in self._zones:
            number += 1
            wanted = f"{name} {number}"
        self._zones.add(wanted)
        return wanted
