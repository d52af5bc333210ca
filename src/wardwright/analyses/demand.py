"""How long a system must run without mains, alarm, and recharge: by profile, with the row it comes from."""

from dataclasses import dataclass

from wardwright.catalogue.kinds import Family
from wardwright.design.brief import Profile
from wardwright.design.system import ProtectionScheme

_GRADE = {
    Profile.EU_GRADE_1: 1,
    Profile.EU_GRADE_2: 2,
    Profile.EU_GRADE_3: 3,
    Profile.EU_GRADE_4: 4,
    Profile.UK_CONFIRMED: 2,
}
"""UK confirmed alarms are taken at grade 2 unless the brief names a grade."""

US_ALARM_S = 240.0
"""Alarm after standby in a US household. [s] UL 1023, from memory."""


@dataclass(frozen=True)
class Demand:
    """One demanded time and where it comes from."""

    hours: float
    rule: str
    """Stable key of the row."""
    citation: str
    seen: bool
    """True where the standard's own words were read; a remembered demand refutes nothing."""


@dataclass(frozen=True)
class PowerDemand:
    """What the supply must do."""

    standby: Demand
    alarm_s: float
    alarm_basis: str
    recharge: Demand


def power_demand(scheme: ProtectionScheme) -> PowerDemand:
    """The demands on supply that the brief's profile makes.

    Parameters
    ----------
    scheme : ProtectionScheme
        Brief, programme and devices: hours promised to the client go first; smoke or carbon monoxide inputs make a US
        system a combined one; reporting halves the time of European grades 3 and 4.

    Returns
    -------
    PowerDemand
        Standby, alarm and recharge.
    """
    bell = scheme.design.programme.timers.bell_s
    profile = scheme.brief.profile
    grade = _GRADE.get(profile)
    if grade is None:
        recharge = Demand(48.0, "US-731-03", "NFPA731-2008, recharge in 48 h", seen=True)
        alarm, basis = max(bell, US_ALARM_S), f"bell time of the programme, at least {US_ALARM_S / 60:.0f} min"
        if scheme.of_family(Family.SMOKE, Family.CO):
            standby = Demand(24.0, "US-UNT-05", "UL 985 and NFPA 72 chapter 29, from memory", seen=False)
        elif profile is Profile.US_HOME:
            standby = Demand(4.0, "US-UNT-04", "UL1023, 4 h and 4 min of alarm, from memory", seen=False)
        else:
            standby = Demand(4.0, "US-UNT-13", "UL 609 and UL 1610, from memory", seen=False)
    else:
        recharge = Demand(
            72.0 if grade <= 2 else 24.0, "EU-PWR-09", "EN50131-1-2006 table 24, to 80 %, from memory", seen=False
        )
        alarm, basis = bell, "bell time of the programme"
        hours = 12.0 if grade <= 2 else 60.0
        rule, clause = "EU-PWR-04", "EN50131-1-2006 clause 9, table 23, from memory"
        if grade >= 3 and scheme.brief.monitored and scheme.design.programme.paths:
            hours, rule = hours / 2.0, "EU-PWR-07"
            clause = "EN50131-1-2006 clause 9, halved as mains faults are reported, from memory"
        standby = Demand(hours, rule, clause, seen=False)
    if scheme.brief.standby_h is not None:
        standby = Demand(scheme.brief.standby_h, "", "the brief", seen=True)
    return PowerDemand(standby, alarm, basis, recharge)
