"""Magnetic contacts where they really sit: gap, offset and steel, against the field of the magnet at the reed."""

from dataclasses import dataclass
from functools import lru_cache

from wardwright.catalogue.kinds import DeviceKind, Family
from wardwright.design.devices import Device, Scheme
from wardwright.design.system import ProtectionScheme
from wardwright.physics.magnetics import averaged, block_field, leaf_opening, reach, reed_field
from wardwright.premises.openings import Leaf, LeafRole, Movement, Opening

FOREIGN_BLOCK_M = (0.04, 0.02, 0.01)
"""A strong block magnet, magnetised along its length. Assumption. [m]"""
FOREIGN_T = 1.28
"""Its polarisation, neodymium-iron-boron. [T] ASTM A1101 gives 1.08 to 1.5."""
LEAF_M = (0.040, 0.054)
"""Thickness of an outside door. Common practice, no source. [m]"""
SPREAD = 0.15
"""How far computed distances are trusted, as a share: reeds and magnets of one kind differ. Assumption. [-]"""
STEEL_SPREAD = 0.3
"""The same over steel, where plate and place differ besides. Assumption. [-]"""


@dataclass(frozen=True)
class ContactField:
    """One contact on one leaf."""

    device_id: str
    opening_id: str
    leaf_id: str | None
    on: str
    """``steel``, ``no steel`` or ``unknown``."""
    gap_m: float | None
    """As mounted; None: not measured yet."""
    make_gap_m: float | None
    """Housing gap, closing, at which it reports shut. None: it never does."""
    break_gap_m: float | None
    """Housing gap, opening, by which it reports open."""
    spread: float
    offset_m: float
    edge_m: float | None
    """How far the edge of the leaf has opened when it reports, from the gap as mounted or none."""
    foreign_m: float | None
    """Distance at which a strong foreign magnet still holds a plain reed. None: it tells or resists one."""
    seen: tuple[tuple[str, str], ...]
    """What the loop sees, by state of leaf and wire."""
    undecided: str = ""
    steps: tuple[tuple[str, str], ...] = ()


def contact_fields(scheme: ProtectionScheme) -> tuple[ContactField, ...]:
    """Every fitted contact on an opening.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design. A device's ``settings``: ``gap_m`` and ``offset_m`` as mounted, ``spacer_m`` of non-magnetic
        spacer under both parts, ``from_hinge_m`` along the leaf.

    Returns
    -------
    tuple of ContactField
        In the order of the design.
    """
    openings = {o.id: o for o in scheme.premises.openings}
    loops = {c: loop.scheme for loop in scheme.design.loops for c in loop.contacts}
    return tuple(
        _one(scheme.kind_of(d), d, openings[d.opening_id], loops.get(d.id))
        for d in scheme.of_family(Family.CONTACT)
        if d.opening_id in openings
    )


def leaf_of(device: Device, opening: Opening) -> Leaf | None:
    """The leaf a contact sits on: the one named, or else the active one."""
    if device.leaf_id is not None:
        return next((x for x in opening.leaves if x.id == device.leaf_id), None)
    moving = [x for x in opening.leaves if x.movement is not Movement.FIXED and x.role is LeafRole.ACTIVE]
    return moving[0] if moving else None


def make_gap(kind: DeviceKind, device: Device, *, steel: bool) -> float | None:
    """Gap within which a contact operates where it sits.

    Parameters
    ----------
    kind : DeviceKind
        Its kind: declared gap, magnet, housings.
    device : Device
        Its ``settings``: ``offset_m``, ``spacer_m``.
    steel : bool
        The leaf or frame is of steel.

    Returns
    -------
    float or None
        The declared gap where nothing changes it; with steel or an offset, what the field of the magnet leaves of it,
        but no less than the gap declared on steel. None where the kind declares none. [m]
    """
    declared = kind.get("operate_gap_m")
    offset, spacer = device.settings.get("offset_m", 0.0), device.settings.get("spacer_m", 0.0)
    if declared is None:
        return None
    if not steel and offset == 0.0:
        return declared
    worked = _reach_of(kind, 1.0, offset, _height(kind, spacer) if steel else None)
    on_steel = kind.get("steel_gap_m") if steel else None
    if worked is None and not _magnet(kind):
        return on_steel if on_steel is not None else declared
    return max(worked or 0.0, on_steel or 0.0)


def _magnet(kind: DeviceKind) -> tuple[float, float, float, float, float] | None:
    names = ("magnet_length_m", "magnet_diameter_m", "magnet_polarisation_t", "zero_gap_centre_m", "operate_gap_m")
    found = tuple(kind.get(n) for n in names)
    return None if None in found else found  # type: ignore[return-value]


def _height(kind: DeviceKind, spacer: float) -> float:
    """Axis over steel: half the depth of a housing, and the spacer. [m]"""
    return (kind.get("zero_gap_centre_m") or 0.009) / 2.0 + spacer


def _reach_of(kind: DeviceKind, share: float, offset: float, above_steel: float | None) -> float | None:
    magnet = _magnet(kind)
    return None if magnet is None else _solved(magnet, share, offset, above_steel)


@lru_cache(maxsize=512)
def _solved(
    magnet: tuple[float, float, float, float, float], share: float, offset: float, above_steel: float | None
) -> float | None:
    """Housing gap at which the field has fallen to a share of the operating field. [m]"""
    length, diameter, polarisation, zero, declared = magnet

    def field(distance: float, along: float = 0.0, steel: float | None = None) -> float:
        return reed_field(
            distance, length=length, diameter=diameter, polarisation=polarisation, offset=along, above_steel=steel
        )

    operate = field(zero + declared)
    found = reach(lambda d: field(d, offset, above_steel), share * operate, nearest=max(0.004, 0.8 * zero))
    return None if found is None or found < zero else found - zero


@lru_cache(maxsize=64)
def _foreign(magnet: tuple[float, float, float, float, float], ratio: float) -> float | None:
    """Distance at which a strong block, in line or beside, still holds the reed. [m]"""
    length, diameter, polarisation, zero, declared = magnet
    held = ratio * reed_field(zero + declared, length=length, diameter=diameter, polarisation=polarisation)
    beside = reach(
        lambda d: averaged(lambda x: block_field(x, d, 0.0, size=FOREIGN_BLOCK_M, polarisation=FOREIGN_T)), held
    )
    ahead = reach(
        lambda d: averaged(lambda x: block_field(d + x, 0.0, 0.0, size=FOREIGN_BLOCK_M, polarisation=FOREIGN_T)),
        held,
        nearest=0.03,
    )
    return max((r for r in (beside, ahead) if r is not None), default=None)


def loop_sees(kind: DeviceKind, scheme: Scheme | None) -> tuple[tuple[str, str], ...]:
    """What an input sees of a contact, by its state when secure: never by the form of its reed.

    Parameters
    ----------
    kind : DeviceKind
        ``state_when_secure``: ``closed`` or ``open``.
    scheme : Scheme or None
        How the input is supervised; None for a radio contact.

    Returns
    -------
    tuple of (str, str)
        State of leaf and wire, and what the input makes of it.
    """
    closed = kind.words.get("state_when_secure", "closed") == "closed"
    shut, ajar = ("closed", "open") if closed else ("open", "closed")
    seen = [("leaf shut", f"{shut}: secure"), ("leaf open", f"{ajar}: alarm")]
    if scheme is None:
        return tuple(seen)
    supervised = scheme not in (Scheme.NC, Scheme.NO)
    cut = "told apart by its resistors" if supervised else ("open: alarm" if closed else "open: as if shut, not told")
    short = (
        "told apart by its resistors" if supervised else ("closed: as if shut, not told" if closed else "closed: alarm")
    )
    return (*seen, ("wire cut", cut), ("wires joined", short))


def _one(kind: DeviceKind, device: Device, opening: Opening, loop: Scheme | None) -> ContactField:
    leaf = leaf_of(device, opening)
    material = leaf.material if leaf is not None else "unknown"
    steel = material == "steel"
    offset, spacer = device.settings.get("offset_m", 0.0), device.settings.get("spacer_m", 0.0)
    gap = device.settings.get("gap_m")
    ratio = kind.get("release_ratio") or 0.5
    above = _height(kind, spacer) if steel else None
    make = make_gap(kind, device, steel=steel)
    magnet = _magnet(kind)
    opens = _reach_of(kind, ratio, offset, above) if magnet is not None else kind.get("release_gap_m")
    if make is not None and opens is not None:
        opens = max(opens, make)
    edge = None
    width = (leaf.width_m if leaf is not None else None) or opening.width_m
    if opens is not None:
        travel = max(0.0, opens - (gap or 0.0))
        hinged = leaf is not None and leaf.movement is Movement.HINGED
        edge = leaf_opening(travel, width, device.settings.get("from_hinge_m", width)) if hinged else travel
    plain = kind.words.get("foreign_magnet", "plain") == "plain" and magnet is not None
    undecided = "" if magnet is not None else "the catalogue does not describe the magnet"
    if magnet is not None and make == 0.0:
        undecided = "the magnet's field does not bring the reed to operate at any gap so mounted"
    seen = loop_sees(kind, loop)
    return ContactField(
        device.id,
        opening.id,
        leaf.id if leaf is not None else None,
        "steel" if steel else "unknown" if material == "unknown" else "no steel",
        gap,
        make or None,
        opens,
        STEEL_SPREAD if steel else SPREAD,
        offset,
        edge,
        _foreign(magnet, ratio) if plain and magnet is not None else None,
        seen,
        undecided,
        _steps(kind, magnet, make, opens, ratio, offset, above, seen),
    )


def _steps(
    kind: DeviceKind,
    magnet: tuple[float, float, float, float, float] | None,
    make: float | None,
    opens: float | None,
    ratio: float,
    offset: float,
    above: float | None,
    seen: tuple[tuple[str, str], ...],
) -> tuple[tuple[str, str], ...]:
    def mm(value: float | None) -> str:
        return "never" if value is None else f"{1000 * value:.1f} mm"

    steps: list[tuple[str, str]] = []
    if magnet is not None:
        length, diameter, polarisation, zero, declared = magnet
        field = reed_field(zero + declared, length=length, diameter=diameter, polarisation=polarisation)
        steps = [
            ("magnet", f"rod {mm(diameter)} by {mm(length)}, {polarisation:.2f} T; centres {mm(zero)} apart at no gap"),
            ("operates by declaration", f"within {mm(declared)}, where the reed sees {1000 * field:.2f} mT"),
            ("releases", f"at {ratio:.2f} of that"),
        ]
    if offset:
        steps.append(("mounted out of line by", mm(offset)))
    if above is not None:
        steps.append(("steel", f"plate {mm(above)} behind the axes; field less that of the image"))
        if (declared_steel := kind.get("steel_gap_m")) is not None:
            steps.append(("declared on steel", f"at least {mm(declared_steel)}"))
    steps += [("operates here", f"within {mm(make)}"), ("has released here", f"by {mm(opens)}")]
    return (*steps, *((f"the loop sees, {state}", what) for state, what in seen))
