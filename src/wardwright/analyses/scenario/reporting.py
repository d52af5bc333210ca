"""Which devices report while a scenario is played, and what their zones read."""

from collections import Counter

from wardwright.analyses.panel_programme import Numbering
from wardwright.analyses.scenario.timeline import Lit
from wardwright.design.system import ProtectionScheme
from wardwright.errors import InputError
from wardwright.panel.events import Condition, Event, ZoneEvent


class Devices:
    """The devices of a system and what each says now."""

    def __init__(self, scheme: ProtectionScheme, names: Numbering) -> None:
        self._scheme = scheme
        index = {key: i for i, key in enumerate(names.zone_ids)}
        self.zones_of = {d: tuple(index[z.id] for z in zones) for d, zones in scheme.zones_of_device.items()}
        self._on: Counter[str] = Counter()
        self._forced: dict[str, Condition] = {}
        self._since: dict[str, int] = {}
        self._lit: list[Lit] = []

    def change(self, device_id: str, on: bool, at_ms: int, *, shut: bool = False) -> bool:
        """A device is made to report once more, or once less; True if what it says has changed.

        Parameters
        ----------
        device_id : str
            The device.
        on : bool
            Once more.
        at_ms : int
            Now. [ms]
        shut : bool
            Whatever made it report is over.
        """
        before = self._on[device_id] > 0
        self._on[device_id] = 0 if shut else max(self._on[device_id] + (1 if on else -1), 0)
        after = self._on[device_id] > 0
        if after and not before:
            self._since[device_id] = at_ms
        elif before and not after:
            self._lit.append(Lit(device_id, self._since.pop(device_id), at_ms))
        return before != after

    def force(self, device_id: str, condition: Condition | None) -> None:
        """A device is masked or lost, or well again, whatever it would say."""
        if condition is None:
            self._forced.pop(device_id, None)
        else:
            self._forced[device_id] = condition

    def events(self, device_id: str) -> tuple[Event, ...]:
        """What the zones of a device read now."""
        return tuple(ZoneEvent(zone, self._reads(zone)) for zone in self.zones_of.get(device_id, ()))

    def _reads(self, zone: int) -> Condition:
        members = [d for d, zones in self.zones_of.items() if zone in zones]
        forced = next((self._forced[d] for d in members if d in self._forced), None)
        return forced or (Condition.ACTIVE if any(self._on[d] for d in members) else Condition.NORMAL)

    def known(self, device_id: str, where: str) -> str:
        """A device that reports by a zone, or one plain sentence that there is none."""
        if device_id not in self.zones_of:
            raise InputError(f"no device “{device_id}” reports by a zone", where=where)
        return device_id

    def place(self, device_id: str) -> str:
        """Where a device is, in words: its opening, its room, or its name."""
        device, premises = self._scheme.design.device(device_id), self._scheme.premises
        if device.opening_id is not None:
            return premises.opening(device.opening_id).name
        room = self._scheme.room_of(device)
        return room.name if room is not None else device.name or device.id

    def lit(self, end_ms: int) -> tuple[Lit, ...]:
        """Every time a device reported, up to the end."""
        running = [Lit(d, since, end_ms) for d, since in self._since.items()]
        return tuple(sorted((*self._lit, *running), key=lambda x: (x.on_ms, x.device_id)))
