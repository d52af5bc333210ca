"""Balanced data buses to keypads and expanders, and power over Ethernet."""

from wardwright.errors import OutOfRangeError

UNIT_LOAD_OHM = 12_000.0
"""Input resistance of one unit load. [Ω] [TIA-485]"""

UNIT_LOADS_MAX = 32
"""[-] [TIA-485]"""

COMMON_MODE_DROP_V = 3.0
"""Largest shift of the 0 V core that leaves room to the common-mode limit of −7 V. [V] Common practice, no source."""

POE_SOURCE_W = {0: 15.4, 1: 4.0, 2: 7.0, 3: 15.4, 4: 30.0, 5: 45.0, 6: 60.0, 7: 75.0, 8: 90.0}
"""At the switch, by class. [W] [IEEE802.3-POE]"""

POE_DEVICE_W = {0: 12.95, 1: 3.84, 2: 6.49, 3: 12.95, 4: 25.5, 5: 40.0, 6: 51.0, 7: 62.0, 8: 71.3}
"""At the device, by class. [W] [IEEE802.3-POE]"""


def bus_resistance(unit_loads: float, *, terminators: int = 2, terminator: float = 120.0) -> float:
    """Resistance a bus driver sees.

    ``1/R = n/12 kΩ + m/R_t``

    Parameters
    ----------
    unit_loads : float
        Sum over all receivers. [-]
    terminators : int
        Fitted terminating resistors. [-]
    terminator : float
        Each of them. [Ω]

    Returns
    -------
    float
        Resistance; a driver is specified into 54 Ω. [Ω]

    Raises
    ------
    OutOfRangeError
        If nothing loads the bus, or a figure is negative.

    Valid range
    -----------
    Up to 32 unit loads.

    References
    ----------
    [TIA-485]_
    """
    if not 0.0 <= unit_loads <= UNIT_LOADS_MAX:
        raise OutOfRangeError("bus", "unit_loads", unit_loads, "0 to 32")
    conductance = unit_loads / UNIT_LOAD_OHM + terminators / terminator
    if not conductance > 0.0:
        raise OutOfRangeError("bus", "unit_loads", unit_loads, "something that loads the bus")
    return 1.0 / conductance


def idle_voltage(supply: float, bus: float, *, pull_up: float, pull_down: float) -> float:
    """Differential voltage of a bus at rest with fail-safe bias.

    ``V = Vcc R_bus / (R_up + R_down + R_bus)``

    Parameters
    ----------
    supply : float
        Of the bias. [V]
    bus : float
        Resistance of the bus. [Ω]
    pull_up : float
        Bias resistor to the supply. [Ω]
    pull_down : float
        Bias resistor to 0 V. [Ω]

    Returns
    -------
    float
        Voltage; receivers need 0.2 V. [V]

    Raises
    ------
    OutOfRangeError
        If a resistance is negative or all are zero.

    Valid range
    -----------
    Bus at rest.

    References
    ----------
    [TIA-485]_ for the 0.2 V.
    """
    total = pull_up + pull_down + bus
    if not (min(pull_up, pull_down, bus) >= 0.0 and total > 0.0):
        raise OutOfRangeError("bus bias", "resistance", min(pull_up, pull_down, bus), "0 Ω or more")
    return supply * bus / total


def poe_device_power(source_power: float, current: float, resistance: float, *, pairsets: int = 1) -> float:
    """Power left for a device fed over an Ethernet cable.

    ``P = P_source − n I² R``

    Parameters
    ----------
    source_power : float
        At the switch. [W]
    current : float
        In each pairset. [A]
    resistance : float
        Loop resistance of each pairset. [Ω]
    pairsets : int
        1 up to class 4, 2 from class 5. [-]

    Returns
    -------
    float
        At the device. [W]

    Raises
    ------
    OutOfRangeError
        If a figure is negative.

    Valid range
    -----------
    Channel of up to 100 m.

    References
    ----------
    [IEEE802.3-POE]_
    """
    if not min(source_power, current, resistance, pairsets) >= 0.0:
        raise OutOfRangeError("PoE", "figure", min(source_power, current, resistance, pairsets), "0 or more")
    return source_power - pairsets * current**2 * resistance
