"""Comfort by the clock: pieces of a day, hours asked, grace after a rise."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.boat.cabin import Comfort, Piece
from voyager.boat.comfort import asked, comfort_pieces, setpoints_c

FRUGAL = Comfort("frugal", ((390, 480, 14.0), (1080, 1320, 15.0)))
OFF = Comfort("off", (), 2.0)
MORNING = (480 + 60 * np.arange(25)) % 1440


@st.composite
def comforts(draw: st.DrawFn) -> Comfort:
    edges = sorted(draw(st.lists(st.integers(0, 1440), min_size=2, max_size=8, unique=True)))
    pairs = zip(edges[::2], edges[1::2], strict=False)
    return Comfort("any", tuple((a, b, draw(st.floats(6, 22))) for a, b in pairs), draw(st.floats(2, 12)))


def at(pieces: list[Piece], hour: int) -> list[tuple[float, float, float, bool, bool]]:
    return [(p.start_h, p.hours, p.setpoint_c, p.asked, p.grace) for p in pieces if p.hour == hour]


def test_setpoints_by_the_minute() -> None:
    assert setpoints_c(FRUGAL, [389, 390, 479, 480, 1080, 1319, 1320, 1439]) == pytest.approx(
        [5, 14, 14, 5, 15, 15, 5, 5]
    )
    assert asked(FRUGAL, [[389, 390], [480, 1080]]).tolist() == [[False, True], [False, True]]


def test_hours_asked_of_a_day() -> None:
    """Half past six to eight and six to ten in the evening are five and a half hours."""
    assert sum(p.hours for p in comfort_pieces(FRUGAL, MORNING, 24) if p.asked) == pytest.approx(5.5)
    assert not any(p.asked for p in comfort_pieces(OFF, MORNING, 24))


def test_cut_where_the_setpoint_changes_and_half_an_hour_after_a_rise() -> None:
    pieces = comfort_pieces(FRUGAL, MORNING, 24)
    assert at(pieces, 10) == [(0.0, 0.5, 15.0, True, True), (0.5, 0.5, 15.0, True, False)]
    assert at(pieces, 22) == [(0.0, 0.5, 5.0, False, False), (0.5, 0.5, 14.0, True, True)]
    assert at(pieces, 23) == [(0.0, 1.0, 14.0, True, False)]
    assert at(pieces, 14) == [(0.0, 1.0, 5.0, False, False)]


def test_grace_runs_over_the_start_of_the_day() -> None:
    late = Comfort("late", ((465, 600, 14.0),))
    first = at(comfort_pieces(late, MORNING, 24), 0)
    assert first == [(0.0, 0.25, 14.0, True, True), (0.25, 0.75, 14.0, True, False)]


@pytest.mark.parametrize(("rise_min", "graced_min"), [(450, 0), (451, 1), (479, 29), (480, 30)])
def test_grace_at_the_start_of_the_day_is_to_the_minute(rise_min: int, graced_min: int) -> None:
    pieces = comfort_pieces(Comfort("late", ((rise_min, 600, 14.0),)), MORNING, 2)
    assert sum(60 * p.hours for p in pieces if p.grace) == pytest.approx(graced_min)


def test_midnight_between_equal_setpoints_is_no_rise() -> None:
    night = Comfort("night", ((0, 360, 12.0), (1320, 1440, 12.0)))
    assert at(comfort_pieces(night, MORNING, 24), 16) == [(0.0, 1.0, 12.0, True, False)]


def test_a_rise_inside_the_hours_asked_has_grace_too() -> None:
    steps = Comfort("steps", ((600, 660, 14.0), (660, 720, 18.0), (720, 780, 15.0)))
    graced = [(p.hour, p.start_h, p.setpoint_c) for p in comfort_pieces(steps, MORNING, 24) if p.grace]
    assert graced == [(2, 0.0, 14.0), (3, 0.0, 18.0)]


def test_clock_changes_are_followed() -> None:
    """Forward: 02:30 never comes, the rise is at 03:00; back: 02:00 to 03:00 comes twice, and so does its half hour."""
    early = Comfort("early", ((150, 240, 10.0),))
    forward = np.array([0, 60, 180, 240])
    assert at(comfort_pieces(early, forward, 4), 2) == [(0.0, 0.5, 10.0, True, True), (0.5, 0.5, 10.0, True, False)]
    back = np.array([60, 120, 120, 180])
    asked_h = [sum(p.hours for p in comfort_pieces(early, back, 4) if p.asked and p.hour == h) for h in range(4)]
    assert asked_h == pytest.approx([0, 0.5, 0.5, 1.0])


@given(comforts(), st.integers(0, 1439), st.integers(0, 25))
def test_pieces_fill_every_step_in_order(comfort: Comfort, start: int, length: int) -> None:
    pieces = comfort_pieces(comfort, (start + 60 * np.arange(25)) % 1440, length)
    clock = np.array([p.hour + p.start_h for p in pieces])
    lengths = np.array([p.hours for p in pieces])
    assert (lengths > 0).all()
    assert lengths.sum() == pytest.approx(length)
    assert clock == pytest.approx(np.append(0, lengths.cumsum())[: len(clock)])
    for piece in pieces:
        minute = start + round(60 * (piece.hour + piece.start_h))
        middle = minute + int(30 * piece.hours)
        assert piece.start_h + piece.hours <= 1 + 1e-9
        assert piece.setpoint_c == setpoints_c(comfort, minute) == setpoints_c(comfort, middle)
        assert piece.asked == asked(comfort, minute)


@given(comforts(), st.integers(0, 1439))
def test_grace_is_the_half_hour_after_any_rise(comfort: Comfort, start: int) -> None:
    """By a plain walk over the minutes of the clock."""
    for piece in comfort_pieces(comfort, (start + 60 * np.arange(24)) % 1440, 24):
        minute = start + round(60 * (piece.hour + piece.start_h))
        back = range(minute - 29, minute + 1)
        assert piece.grace == any(setpoints_c(comfort, m) > setpoints_c(comfort, m - 1) for m in back)


def test_the_list_is_the_callers_own() -> None:
    comfort_pieces(FRUGAL, MORNING, 24).clear()
    assert len(comfort_pieces(FRUGAL, MORNING, 24)) > 24
