"""What was lived before is taken again only where it was made of the very same numbers."""

import numpy as np

from voyager.energy.lived import Lived


class Maker:
    """Counts how often it makes."""

    def __init__(self) -> None:
        self.made = 0

    def __call__(self) -> int:
        self.made += 1
        return self.made


def test_the_same_arrays_at_a_place_are_not_worked_on_twice() -> None:
    lived, make = Lived[int](4), Maker()
    given = [np.arange(3.0), np.arange(2)]
    assert [lived.again("a", given, make), lived.again("a", [one.copy() for one in given], make)] == [1, 1]
    assert lived.again("b", given, make) == 2


def test_a_last_digit_or_another_shape_makes_it_anew() -> None:
    lived, make = Lived[int](4), Maker()
    numbers = np.ones(3)
    assert lived.again("a", [numbers], make) == 1
    assert lived.again("a", [np.nextafter(numbers, 2.0)], make) == 2
    assert lived.again("a", [np.nextafter(np.ones(2), 2.0)], make) == 3
    assert lived.again("a", [np.ones(2), np.ones(2)], make) == 4


def test_arrays_changed_afterwards_are_not_taken_for_those_given() -> None:
    lived, make = Lived[int](4), Maker()
    numbers = np.zeros(3)
    lived.again("a", [numbers], make)
    numbers[1] = 1.0
    assert lived.again("a", [numbers], make) == 2


def test_the_place_not_used_for_longest_goes_first() -> None:
    lived, make = Lived[int](2), Maker()
    given = [np.zeros(1)]
    for place in ("a", "b", "a", "c"):
        lived.again(place, given, make)
    assert set(lived.rows) == {"a", "c"}
