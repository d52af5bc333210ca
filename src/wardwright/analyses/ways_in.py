"""Ways in: openings an intruder can get at, the attacks that fit them, and the devices that notice the attack itself.

What notices the body that comes through afterwards is a matter of the hazard field, not of this module.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wardwright.analyses.contact_field import leaf_of, make_gap
from wardwright.analyses.entry_records import Notice
from wardwright.analyses.free_floor import is_way_in
from wardwright.analyses.glass_hearing import GlassHearing
from wardwright.analyses.mode import Mode, watching_devices
from wardwright.analyses.room_sound import pane_size
from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.devices import Device, Keep, Scheme
from wardwright.design.system import ProtectionScheme
from wardwright.physics.shock import detectors_for_pane
from wardwright.premises.attacks import Attack, attacks
from wardwright.premises.openings import Opening
from wardwright.premises.plan import OpeningShape, storey_plans
from wardwright.premises.reach import COMMERCIAL_US, ENGLAND, EUROPE, RESIDENTIAL_US, Reach, ReachRules, reach

CONTACT_P = (0.98, 0.95, 0.995)
"""That a sound contact tells when its leaf opens: central, low, high. Assumption, no source. [-]"""
SHOCK_P = (0.85, 0.60, 0.95)
"""That a shock detector on the frame or pane tells a break-in by force. Assumption, no source. [-]"""
UNTRIED = "an existing device that nobody has tried: test it"
RULES: dict[Profile, ReachRules] = {
    Profile.US_HOME: RESIDENTIAL_US,
    Profile.US_BUSINESS: COMMERCIAL_US,
    Profile.UK_CONFIRMED: ENGLAND,
}


@dataclass(frozen=True)
class Attackable:
    """An opening between indoors and elsewhere, with whether it can be reached and what can be done to it."""

    shape: OpeningShape
    reach: Reach | None
    attacks: tuple[Attack, ...]

    @property
    def reachable(self) -> bool | None:
        """An intruder can get at it. None: not decided."""
        return None if self.reach is None else self.reach.reachable


def attackable_openings(scheme: ProtectionScheme) -> tuple[Attackable, ...]:
    """Every opening to the outside with its attacks, reachable or not.

    Parameters
    ----------
    scheme : ProtectionScheme
        Building and brief; the brief's profile decides whose distances count as within reach.

    Returns
    -------
    tuple of Attackable
        In the order of the premises' storeys and openings.
    """
    premises = scheme.premises
    reached = reach(premises, RULES.get(scheme.brief.profile, EUROPE))
    return tuple(
        Attackable(shape, reached.get(shape.opening.id), attacks(shape.opening))
        for plan in storey_plans(premises).values()
        for shape in plan.openings
        if is_way_in(premises, shape.opening)
    )


class Noticers:
    """The devices that notice attacks on openings in one mode.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design in its building.
    mode : Mode
        How the system is set.
    """

    def __init__(self, scheme: ProtectionScheme, mode: Mode) -> None:
        self._scheme = scheme
        watched = watching_devices(scheme, mode)
        fitted = [d for d in scheme.fitted if d.id in watched]
        self._contacts = [d for d in fitted if scheme.kind_of(d).family is Family.CONTACT]
        self._shock = [d for d in fitted if scheme.kind_of(d).family is Family.SHOCK]
        self._glass = [d for d in fitted if scheme.kind_of(d).family is Family.GLASS_BREAK]
        self._hearing = GlassHearing(scheme, mode)
        self._loops = {c: loop for loop in scheme.design.loops for c in loop.contacts}

    def of(self, attack: Attack, shape: OpeningShape) -> tuple[Notice, ...]:
        """Devices that notice an attack, most certain first.

        Parameters
        ----------
        attack : Attack
            What is done.
        shape : OpeningShape
            The opening it is done to.

        Returns
        -------
        tuple of Notice
            Contacts, shock and glass-break detectors; a device that fails to notice is left out.
        """
        found = [*self._by_contact(attack, shape), *self._by_shock(attack, shape), *self._by_glass(attack, shape)]
        return tuple(sorted(found, key=lambda n: -n.probability))

    def on_inner_door(self, opening: Opening) -> tuple[Notice, ...]:
        """Devices that notice a shut inner door being opened."""
        found = []
        for device in self._contacts:
            if device.opening_id == opening.id and self.why_deaf(device, opening) == "":
                found.append(_notice(device, CONTACT_P, "contact opens", "a sound contact, well fitted"))
        return tuple(found)

    def _by_contact(self, attack: Attack, shape: OpeningShape) -> Iterator[Notice]:
        for device in self._contacts:
            if device.opening_id != shape.opening.id:
                continue
            leaf = leaf_of(device, shape.opening)
            stands_open = attack.from_vent and leaf is not None and leaf.id == attack.leaf_id
            refused = stands_open and leaf is not None and leaf.vent is not None and not leaf.vent.wanted_when_set
            if not (attack.leaf_moves or refused):
                continue
            if not refused and leaf is not None and attack.moved_leaf_id not in (None, leaf.id):
                continue
            if self.why_deaf(device, shape.opening) != "":
                continue
            how = "setting is refused while the leaf stands open" if refused else "contact opens"
            yield _notice(device, CONTACT_P, how, "a sound contact, well fitted")

    def why_deaf(self, device: Device, opening: Opening) -> str:
        """Why a contact cannot notice its leaf opening, or an empty string.

        Parameters
        ----------
        device : Device
            A contact on the opening. ``settings["gap_m"]`` is the gap it was mounted with,
            ``settings["vent_gap_m"]`` the vent gap at which its magnet was placed, where that is not the shut leaf.
        opening : Opening
            The opening.

        Returns
        -------
        str
            One plain sentence for the firm, or empty.
        """
        kind = self._scheme.kind_of(device)
        leaf = leaf_of(device, opening)
        state = kind.words.get("state_when_secure", "closed")
        loop = self._loops.get(device.id)
        if loop is not None and loop.scheme is Scheme.NC and state == "open":
            return "a contact that is open while the leaf is shut sits in a normally closed loop: it cannot be set"
        if loop is not None and loop.scheme is Scheme.NO and state == "closed":
            return "a contact that is closed while the leaf is shut sits in a normally open loop: it cannot be set"
        steel = leaf is not None and leaf.material == "steel"
        operate = make_gap(kind, device, steel=steel)
        if operate is None:
            return ""
        mounted = device.settings.get("gap_m", 0.0)
        if mounted > operate:
            return f"mounted with a gap of {1000 * mounted:.0f} mm, it operates only within {1000 * operate:.0f} mm"
        vent = leaf.vent if leaf is not None else None
        if vent is not None and vent.wanted_when_set:
            away = abs(vent.gap_m - device.settings.get("vent_gap_m", 0.0)) + mounted
            if away > operate:
                return (
                    f"the leaf is wanted {1000 * vent.gap_m:.0f} mm open while set, the contact operates only within "
                    f"{1000 * operate:.0f} mm: it is open already and would have to be left out"
                )
        return ""

    def contacts_on(self, opening: Opening, leaf_id: str | None) -> tuple[Device, ...]:
        """Fitted contacts on one leaf of an opening, whether watched or not.

        Parameters
        ----------
        opening : Opening
            The opening.
        leaf_id : str or None
            The leaf; None: any.
        """
        found = []
        for device in self._scheme.of_family(Family.CONTACT):
            leaf = leaf_of(device, opening)
            if device.opening_id == opening.id and (leaf_id is None or (leaf is not None and leaf.id == leaf_id)):
                found.append(device)
        return tuple(found)

    def _by_shock(self, attack: Attack, shape: OpeningShape) -> Iterator[Notice]:
        if not attack.structure_shaken:
            return
        for device in self._shock:
            if device.opening_id != shape.opening.id:
                continue
            note = "how hard the blows are and how the detector was set"
            central, low, high = SHOCK_P
            why = self._beyond(device, shape, attack) if attack.glass_breaks else ""
            yield _notice(device, (central, 0.0 if why else low, high), "blows shake the frame", why or note)

    def _beyond(self, device: Device, shape: OpeningShape, attack: Attack) -> str:
        """Why a shock detector may not feel a pane break, or an empty string."""
        opening, (x, y) = shape.opening, device.position
        leaf = next((found for found in opening.leaves if found.id == attack.leaf_id), None)
        width, height = pane_size(opening, leaf)
        there = sum(d.opening_id == opening.id for d in self._shock)
        wanted = detectors_for_pane(width, height)
        if wanted > there:
            return f"a pane of {width:.1f} m by {height:.1f} m wants {wanted} shock detectors"
        along = (x - shape.centre[0]) * math.cos(shape.along_rad) + (y - shape.centre[1]) * math.sin(shape.along_rad)
        up = device.height_m - opening.sill_m - opening.height_m / 2
        reached = self._scheme.kind_of(device).get("range_m")
        if reached is not None and math.hypot(along, up) > reached:
            return f"the middle of the opening lies beyond the {reached:.1f} m it is rated for"
        return ""

    def _by_glass(self, attack: Attack, shape: OpeningShape) -> Iterator[Notice]:
        if not attack.glass_breaks:
            return
        leaf = next((x for x in shape.opening.leaves if x.id == attack.leaf_id), None)
        for device in self._glass:
            told = self._hearing.of(device, shape.opening, leaf)
            if told.counts:
                where = f"at {told.distance_m:.1f} m" if told.in_sight else "round a corner"
                chance = (told.probability, *told.interval)
                yield _notice(device, chance, f"glass heard {where}", told.assumption, on_position=True)


def _notice(
    device: Device,
    chance: tuple[float, float, float],
    how: str,
    assumption: str,
    *,
    on_position: bool = False,
) -> Notice:
    central, low, high = chance
    if device.status is Keep.UNKNOWN:
        low, assumption = 0.0, UNTRIED
    return Notice(device.id, central, (low, high), how, assumption, on_position)
