"""Trips written down for one way and read for another: what is the same is what would be walked now."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, vessel, voyage
from voyager.planner import books
from voyager.planner.books import Book, Page, Points, book_of, same
from voyager.planner.frame import Frame, build_frame
from voyager.planner.kept import Kept
from voyager.planner.walks import PLAIN, Walker, build_walker
from voyager.route.leg import Leg
from voyager.route.place import Place

DAYS = 4
FAR = (*PLACES, Place("Dene", 53.5, -8.0), Place("Elm", 53.8, -8.0))
WAY = (*LEGS, Leg("Croft", "Dene", "canal", distance_km=29.0, locks=1), Leg("Dene", "Elm", "canal", distance_km=34.0))


def points(keys: str, moorings: list[int]) -> Points:
    return Points(tuple((key,) for key in keys), np.asarray(moorings))


def test_points_are_the_same_from_both_ends_to_what_was_changed() -> None:
    found = same(points("abcdefg", [0, 2, 4, 6]), points("abXYZefg", [0, 3, 5, 7]))
    assert found.number.tolist() == [0, -1, 2, 3]
    assert found.nodes.tolist() == [0, 0, 1, 1]
    assert found.upto[[0, 2, 3]].tolist() == [2, 7, 7]


def test_a_way_cut_short_is_the_same_up_to_its_end() -> None:
    found = same(points("abcdz", [0, 2, 4]), points("abz", [0, 2]))
    assert found.number.tolist() == [0, -1, 1]
    assert found.upto[0] == 2


def frame_of(kept: Kept | None, legs: tuple[Leg, ...]) -> Frame:
    return build_frame(vessel(), voyage(places=FAR, legs=legs), DAYS, kept=kept)


def written(kept: Kept, legs: tuple[Leg, ...]) -> tuple[Book, Walker, np.ndarray[Any, Any]]:
    walker = build_walker(frame_of(kept, legs))
    book = book_of(walker, kept)
    assert book is not None
    return book, walker, np.arange(len(walker.route.moorings))


CHANGES = [
    pytest.param((*WAY[:2], replace(WAY[2], speed_mps=1.2), WAY[3]), id="slower"),
    pytest.param((*WAY[:2], replace(WAY[2], locks=4), WAY[3]), id="locks"),
    pytest.param((*WAY[:2], replace(WAY[2], distance_km=36.0), WAY[3]), id="longer"),
    pytest.param((*WAY[:2], replace(WAY[2], current_mps=0.3), WAY[3]), id="stream"),
    pytest.param((*WAY[:2], replace(WAY[2], shade_percent=50.0), WAY[3]), id="shade"),
    pytest.param((*WAY[:2], replace(WAY[2], open_min=(600, 720)), WAY[3]), id="hours"),
    pytest.param((*WAY[:2], replace(WAY[2], moor_anywhere=False), WAY[3]), id="moorings"),
    pytest.param((replace(WAY[0], locks=0), *WAY[1:]), id="first leg"),
    pytest.param((*WAY[:3], replace(WAY[3], limit_mps=1.5)), id="last leg"),
]


@pytest.mark.parametrize("legs", CHANGES)
def test_trips_read_are_those_that_would_be_walked(legs: tuple[Leg, ...]) -> None:
    kept = Kept()
    book, walker, starts = written(kept, WAY)
    book.walk(walker, 0, DAYS, starts)
    other, walker, starts = written(kept, legs)
    assert other is book
    carried = [book.page(day) for day in range(DAYS)]
    fresh = Book(walker.frame.bank.numbers, False)
    fresh.open(walker)
    for page, walked in zip(carried, fresh.walk(walker, 0, DAYS, starts), strict=True):
        assert page is not None
        assert 0 < page.has.sum() < len(starts)
        alike(page, walked)


def alike(page: Page, walked: Page) -> None:
    """The trips of all moorings that the page has."""
    rows = page.has[walked.trips.start]
    for name in (*PLAIN, "kwh_by_hour", "poor_kwh_by_hour", "moving", "mount", "station"):
        assert getattr(page.trips, name) == pytest.approx(getattr(walked.trips, name)[rows], abs=1e-9)
    assert page.last[page.has].tolist() == walked.last[page.has].tolist()
    assert page.slow.tolist() == walked.slow[rows].tolist()


def test_what_is_lacking_is_walked_and_put_in_its_place() -> None:
    kept = Kept()
    book, walker, starts = written(kept, WAY)
    some = book.walk(walker, 0, DAYS, starts[::2])[1]
    assert some.has.tolist() == [n % 2 == 0 for n in starts]
    whole = book.walk(walker, 0, DAYS, starts)[1]
    fresh = Book(walker.frame.bank.numbers, False)
    fresh.open(walker)
    alike(whole, fresh.walk(walker, 0, DAYS, starts)[1])
    assert whole.has.all()


def test_the_same_way_opens_the_same_pages() -> None:
    kept = Kept()
    book, walker, starts = written(kept, WAY)
    pages = book.walk(walker, 0, DAYS, starts)
    again, walker, _ = written(kept, (replace(WAY[0], nights=2, fit_to_go=0.4), *WAY[1:]))
    assert again.walk(walker, 0, DAYS, starts)[0] is pages[0]


def test_a_voyage_too_long_for_memory_is_not_written_down(monkeypatch: pytest.MonkeyPatch) -> None:
    walker = build_walker(frame_of(Kept(), WAY))
    monkeypatch.setattr(books, "MOST_MORNINGS", DAYS * len(walker.route.moorings) - 1)
    assert book_of(walker, Kept()) is None


def test_nothing_is_written_where_nothing_is_kept() -> None:
    assert book_of(build_walker(frame_of(None, WAY)), None) is None
