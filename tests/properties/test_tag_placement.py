"""However crowded a place, no two tags overlap and none leaves the space while there is room."""

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import box

from wardwright.documents.frame import Box
from wardwright.documents.tags import Tag, place_tags

SPACE = Box(0.0, 0.0, 200.0, 150.0)
places = st.tuples(st.floats(5.0, 195.0), st.floats(5.0, 145.0))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(places, st.booleans(), st.sampled_from(["", "D-7", "GARAGE-CONTACT-12"])), min_size=1, max_size=25
    ),
    places,
)
def test_tags_never_overlap(wanted: list[tuple[tuple[float, float], bool, str]], crowd: tuple[float, float]) -> None:
    tags = [
        Tag(device_id=f"D{i}", letters="PIR", anchor=crowd if crowded else spot, caption=caption)
        for i, (spot, crowded, caption) in enumerate(wanted)
    ]
    placed = place_tags(tags, SPACE, taken=[Box(90, 70, 30, 6)], avoid=box(0, 60, 200, 63))
    assert [p.tag.device_id for p in placed] == [t.device_id for t in tags]
    for i, one in enumerate(placed):
        assert one.box.inside(SPACE)
        assert not any(one.box.overlaps(other.box) for other in placed[:i])


def test_forty_devices_in_one_spot() -> None:
    tags = [Tag(device_id=f"D{i}", letters="MC", anchor=(100.0, 75.0)) for i in range(40)]
    boxes = [p.box for p in place_tags(tags, SPACE)]
    assert not any(a.overlaps(b) for i, a in enumerate(boxes) for b in boxes[:i])
