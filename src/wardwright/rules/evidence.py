"""What a clause may look at: the scheme, and the analyses that were run on it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from shapely import Point, Polygon

from wardwright.analyses.audibility import Audibility
from wardwright.analyses.entry import EntryAnalysis
from wardwright.analyses.glass_hearing import Hearing
from wardwright.analyses.loops import LoopAnalysis
from wardwright.analyses.panel_programme import Numbering, numbering, panel_programme
from wardwright.analyses.power import PowerAnalysis
from wardwright.analyses.programme_proof import ProgrammeProof
from wardwright.analyses.radio import RadioAnalysis
from wardwright.analyses.routes import RouteAnalysis
from wardwright.analyses.siting_records import SitingCheck
from wardwright.analyses.standby import Standby
from wardwright.analyses.timing import TimingAnalysis
from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device
from wardwright.design.programme import Programme, Timers, ZoneResponse
from wardwright.design.system import ProtectionScheme
from wardwright.panel.programme import PanelProgramme
from wardwright.premises.fabric import Room
from wardwright.premises.openings import Opening, OpeningKind
from wardwright.premises.plan import storey_plans
from wardwright.premises.reach import Reach, reach
from wardwright.rules import panel_runs
from wardwright.rules.profiles import grade_of, reach_rules

CONTROL = (Family.PANEL, Family.ALL_IN_ONE)
MOVEMENT = (Family.MOTION, Family.DUAL)
PROCESSING = (Family.MOTION, Family.DUAL, Family.GLASS_BREAK, Family.SHOCK, Family.BEAM)
"""Detectors with processing of their own."""
DETECTING = (Family.CONTACT, *PROCESSING, Family.HOLD_UP)
SOUNDERS = (Family.INNER_SOUNDER, Family.OUTER_SOUNDER)
FIRE = (Family.SMOKE, Family.CO)
INTRUDER = (
    ZoneResponse.ENTRY_EXIT,
    ZoneResponse.PERIMETER,
    ZoneResponse.INTERIOR,
    ZoneResponse.INTERIOR_FOLLOWER,
)


@dataclass(frozen=True, eq=False)
class Evidence:
    """A scheme, and whatever was computed of it. An analysis that is None was not run: clauses then say so."""

    scheme: ProtectionScheme
    entry: EntryAnalysis | None = None
    routes: tuple[RouteAnalysis, ...] = ()
    power: PowerAnalysis | None = None
    loops: LoopAnalysis | None = None
    timing: TimingAnalysis | None = None
    behaviour: ProgrammeProof | None = None
    radio: RadioAnalysis | None = None
    audibility: Audibility | None = None
    glass: tuple[Hearing, ...] | None = None
    siting: tuple[SitingCheck, ...] | None = None

    @property
    def programme(self) -> Programme:
        """The panel programme."""
        return self.scheme.design.programme

    @property
    def timers(self) -> Timers:
        """The programme's timers."""
        return self.programme.timers

    @property
    def grade(self) -> int:
        """Security grade of the profile; 1 where the profile has none."""
        return grade_of(self.scheme.brief.profile) or 1

    @cached_property
    def kinds(self) -> dict[str, DeviceKind]:
        """Catalogue kind of each fitted device; those of an unknown kind are left out."""
        known = self.scheme.catalogue.kinds
        return {d.id: known[d.kind] for d in self.scheme.fitted if d.kind in known}

    def of(self, *families: Family) -> tuple[tuple[Device, DeviceKind], ...]:
        """Fitted devices of some families, each with its kind."""
        return tuple(
            (d, self.kinds[d.id])
            for d in self.scheme.fitted
            if d.id in self.kinds and self.kinds[d.id].family in families
        )

    @cached_property
    def room_of(self) -> dict[str, Room | None]:
        """The room each fitted device stands in; None for one in no room."""
        plans = storey_plans(self.scheme.premises)
        rooms = {r.id: r for r in self.scheme.premises.rooms}
        found: dict[str, Room | None] = {}
        for device in self.scheme.fitted:
            plan = plans.get(device.storey_id)
            room = rooms.get(device.room_id or "")
            if room is None and plan is not None:
                room = plan.room_at(device.position) or _beside(plan.room_shapes, rooms, device.position)
            found[device.id] = room
        return found

    def is_indoors(self, device: Device) -> bool | None:
        """True in a room under roof, False outside all rooms, None where the building has no rooms."""
        if not self.scheme.premises.rooms:
            return None
        room = self.room_of[device.id]
        return room is not None and room.indoors

    @cached_property
    def reach(self) -> dict[str, Reach]:
        """Which openings can be reached, by the profile's rule."""
        return reach(self.scheme.premises, reach_rules(self.scheme.brief.profile))

    def outside_openings(self, *kinds: OpeningKind, reachable_only: bool = True) -> tuple[Opening, ...]:
        """Openings to the outside of some kinds; those that surely cannot be reached are left out."""
        found = []
        for opening in self.scheme.premises.openings:
            if not opening.is_outside or (kinds and opening.kind not in kinds):
                continue
            known = self.reach.get(opening.id)
            if not reachable_only or known is None or known.reachable is not False:
                found.append(opening)
        return tuple(found)

    def on_opening(self, opening: Opening, *families: Family) -> tuple[Device, ...]:
        """Devices of some families that sit on an opening."""
        return tuple(d for d, _ in self.of(*families) if d.opening_id == opening.id)

    def in_rooms_of(self, opening: Opening, *families: Family) -> tuple[Device, ...]:
        """Devices of some families in a room the opening leads to."""
        ids = set(opening.room_ids)
        return tuple(d for d, _ in self.of(*families) if (room := self.room_of[d.id]) is not None and room.id in ids)

    def standbys(self) -> tuple[Standby, ...]:
        """Supplies with their batteries, where the power analysis was run."""
        return () if self.power is None else self.power.standby

    @cached_property
    def panel(self) -> PanelProgramme | None:
        """What the panel is told, to be run; None where there is nothing to run."""
        told = panel_programme(self.scheme) if self.behaviour is None else self.behaviour.programme
        return told if told.areas and told.zones else None

    @cached_property
    def names(self) -> Numbering:
        """Which index of the panel stands for which element."""
        return numbering(self.scheme)

    def panel_zones(self, device_ids: Iterable[str]) -> tuple[int, ...]:
        """Indices the panel uses for the zones some devices report by."""
        behind = self.scheme.zones_of_device
        wanted = {z.id for d in device_ids for z in behind.get(d, ())}
        return tuple(i for i, key in enumerate(self.names.zone_ids) if key in wanted)

    def entry_s(self) -> dict[str, float]:
        """Entry time of each area that has a door to start it, as the panel runs it. [s]"""
        return self._each_area(panel_runs.entry_s)

    def exit_s(self) -> dict[str, float]:
        """Exit time of each area, as the panel runs it. [s]"""
        return self._each_area(panel_runs.exit_s)

    def entry_and_abort_s(self) -> dict[str, float]:
        """From the opening of an area's final door to the report of nobody unsetting. [s]"""
        return self._each_area(panel_runs.entry_and_abort_s)

    def warning_s(self) -> dict[str, float]:
        """Local warning of each area before an entry gone wrong is reported. [s]"""
        return self._each_area(panel_runs.warning_s)

    def _each_area(self, measured: Callable[[PanelProgramme, int], float | None]) -> dict[str, float]:
        if self.panel is None:
            return {}
        found = ((key, measured(self.panel, i)) for i, key in enumerate(self.names.area_ids))
        return {key: seconds for key, seconds in found if seconds is not None}

    @cached_property
    def bell_s(self) -> float | None:
        """How long the outer sounder sounds, as the panel runs it; None where nothing can be run. [s]"""
        return None if self.panel is None else panel_runs.bell_s(self.panel)

    @property
    def reports(self) -> bool:
        """Somebody listens, and there is a way to tell them."""
        return self.scheme.brief.monitored and bool(self.programme.paths)


def _beside(shapes: dict[str, Polygon], rooms: dict[str, Room], position: tuple[float, float]) -> Room | None:
    """The room a device on a wall looks into: the nearest within the thickness of a wall."""
    spot = Point(position)
    near = [(shape.distance(spot), key) for key, shape in shapes.items()]
    best = min(near, default=None)
    return rooms[best[1]] if best is not None and best[0] <= 0.4 else None
