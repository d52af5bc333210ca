"""All engineering analyses of the invented house together, and its cables: the ways there are, one length, the plan."""

from collections.abc import Callable
from itertools import combinations

from bench.sound_and_radio import orchard_lane, with_radio
from bench.table import Row, best_of

from wardwright.analyses.audibility import audibility
from wardwright.analyses.beam_reserve import beam_reserves
from wardwright.analyses.cables import cable_plan
from wardwright.analyses.contact_field import contact_fields
from wardwright.analyses.glass_hearing import glass_hearings
from wardwright.analyses.loops import loops
from wardwright.analyses.mode import modes_wanted
from wardwright.analyses.power import power
from wardwright.analyses.radio import radio
from wardwright.analyses.siting import siting_checks
from wardwright.analyses.timing import timing
from wardwright.design.lengths import place_of
from wardwright.premises.cableways import Cableways


def rows() -> list[Row]:
    """Measure; each analysis has run once before."""
    house = orchard_lane()
    air = with_radio(house)
    works: dict[str, Callable[[], object]] = {
        "contacts": lambda: contact_fields(house),
        "breaking glass": lambda: [glass_hearings(house, mode) for mode in modes_wanted(house)],
        "beams": lambda: beam_reserves(house),
        "siting": lambda: [siting_checks(house, device) for device in house.fitted],
        "cables": lambda: cable_plan(house),
        "supply": lambda: power(house),
        "loops": lambda: loops(house),
        "radio": lambda: radio(air),
        "walks": lambda: timing(house),
        "sound": lambda: audibility(house),
    }
    took = {name: best_of(4, work) for name, work in works.items()}
    longest = sorted(took, key=lambda name: -took[name])[:4]
    told = ", ".join(f"{name} {1000 * took[name]:.0f}" for name in longest)
    built = best_of(3, lambda: Cableways(house.premises))
    ways = Cableways(house.premises)
    places = [place_of(d) for d in house.fitted]
    pairs = list(combinations(places, 2))
    asked = best_of(2, lambda: [ways.way(a, b) for a, b in pairs])
    return [
        Row(f"all engineering analyses, {len(house.fitted)} devices and 32 radios", f"{sum(took.values()):.2f} s",
            f"{told} ms", aim="under 0.3 s warm"),
        Row("cables: the building's ways, built once", f"{1000 * built:.0f} ms", aim="under 50 ms"),
        Row(f"cables: one length out of {len(pairs)}", f"{1e6 * asked / len(pairs):.0f} µs"),
    ]  # fmt: skip
