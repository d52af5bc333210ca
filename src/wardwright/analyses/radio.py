"""Radio links: what is left over the weakest signal the receiver takes, and how the channel is shared."""

import math
from dataclasses import dataclass

from wardwright.analyses.contact_field import leaf_of
from wardwright.analyses.radio_line import Crossing, crossings, line_length
from wardwright.analyses.readings import Compared, latest, measured_spread, measured_value
from wardwright.catalogue.kinds import DeviceKind
from wardwright.design.devices import Device
from wardwright.design.system import ProtectionScheme
from wardwright.errors import OutOfRangeError
from wardwright.physics.radio import (
    burn_through,
    collision_share,
    envelope_loss,
    free_space_loss,
    indoor_loss_by_floors,
    multi_wall_loss,
)
from wardwright.physics.radio_slabs import wall_loss

MESSAGE_S = 0.02
"""Length of one telegram. Assumption. [s]"""
REPEATS = 3
"""Telegrams sent for one message. Assumption."""
EVENTS = 60.0
"""Events a day of one device. Assumption. [1/day]"""
ON_STEEL_DB = (4.5, 3.0, 6.0)
"""Lost by an antenna on a steel leaf or frame: central, low, high. Common practice, no source. [dB]"""
AERIALS_DB = (3.0, 0.0, 8.0)
"""Lost by antennas that lie across one another: central, low, high. Common practice, no source. [dB]"""
MODEL_DB = 6.0
"""How far a predicted level is trusted beyond the spread of the models. Assumption. [dB]"""
JAMMER_DBM = 20.0
"""A jammer one can carry. Assumption. [dBm]"""
CAPTURE_DB = 10.0
"""By how much a device must be stronger than a jammer. From memory. [dB]"""
HOUR_S = 3600.0
HALF = 0.5
"""Share of places behind a building's walls that lose no more. [-]"""
DAY_S = 86_400.0
FLOOR_DB = 4.0
"""Floor of a home in the older site-general model. [dB] ITU-P1238."""


@dataclass(frozen=True)
class Link:
    """One radio device and its receiver."""

    device_id: str
    receiver_id: str
    distance_m: float | None
    level_dbm: float | None
    reserve_db: float | None
    """Level less the weakest the receiver takes."""
    interval_db: tuple[float, float] | None
    measured: bool
    through: tuple[str, ...]
    assumption: str
    on_air_s_h: float | None
    """Time it sends in an hour."""
    duty: float | None
    """Share of an hour it may send. [-]"""
    supervision_s: float | None
    burn_through_m: float | None
    undecided: str = ""
    steps: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class RadioAnalysis:
    """All links, and the channel they share."""

    links: tuple[Link, ...]
    unlinked: tuple[str, ...]
    """Radio devices that nobody listens to."""
    collisions: dict[str, float]
    """Share of messages that meet another one, by receiver. [-]"""
    compared: tuple[Compared, ...] = ()


def radio(scheme: ProtectionScheme) -> RadioAnalysis:
    """Every radio link of a design.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design; readings of ``radio level`` at a device replace its predicted level.

    Returns
    -------
    RadioAnalysis
        One link for each radio device with a receiver.
    """
    fitted = {d.id: d for d in scheme.fitted}
    kinds = scheme.catalogue.kinds
    linked = [r for r in scheme.design.radio if r.device_id in fitted and r.receiver_id in fitted]
    links, compared = [], []
    for pair in linked:
        link, told = _link(scheme, fitted[pair.device_id], fitted[pair.receiver_id])
        links.append(link)
        compared += [told] if told is not None else []
    heard = {r.device_id for r in linked}
    mute = [d.id for d in scheme.fitted if d.kind in kinds and kinds[d.kind].radio and d.id not in heard]
    return RadioAnalysis(tuple(links), tuple(mute), _collisions(links), tuple(compared))


def _collisions(links: list[Link]) -> dict[str, float]:
    found = {}
    for receiver in dict.fromkeys(link.receiver_id for link in links):
        mine = [x for x in links if x.receiver_id == receiver and x.on_air_s_h is not None]
        if mine:
            busy = sum(x.on_air_s_h or 0.0 for x in mine) / len(mine)
            found[receiver] = collision_share(len(mine), MESSAGE_S, MESSAGE_S * HOUR_S / busy) if busy else 0.0
    return found


def _link(scheme: ProtectionScheme, device: Device, receiver: Device) -> tuple[Link, Compared | None]:
    kind, ear = scheme.kind_of(device), scheme.kind_of(receiver)
    band, power = kind.get("radio_frequency_hz"), kind.get("radio_power_dbm")
    weakest, takes = ear.get("radio_sensitivity_dbm"), ear.get("radio_frequency_hz")
    on_air, supervision = _on_air(kind), kind.get("supervision_s")
    start = (device.storey_id, device.position, device.height_m)
    end = (receiver.storey_id, receiver.position, receiver.height_m)

    def none(why: str) -> tuple[Link, None]:
        bare = (device.id, receiver.id, None, None, None, None, False, (), "", on_air, kind.get("radio_duty"))
        return Link(*bare, supervision, None, why), None

    if band is None or power is None or weakest is None:
        return none("the catalogue does not say how strongly it sends, or how weak a signal the receiver takes")
    if takes is not None and abs(takes - band) > 1e6:
        return none(f"it sends at {band / 1e6:.1f} MHz, the receiver listens at {takes / 1e6:.1f} MHz")
    distance = max(0.3, line_length(scheme.premises, start, end))
    met = crossings(scheme.premises, start, end)
    try:
        losses, lines = _losses(band, distance, met)
    except OutOfRangeError as error:
        return none(str(error))
    sited, notes = _siting(scheme, device)
    central, low, high = (power - loss - site for loss, site in zip(losses, sited, strict=True))
    assumption = "; ".join(
        [
            *(
                ("the build-up of walls or floors on the line was not surveyed",)
                if any(not c.known for c in met)
                else ()
            ),
            *notes,
            "furniture, people and wet walls",
        ]
    )
    reading = latest(scheme, "radio level", device.id)
    told = None
    level, interval = central, (low, high)
    if reading is not None:
        level, spread = measured_value(reading), measured_spread(reading)
        interval = (level - spread, level + spread)
        told = Compared(
            reading.id,
            "radio level",
            device.id,
            level,
            central,
            low - MODEL_DB - spread,
            high + MODEL_DB + spread,
            "dBm",
        )
    jammed = burn_through(0.0, -level, JAMMER_DBM, capture=CAPTURE_DB, frequency=band)
    walled = JAMMER_DBM - envelope_loss(band, HALF)
    from_outside = burn_through(0.0, -level, walled, capture=CAPTURE_DB, frequency=band)
    steps = (
        ("sends", f"{power:.1f} dBm isotropic at {band / 1e6:.2f} MHz"),
        ("straight line", f"{distance:.1f} m"),
        *lines,
        ("antennas and siting", "{:.1f} dB ({:.1f} to {:.1f})".format(*sited)),
        ("level predicted", f"{central:.0f} dBm ({low:.0f} to {high:.0f})"),
        *((("level measured", f"{level:.0f} dBm, {reading.date}, {reading.instrument}"),) if reading else ()),
        ("receiver takes", f"{weakest:.0f} dBm"),
        ("reserve", f"{level - weakest:.0f} dB ({interval[0] - weakest:.0f} to {interval[1] - weakest:.0f})"),
        ("on the air", f"{on_air:.2g} s an hour" if on_air is not None else "not known"),
        ("a carried jammer in the open drowns it within", f"{jammed:.2g} m of the receiver"),
        ("one outside, through the walls (P.2109, half of all places)", f"{from_outside:.2g} m"),
    )
    return (
        Link(
            device.id,
            receiver.id,
            distance,
            level,
            level - weakest,
            (interval[0] - weakest, interval[1] - weakest),
            reading is not None,
            tuple(c.what for c in met),
            "" if reading is not None else assumption,
            on_air,
            kind.get("radio_duty"),
            supervision,
            jammed,
            steps=steps,
        ),
        told,
    )


def _losses(
    band: float, distance: float, met: tuple[Crossing, ...]
) -> tuple[tuple[float, float, float], tuple[tuple[str, str], ...]]:
    """Likely, largest and least loss of the line, and the lines of the calculation. [dB]"""
    free = free_space_loss(band, distance)
    likely = least = most = 0.0
    lines = [("free space", f"{free:.1f} dB")]
    for item in met:
        one, low, high = (wall_loss(x, band, angle=item.angle_rad) for x in (item.likely, item.least, item.most))
        low, high = min(one, low), max(one, high)
        if item.floor:
            one = (low + high) / 2.0
        likely, least, most = likely + one, least + low, most + high
        spread = "" if item.known else f" ({low:.1f} to {high:.1f}: build-up not known)"
        degrees = math.degrees(item.angle_rad)
        lines.append((item.what, f"{_words(item)}, {degrees:.0f}° off straight: {one:.1f} dB{spread}"))
    floors = sum(item.floor for item in met)
    walls = [item for item in met if not item.floor]
    heavy = sum(item.heavy for item in walls)
    counted = multi_wall_loss(band, distance, light=len(walls) - heavy, heavy=heavy, floors=floors)
    by_floors = indoor_loss_by_floors(band, max(1.0, distance), floor_loss=FLOOR_DB * floors)
    lines += [
        ("P.2040 through each layer, summed", f"{free + likely:.1f} dB ({free + least:.1f} to {free + most:.1f})"),
        ("COST 231, walls and floors counted", f"{counted:.1f} dB"),
        ("P.1238 for homes, 1.8 GHz figures extrapolated", f"{by_floors:.1f} dB"),
    ]
    every = (free + likely, free + most, counted, by_floors)
    return (free + likely, max(every), max(free, min(free + least, counted, by_floors))), tuple(lines)


def _words(item: Crossing) -> str:
    return "/".join(f"{material} {1000 * thickness:.0f}" for material, thickness in item.likely) + " mm"


def _siting(scheme: ProtectionScheme, device: Device) -> tuple[tuple[float, float, float], list[str]]:
    """Central, largest and least loss at the device's own end, and what it rests on. [dB]"""
    central, low, high = AERIALS_DB
    notes: list[str] = []
    opening = next((o for o in scheme.premises.openings if o.id == device.opening_id), None)
    leaf = leaf_of(device, opening) if opening is not None else None
    if leaf is not None and leaf.material == "steel":
        central, low, high = (a + b for a, b in zip((central, low, high), ON_STEEL_DB, strict=True))
        notes.append("its antenna stands on steel")
    return (central, high, low), notes


def _on_air(kind: DeviceKind) -> float | None:
    """Seconds a device sends in an hour: its check-ins and its events. [s/h]"""
    supervision = kind.get("supervision_s")
    if supervision is None:
        return None
    return MESSAGE_S * REPEATS * (HOUR_S / supervision + EVENTS * HOUR_S / DAY_S)
