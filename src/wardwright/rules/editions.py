"""The modules that judge rows, one for each standard or group of its editions."""

from types import ModuleType

from wardwright.rules import (
    clc_ts_50131_7_2010,
    en_50131_5_3,
    en_50131_components,
    en_50136_1_2012,
    local_law,
    mounting,
    nfpa,
    panel_behaviour,
    reach_rows,
    sia_cp_01,
    ul_installation,
    ul_units,
    united_kingdom,
    us_guides,
)
from wardwright.rules.en_50131_1_2006 import components, entry, grades, notification, power

MODULES: tuple[ModuleType, ...] = (
    grades,
    entry,
    power,
    notification,
    components,
    en_50131_components,
    en_50131_5_3,
    en_50136_1_2012,
    clc_ts_50131_7_2010,
    united_kingdom,
    reach_rows,
    ul_installation,
    ul_units,
    sia_cp_01,
    nfpa,
    panel_behaviour,
    us_guides,
    mounting,
    local_law,
)
"""Reading them fills the register of clauses."""
