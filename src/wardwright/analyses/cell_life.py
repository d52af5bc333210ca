"""How long the cells of radio devices last."""

from dataclasses import dataclass

from wardwright.design.system import ProtectionScheme
from wardwright.errors import OutOfRangeError
from wardwright.physics.cells import DAY_S, YEAR_H, Pulse, average_current, cell_life

QUIET_EVENTS, BUSY_EVENTS = 20.0, 120.0
"""Events a day of a quiet and of a busy place: they bound the life. [1/day] Assumption."""

EVENTS = 60.0
"""Events a day that the life is reckoned with. [1/day] Assumption."""


@dataclass(frozen=True)
class CellLife:
    """One radio device and its cell."""

    device_id: str
    years: float | None
    interval_years: tuple[float, float] | None
    steps: tuple[tuple[str, str], ...] = ()
    undecided: str = ""


def cell_lives(scheme: ProtectionScheme) -> tuple[CellLife, ...]:
    """Life of the cell in each radio device that has one.

    Parameters
    ----------
    scheme : ProtectionScheme
        The design.

    Returns
    -------
    tuple of CellLife
        One for each fitted device with a cell.
    """
    lives = []
    for device in scheme.fitted:
        kind = scheme.kind_of(device)
        capacity = kind.get("cell_capacity_ah")
        if capacity is None:
            continue
        sleep, message = kind.get("sleep_current_a"), kind.get("message_charge_c")
        supervision = kind.get("supervision_s")
        if sleep is None or message is None or supervision is None:
            lives.append(CellLife(device.id, None, None, undecided="the catalogue does not say what it draws"))
            continue
        usable, lost = kind.get("cell_usable") or 0.85, kind.get("cell_self_discharge") or 0.01
        checks = DAY_S / supervision
        try:
            expected, low, high = (
                cell_life(
                    capacity,
                    # A message's charge is given, not its current: one coulomb is one ampere for one second.
                    average_current(sleep, [Pulse(checks + events, message, 1.0)]),
                    usable=usable,
                    self_discharge=lost,
                )
                / YEAR_H
                for events in (EVENTS, BUSY_EVENTS, QUIET_EVENTS)
            )
        except OutOfRangeError as error:
            lives.append(CellLife(device.id, None, None, undecided=str(error)))
            continue
        steps = (
            ("sleeps at", f"{sleep * 1e6:.3g} µA"),
            ("sends", f"{checks:.4g} check-ins and {EVENTS:g} events a day, {message * 1e3:.3g} mC each"),
            ("cell", f"{capacity:.3g} Ah, {usable:.0%} usable, {lost:.1%} lost a year"),
            ("life", f"{expected:.2g} years ({low:.2g} to {high:.2g})"),
        )
        lives.append(CellLife(device.id, expected, (low, high), steps))
    return tuple(lives)
