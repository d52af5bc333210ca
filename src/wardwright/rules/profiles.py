"""Which rows apply to which profile."""

from wardwright.design.brief import Profile
from wardwright.premises.reach import COMMERCIAL_US, ENGLAND, EUROPE, RESIDENTIAL_US, ReachRules

_GRADES = {
    Profile.EU_GRADE_1: 1,
    Profile.EU_GRADE_2: 2,
    Profile.EU_GRADE_3: 3,
    Profile.EU_GRADE_4: 4,
    Profile.UK_CONFIRMED: 2,
}
"""The UK profile is taken at grade 2, the usual grade of a home; take a European profile where another is wanted."""

_EUROPE = ("EU-", "MNT-", "LAW-15", "LAW-25")
_US = ("US-", "MNT-", "LAW-10", "LAW-11", "LAW-12", "LAW-13", "LAW-14", "LAW-15", "LAW-16", "LAW-18", "LAW-19")
_PREFIXES: dict[Profile, tuple[str, ...]] = {
    Profile.EU_GRADE_1: _EUROPE,
    Profile.EU_GRADE_2: _EUROPE,
    Profile.EU_GRADE_3: _EUROPE,
    Profile.EU_GRADE_4: _EUROPE,
    Profile.UK_CONFIRMED: (*_EUROPE, "UK-"),
    Profile.US_HOME: _US,
    Profile.US_BUSINESS: _US,
}

_NOT: dict[Profile, frozenset[str]] = {
    Profile.US_HOME: frozenset(
        {
            *("US-ACC-01", "US-ACC-02", "US-ACC-03", "US-ACC-08"),
            *(f"US-EXT-0{n}" for n in range(1, 8)),
            *("US-UNT-13", "US-UNT-14", "US-UNT-15", "US-UNT-16", "US-UNT-17"),
            *(f"US-LIN-0{n}" for n in range(1, 6)),
            *("MNT-10",),
        }
    ),
    Profile.US_BUSINESS: frozenset(
        {
            *("US-ACC-04", "US-ACC-05", "US-ACC-06", "US-ACC-07"),
            *("US-INS-01", "US-INS-03", "US-INS-05"),
            *("US-UNT-04", "US-UNT-05", "US-UNT-06", "US-UNT-07", "US-UNT-08", "US-UNT-09", "US-UNT-10", "US-UNT-11"),
            *("US-UNT-12", "US-UNT-14", "MNT-10"),
        }
    ),
    Profile.UK_CONFIRMED: frozenset({"EU-WD-10", "EU-ACC-01", "EU-ACC-02", "MNT-09"}),
}
_NOT |= {p: frozenset({"EU-OPT-X", "MNT-09", "MNT-10"}) for p in Profile if p.value.startswith("Europe")}

RECOMMENDED_ONLY: dict[Profile, frozenset[str]] = {
    Profile.US_HOME: frozenset(f"US-731-{n:02d}" for n in range(1, 20)),
}
"""Rows of a standard that is not written for this profile: good advice here, no requirement."""


def grade_of(profile: Profile) -> int | None:
    """Security grade of a profile.

    Parameters
    ----------
    profile : Profile
        The brief's profile.

    Returns
    -------
    int or None
        1 to 4; None for the American profiles, which have no grades.
    """
    return _GRADES.get(profile)


def applies(row_id: str, profile: Profile) -> bool:
    """True where a row has something to say to a profile.

    Parameters
    ----------
    row_id : str
        Id of the row.
    profile : Profile
        The brief's profile.

    Returns
    -------
    bool
        Whether the row is judged at all.
    """
    return row_id.startswith(_PREFIXES[profile]) and row_id not in _NOT.get(profile, frozenset())


def reach_rules(profile: Profile) -> ReachRules:
    """The rule by which a profile decides what can be reached.

    Parameters
    ----------
    profile : Profile
        The brief's profile.

    Returns
    -------
    ReachRules
        The distances and their source.
    """
    if profile is Profile.US_HOME:
        return RESIDENTIAL_US
    if profile is Profile.US_BUSINESS:
        return COMMERCIAL_US
    return ENGLAND if profile is Profile.UK_CONFIRMED else EUROPE
