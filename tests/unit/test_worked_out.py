"""An answer is worked out once for the very record, again for another of the same content, and never mistaken."""

import gc

from wardwright.model import Record
from wardwright.worked_out import forget_all, once


class Leaf(Record):
    id: str
    width_m: float = 1.0


def test_the_same_record_is_asked_once_and_another_again() -> None:
    asked = []

    @once(3)
    def double(leaf: Leaf, by: int, *, more: str = "") -> float:
        asked.append((leaf.id, by, more))
        return by * leaf.width_m

    leaf = Leaf(id="a")
    assert double(leaf, 2) == 2.0
    assert double(leaf, 2) == 2.0
    assert double(leaf, 3) == 3.0
    assert double(Leaf(id="a"), 2) == 2.0  # equal, but nothing is compared
    assert double(leaf, 2, more="x") == 2.0
    assert len(asked) == 4
    double.forget()
    double(leaf, 2)
    assert len(asked) == 5
    forget_all()
    double(leaf, 2)
    assert len(asked) == 6


def test_a_record_gone_from_memory_never_answers_for_another() -> None:
    @once(1000)
    def width(leaf: Leaf) -> float:
        return leaf.width_m

    for n in range(500):
        assert width(Leaf(id="x", width_m=float(n))) == n
        gc.collect(0)


def test_the_answer_longest_not_asked_for_goes_first() -> None:
    asked = []

    @once(2)
    def same(value: str) -> str:
        asked.append(value)
        return value

    for value in ("a", "b", "a", "c", "a", "b"):
        assert same(value) == value
    assert asked == ["a", "b", "c", "b"]
