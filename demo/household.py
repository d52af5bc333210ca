"""Who and what is in Orchard Lane. All of it is invented: people, dog, goods, habits and response time.

A drawing knows none of this; a surveyor would note it walking round.
"""

from wardwright.errors import UnknownReferenceError
from wardwright.premises.fabric import Chase, Room, Standing
from wardwright.premises.life import Bed, HeatSource, Person, Pet, Response, Surroundings, Target
from wardwright.premises.model import Premises
from wardwright.premises.openings import (
    GlassKind,
    Glazing,
    Leaf,
    LeafRole,
    Lock,
    Movement,
    Vent,
)

FLOAT = Glazing(kind=GlassKind.FLOAT, panes=2, thickness_m=0.004)
LAMINATED = Glazing(kind=GlassKind.LAMINATED, panes=1, thickness_m=0.0088, resistance_class="P2A")
TOUGHENED = Glazing(kind=GlassKind.TOUGHENED, panes=2, thickness_m=0.004)


def _sashes(key: str) -> tuple[Leaf, ...]:
    """Both sashes of a sash window; the upper one is let down a little on summer nights where people sleep."""
    common = {"movement": Movement.DOUBLE_HUNG, "material": "timber", "glazing": FLOAT, "lock": Lock(kind="key-locked")}
    bedroom = key.startswith("bedroom")
    vent = Vent(gap_m=0.025, season="summer", when="night", wanted_when_set=True) if bedroom else None
    return (Leaf(id=f"{key}.upper-sash", vent=vent, **common), Leaf(id=f"{key}.lower-sash", **common))


def _casement(key: str, *, vent: Vent | None = None, lock: str = "key-locked") -> Leaf:
    return Leaf(
        id=f"{key}.casement",
        movement=Movement.HINGED,
        material="timber",
        glazing=FLOAT,
        lock=Lock(kind=lock),
        vent=vent,
    )


ANATOMY: dict[str, tuple[Leaf, ...]] = {
    "House front door": (
        Leaf(
            id="house-front-door.leaf",
            movement=Movement.HINGED,
            material="timber",
            glazing=Glazing(kind=GlassKind.LAMINATED, part="panel", width_m=0.30, height_m=0.50),
            lock=Lock(kind="multi-point", resistance_class="RC 2", thumb_turn=True),
        ),
    ),
    "Shop entrance door": (
        Leaf(
            id="shop-door.leaf",
            movement=Movement.HINGED,
            material="aluminium",
            glazing=LAMINATED,
            lock=Lock(kind="mortice"),
        ),
    ),
    "Back door": (
        Leaf(
            id="back-door.leaf",
            movement=Movement.HINGED,
            material="timber",
            glazing=Glazing(kind=GlassKind.FLOAT, part="upper half", width_m=0.60, height_m=0.80),
            lock=Lock(kind="mortice"),
            pet_flap_m=0.20,
        ),
    ),
    "French doors": (
        Leaf(
            id="french-doors.active",
            movement=Movement.HINGED,
            material="timber",
            width_m=0.75,
            glazing=TOUGHENED,
            lock=Lock(kind="multi-point", thumb_turn=True),
        ),
        Leaf(
            id="french-doors.inactive",
            role=LeafRole.INACTIVE,
            movement=Movement.HINGED,
            material="timber",
            width_m=0.75,
            glazing=TOUGHENED,
            lock=Lock(kind="bolt"),
        ),
    ),
    "Workshop roller door": (
        Leaf(id="roller-door.curtain", movement=Movement.ROLLER, material="steel", lock=Lock(kind="padlock")),
    ),
    "Living room sash window": _sashes("living-window"),
    "Bedroom 1 sash window": _sashes("bedroom-1-window"),
    "Bedroom 2 sash window": _sashes("bedroom-2-window"),
    "Shop front": (
        Leaf(
            id="shop-front.pane",
            role=LeafRole.FIXED,
            movement=Movement.FIXED,
            material="aluminium",
            glazing=LAMINATED,
        ),
    ),
    "Kitchen window": (
        _casement("kitchen-window"),
        Leaf(
            id="kitchen-window.fixed-light",
            role=LeafRole.FIXED,
            movement=Movement.FIXED,
            material="timber",
            glazing=FLOAT,
        ),
    ),
    "WC window": (_casement("wc-window", vent=Vent(gap_m=0.08, when="both")),),
    "Workshop window": (
        Leaf(
            id="workshop-window.pane",
            role=LeafRole.FIXED,
            movement=Movement.FIXED,
            material="steel",
            glazing=Glazing(kind=GlassKind.WIRED, thickness_m=0.006),
        ),
    ),
    "Landing window": (_casement("landing-window"),),
    "Bedroom 3 front window": (
        _casement("bedroom-3-front-window"),
        Leaf(
            id="bedroom-3-front-window.fixed-light",
            role=LeafRole.FIXED,
            movement=Movement.FIXED,
            material="timber",
            glazing=FLOAT,
        ),
    ),
    "Bedroom 3 rear window": (_casement("bedroom-3-rear-window", lock="latch"),),
    "Bathroom window": (_casement("bathroom-window", vent=Vent(gap_m=0.10, when="day"), lock="latch"),),
}
FINAL_EXITS = ("House front door", "Shop entrance door")
USUALLY_SHUT = ("Door from hall to shop", "Door from shop to workshop", "WC door", "Bathroom door")

SOFT = ("Living room", "Bedroom 1", "Bedroom 2", "Bedroom 3")
"""Rooms with carpet and curtains."""
TEMPERATURE_C = {"Workshop": (4.0, 32.0), "Shop": (10.0, 30.0)}
"""Coldest and warmest while nobody is about; other rooms 14 to 28 degrees."""


def _room(premises: Premises, name: str) -> Room:
    wanted = name.lower()
    for room in premises.rooms:
        if room.name.lower() == wanted or room.name.lower().endswith(f" {wanted}"):
            return room
    raise UnknownReferenceError(f"the demonstration needs a room called “{name}”", where=premises.name)


def with_household(premises: Premises) -> Premises:
    """The drawn building with its invented household, goods, habits and surroundings.

    Parameters
    ----------
    premises : Premises
        Orchard Lane as read from its file.

    Returns
    -------
    Premises
        The same fabric, with the anatomy of its openings and with what lives in it. Beds read from the drawing give
        way to these.

    Raises
    ------
    UnknownReferenceError
        If a room or an opening it speaks of is not there.
    """

    def room(name: str) -> str:
        return _room(premises, name).id

    known = {o.name for o in premises.openings}
    for name in (*ANATOMY, *FINAL_EXITS, *USUALLY_SHUT):
        if name not in known:
            raise UnknownReferenceError(f"the demonstration needs an opening called “{name}”", where=premises.name)
    openings = tuple(
        o.model_copy(
            update={
                "leaves": ANATOMY.get(o.name, o.leaves),
                "final_exit": o.name in FINAL_EXITS,
                "usually": "shut" if o.name in USUALLY_SHUT else "open",
            }
        )
        for o in premises.openings
    )
    soft = {room(name) for name in SOFT}
    limits = {room(name): span for name, span in TEMPERATURE_C.items()}
    rooms = tuple(
        r.model_copy(
            update={
                "soft_furnished": r.id in soft,
                "temperature_min_c": limits.get(r.id, (14.0, 28.0))[0],
                "temperature_max_c": limits.get(r.id, (14.0, 28.0))[1],
            }
        )
        for r in premises.rooms
    )
    upper = _room(premises, "Bedroom 1").storey_id
    ground = _room(premises, "Living room").storey_id
    return premises.model_copy(
        update={
            "openings": openings,
            "rooms": rooms,
            "beds": (
                Bed(id="bed-1", room_id=room("Bedroom 1"), position=(1.3, 2.05), sleepers=2),
                Bed(id="bed-2", room_id=room("Bedroom 2"), position=(0.8, 6.2), sleepers=1),
                Bed(id="bed-3", room_id=room("Bedroom 3"), position=(10.2, 2.4), sleepers=1),
            ),
            "pets": (
                Pet(
                    id="dog",
                    kind="dog",
                    name="Biscuit",
                    mass_kg=24.0,
                    height_m=0.55,
                    length_m=0.85,
                    room_ids=(room("Kitchen"), room("Hall")),
                ),
            ),
            "people": (
                Person(id="owner", role="adult", name="Ines", sleeps_in=room("Bedroom 1")),
                Person(id="partner", role="adult", name="Tomas", sleeps_in=room("Bedroom 1")),
                Person(id="child", role="child", name="Mila", sleeps_in=room("Bedroom 2")),
                Person(
                    id="grandmother",
                    role="elder",
                    name="Vera",
                    walking_speed_m_s=0.8,
                    sleeps_in=room("Bedroom 3"),
                ),
                Person(id="assistant", role="staff", name="Noor"),
            ),
            "targets": (
                Target(id="till", name="Till", room_id=room("Shop"), position=(8.6, 3.4), take_s=30.0, worth="high"),
                Target(
                    id="stock", name="Stock on the shelves", room_id=room("Shop"), position=(10.1, 2.0), take_s=90.0
                ),
                Target(
                    id="tools",
                    name="Hand tools",
                    room_id=room("Workshop"),
                    position=(7.2, 7.9),
                    take_s=90.0,
                    worth="high",
                ),
                Target(
                    id="jewellery",
                    name="Jewellery in the wardrobe",
                    room_id=room("Bedroom 1"),
                    position=(1.9, 3.8),
                    take_s=60.0,
                    worth="high",
                ),
                Target(id="laptop", name="Laptop", room_id=room("Living room"), position=(1.5, 3.2), take_s=15.0),
                Target(id="keys", name="Car and shop keys", room_id=room("Hall"), position=(4.4, 1.6), take_s=5.0),
            ),
            "heat_sources": (
                *premises.heat_sources,
                HeatSource(
                    id="wood-stove", kind="stove", storey_id=ground, position=(0.6, 1.2), height_m=0.6, size_m=0.6
                ),
            ),
            "standings": (
                *premises.standings,
                Standing(
                    id="water-butt",
                    name="Water butt by the workshop",
                    kind="climbable",
                    outline=((10.2, 9.05), (10.9, 9.05), (10.9, 9.75), (10.2, 9.75)),
                    level_m=1.1,
                ),
            ),
            "chases": (
                *premises.chases,
                Chase(
                    id="roof-space",
                    kind="attic",
                    storey_id=upper,
                    outline=((0.3, 0.3), (10.7, 0.3), (10.7, 4.5), (6.1, 4.5), (6.1, 8.7), (0.3, 8.7)),
                ),
            ),
            "surroundings": Surroundings(
                north_rad=premises.surroundings.north_rad,
                ground_m=-0.15,
                response=Response(policy="police on confirmed alarm", median_s=900.0, spread=0.4),
                sounder_limit_s=1200.0,
                notes="Invented. The street is to the south, a lane behind; the neighbours stand apart.",
            ),
        }
    )
