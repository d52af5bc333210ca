"""What a surveyor would add to the real house ``house-fzk.ifc``: goods and beds of our own invention."""

from wardwright.premises.life import Bed, Response, Target
from wardwright.premises.model import Premises

TARGETS = (
    Target(id="silver", name="Silver in the sideboard", room_id="room-wohnen", position=(10.4, 3.4), take_s=60.0),
    Target(id="computer", name="Computer in the study", room_id="room-buero", position=(1.0, 8.8), take_s=45.0),
    Target(
        id="jewellery", name="Jewellery in the bedroom", room_id="room-schlafzimmer", position=(10.8, 8.8), take_s=60.0
    ),
)
BEDS = (Bed(id="bed-1", room_id="room-schlafzimmer", position=(9.6, 6.6), sleepers=2),)


def with_fzk_household(premises: Premises) -> Premises:
    """The drawn building with invented goods, beds, temperatures and response."""
    rooms = tuple(r.model_copy(update={"temperature_min_c": 15.0, "temperature_max_c": 26.0}) for r in premises.rooms)
    response = Response(policy="keyholder", median_s=1200.0, spread=0.5)
    around = premises.surroundings.model_copy(update={"response": response, "notes": "Household invented."})
    return premises.model_copy(
        update={"rooms": rooms, "targets": TARGETS, "beds": BEDS, "surroundings": around, "name": "House FZK"}
    )
