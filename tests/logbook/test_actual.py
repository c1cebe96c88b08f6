"""Planned against actual: what each part of a difference is, worked by hand; that they always add up."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.logbook.boat import DAY_KM, PACE_W, START, VESSEL, Ways, lived, planned_row, speed_kmh, voyage
from voyager.logbook.actual import DayActual, actual_days, log_days
from voyager.logbook.entries import Entry
from voyager.logbook.readings import COLUMNS, km_at
from voyager.logbook.split import PARTS

MOTOR = PACE_W / 1e3 * DAY_KM / speed_kmh(PACE_W)
CHARGED, DRAWN, LIT, DARK = 0.98, 1 / 0.98, 8, 16
"""Sun pays for all in the eight lit hours, so that a load then costs what else had been stored."""


def days_of(entries: list[Entry], rows: list[Any]) -> tuple[DayActual, ...]:
    wanted = log_days(entries, voyage())
    assert wanted is not None
    return actual_days(entries, voyage(), VESSEL, (rows + [None] * 9)[: len(wanted.dates)])


def parts(ways: Ways, **more: Any) -> dict[str, float]:
    row = planned_row(0)
    day = days_of(lived([row], ways, **more), [row])[0]
    assert day.split is not None
    assert sum(day.split.kwh.values()) == pytest.approx(day.split.difference_kwh, abs=1e-9)
    return dict(day.split.kwh)


NONE = dict.fromkeys(PARTS, 0.0)


@pytest.mark.parametrize(
    ("ways", "told"),
    [
        (Ways(), {}),
        (Ways(hull=1.2), {"hull": -0.2 * MOTOR * CHARGED}),
        (Ways(sun=0.85), {"sky": -1.5 * CHARGED}),
        (Ways(heat=1.1), {"cabin": -0.028 * (LIT * CHARGED + DARK * DRAWN)}),
        (Ways(hotel_w=50), {"hotel": -0.05 * (LIT * CHARGED + DARK * DRAWN)}),
        (Ways(colder_k=2), {"sky": -0.12 * (LIT * CHARGED + DARK * DRAWN)}),
    ],
)
def test_what_is_measured_is_told_where_it_belongs(ways: Ways, told: dict[str, float]) -> None:
    """By hand: propulsion 400 W over 24 km at (400/50)^(1/3) = 2 m/s; a fouled hull takes a fifth more of it, at noon,
    when the battery would have stored 98 % of that; heat and hotel run day and night, 1/0.98 of them at night."""
    assert parts(ways) == pytest.approx(NONE | told, abs=2e-3)


def test_the_passage_of_the_worked_example() -> None:
    assert speed_kmh(PACE_W) == pytest.approx(7.2)
    assert pytest.approx(4 / 3) == MOTOR


def test_a_day_not_gone_is_habit() -> None:
    row = planned_row(0)
    log = [replace(one, km=0.0, propulsion_kwh=None) for one in lived([row], Ways(hull=0.0))]
    day = days_of(log, [row])[0]
    assert day.split is not None
    assert dict(day.split.kwh) == pytest.approx(NONE | {"habit": MOTOR * CHARGED}, abs=2e-3)


def test_a_slower_passage_is_habit_and_no_cleaner_hull() -> None:
    """A quarter more time over the same way: by the cube law 0.64 of the energy."""
    row = planned_row(0)
    slow = {**row, "hours_underway": 1.25 * row["hours_underway"]}
    log = lived([slow], Ways(hull=0.64))
    day = days_of(log, [row])[0]
    assert day.split is not None
    assert day.split.flows["propulsion"].expected_kwh == pytest.approx(0.64 * MOTOR, rel=2e-3)
    assert day.split.kwh["habit"] == pytest.approx(0.36 * MOTOR * CHARGED, abs=0.01)
    assert day.split.kwh["hull"] == pytest.approx(0.0, abs=2e-3)


def test_a_passage_that_was_watched_may_be_as_slow_as_it_likes() -> None:
    """Seven hours in place of ten thirds, with a position every hour: energy goes with the square of the speed."""
    row = planned_row(0)
    log = [one for one in lived([row], Ways(hull=0.25)) if one.charge_kwh is not None]
    way = [Entry(START + timedelta(hours=2 + h), km=DAY_KM * h / 7) for h in range(8)]
    day = days_of(sorted([*log, *way], key=lambda one: one.time_utc), [row])[0]
    assert day.split is not None
    assert day.split.flows["propulsion"].expected_kwh == pytest.approx(MOTOR * (10 / 21) ** 2, rel=2e-3)
    assert day.timed


def test_two_places_a_day_apart_say_no_pace() -> None:
    row = planned_row(0)
    day = days_of([one for one in lived([row], Ways()) if one.charge_kwh is not None], [row])[0]
    assert day.split is not None
    assert day.split.flows["propulsion"].expected_kwh == pytest.approx(MOTOR, rel=2e-3)
    assert not day.timed
    assert any(note.startswith("pace taken as planned") for note in day.notes)


def test_plugging_in_unplanned_is_habit() -> None:
    row = planned_row(0)
    log = lived([row], Ways())
    log[-1] = replace(log[-1], charge_kwh=(log[-1].charge_kwh or 0) + 2.0, shore_kwh=2.2)
    day = days_of(log, [row])[0]
    assert day.split is not None
    assert 2.2 * 0.9 * CHARGED <= day.split.kwh["habit"] <= 2.2 * 0.9 * DRAWN


def test_the_boat_is_at_its_first_place_as_the_voyage_departs() -> None:
    """The only place noted on the first day is that of its evening: the way there was made, the hull is as ever."""
    row = planned_row(0)
    log = lived([row], Ways(hull=1.2))
    bare = [replace(one, km=None) for one in log[:-2]] + log[-2:]
    day = days_of(bare, [row])[0]
    assert (day.start_km, day.end_km) == (0.0, DAY_KM)
    assert day.split is not None
    assert dict(day.split.kwh) == pytest.approx(NONE | {"hull": -0.2 * MOTOR * CHARGED}, abs=0.02)


def test_without_any_place_the_way_is_taken_to_be_the_planned_one() -> None:
    row = planned_row(0)
    day = days_of([replace(one, km=None) for one in lived([row], Ways(hull=1.2))], [row])[0]
    assert any(note.startswith("way and pace taken as planned") for note in day.notes)
    assert day.split is not None
    assert dict(day.split.kwh) == pytest.approx(NONE | {"hull": -0.2 * MOTOR * CHARGED}, abs=2e-3)
    assert not day.timed


@pytest.mark.parametrize(("plug_at", "taken"), [(None, False), (0, False), (1, True)])
def test_a_planned_plug_that_was_not_there_gave_nothing(plug_at: int | None, taken: bool) -> None:
    """By hand: 3 kWh at the socket in hours 12 to 14, 0.9 of it at the battery, where 0.38 kWh an hour are drawn; the
    planned charge has it, the log's only where the evening's place has a plug. No reading says what was taken."""
    row = planned_row(0)
    hours = [{**hour, "shore_kwh": 1.0 if 12 <= h < 15 else 0.0} for h, hour in enumerate(row["hours"])]
    gain = np.cumsum([0.52 * CHARGED + 0.38 * DRAWN if 12 <= h < 15 else 0.0 for h in range(24)])
    hours = [{**hour, "charge_kwh": hour["charge_kwh"] + float(more)} for hour, more in zip(hours, gain, strict=True)]
    places = tuple(replace(one, shore_w=3000.0) if plug_at == n else one for n, one in enumerate(voyage().places))
    log = lived([row], Ways())
    if taken:
        log[-1] = replace(log[-1], charge_kwh=(log[-1].charge_kwh or 0) + float(gain[-1]))
    [day] = actual_days(log, replace(voyage(), places=places), VESSEL, [{**row, "hours": hours}])
    assert day.split is not None
    assert dict(day.split.kwh) == pytest.approx(NONE | {"habit": 0.0 if taken else -float(gain[-1])}, abs=2e-3)


def test_where_the_boat_was_is_not_said_of_days_without_readings() -> None:
    places = [(0.0, 0.0), (10.0, 24.0), (96.0, 24.0), (178.0, 90.0)]
    found = [km_at(places, 24.0 * day) for day in range(9)]
    assert found == [0.0, 24.0, 24.0, 24.0, 24.0, 24.0, None, None, 90.0]
    assert km_at(places[1:], 0.0) is None


def test_what_is_not_measured_shares_the_rest_by_what_is_expected() -> None:
    """With the charge alone, nine parts in ten of the difference go to sun, heating and hotel as the plan has them."""
    found = parts(Ways(hotel_w=50), columns=())
    whole = 10 + MOTOR + 24 * 0.28 + 2.4
    rest = -0.05 * (LIT * CHARGED + DARK * DRAWN)
    told = {"sky": 10, "hull": MOTOR, "cabin": 24 * 0.28, "hotel": 2.4}
    assert found == pytest.approx(NONE | {name: rest * kwh / whole for name, kwh in told.items()}, abs=5e-3)


def test_one_unmeasured_flow_takes_all_that_is_left() -> None:
    found = parts(Ways(hull=1.3), columns=("solar", "heating", "hotel"))
    assert found == pytest.approx(NONE | {"hull": -0.3 * MOTOR * CHARGED}, abs=3e-3)


def test_a_morning_reading_beside_the_days_start_is_said() -> None:
    rows = [planned_row(0), planned_row(1, charge=29.0)]
    log = [replace(one, time_utc=one.time_utc + timedelta(minutes=40)) for one in lived(rows, Ways())]
    first, second = days_of(log, rows)[:2]
    assert any("08:40" in note for note in first.notes)
    assert first.end == second.start
    assert first.split is not None


@pytest.mark.parametrize(("first", "hours", "shown"), [((3, 27), 21.5, "06:30"), ((10, 30), 22.5, "05:30")])
def test_a_reading_after_the_clocks_were_put_on_is_said_by_the_new_time(
    first: tuple[int, int], hours: float, shown: str
) -> None:
    """Berlin, from 08:00 on the day before the change of 2027-03-28 or 2027-10-31, which has 23 or 25 hours."""
    home = replace(voyage(), time_zone="Europe/Berlin", departs=date(2027, *first))
    starts = datetime(2027, *first, 8, tzinfo=ZoneInfo("Europe/Berlin")).astimezone(UTC)
    log = [Entry(starts, charge_kwh=30.0), Entry(starts + timedelta(hours=hours), charge_kwh=28.0)]
    [day] = actual_days(log, home, VESSEL, [None])
    assert any(f"ends with the reading at {shown}" in note for note in day.notes)


def test_one_reading_a_day_is_too_few_and_says_what_to_note() -> None:
    log = [Entry(START + timedelta(hours=10 + 24 * n), km=0.0, charge_kwh=30.0) for n in range(2)]
    for day in days_of(log, [planned_row(0), planned_row(1)]):
        assert day.split is None
        assert any("mornings and evenings" in note for note in day.notes)


def test_readings_far_from_the_days_ends_tell_the_stretch_between() -> None:
    row = planned_row(0)
    log = [
        Entry(START + timedelta(hours=4), km=10.0, charge_kwh=30.0),
        Entry(START + timedelta(hours=9), km=DAY_KM, charge_kwh=33.0),
    ]
    day = days_of(log, [row])[0]
    assert day.start is not None
    assert day.end is not None
    assert (day.start.hour, day.end.hour) == (4.0, 9.0)
    assert day.split is not None
    assert day.split.planned_kwh == pytest.approx(sum(charge_of(row, h) for h in range(4, 9)), abs=1e-9)


def charge_of(row: dict[str, Any], hour: int) -> float:
    """Change of the charge in one of the planned hours."""
    before = row["hours"][hour - 1]["charge_kwh"] if hour else row["charge_start_kwh"]
    return float(row["hours"][hour]["charge_kwh"] - before)


ROWS = [planned_row(0), planned_row(1, charge=31.0), planned_row(2, charge=33.0)]
AMOUNT = st.one_of(st.none(), st.floats(0, 20))
READING = st.builds(
    Entry,
    st.integers(-60, 74 * 60).map(lambda minutes: START + timedelta(minutes=minutes)),
    km=st.one_of(st.none(), st.floats(0, 100)),
    charge_kwh=st.one_of(st.none(), st.floats(0, 40)),
    solar_kwh=AMOUNT, shore_kwh=AMOUNT, propulsion_kwh=AMOUNT, heating_kwh=AMOUNT, hotel_kwh=AMOUNT,
    inside_c=st.one_of(st.none(), st.floats(-5, 30)),
    outside_c=st.one_of(st.none(), st.floats(-20, 30)),
)  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(st.lists(READING, min_size=1, max_size=12), st.booleans())
def test_whatever_is_noted_the_parts_add_up(entries: list[Entry], bare: bool) -> None:
    rows = [{**row, "hours": []} if bare else row for row in ROWS]
    log = sorted(entries, key=lambda one: one.time_utc)
    if log_days(log, voyage()) is None:
        return
    for day in days_of(log, rows):
        if day.split is None:
            continue
        assert all(np.isfinite(list(day.split.kwh.values())))
        assert sum(day.split.kwh.values()) == pytest.approx(day.split.difference_kwh, abs=1e-9)
        assert day.start is not None
        assert day.end is not None
        change = day.end.charge_kwh - day.start.charge_kwh
        assert day.split.difference_kwh == pytest.approx(change - day.split.planned_kwh, abs=1e-9)


@pytest.mark.parametrize("missing", COLUMNS)
def test_a_fouled_hull_and_dirty_panels_are_found_with_any_one_column_missing(missing: str) -> None:
    columns = tuple(name for name in ("solar", "propulsion", "heating", "hotel") if name != missing)
    found = parts(Ways(hull=1.2, sun=0.85), columns=columns)
    want = NONE | {"hull": -0.2 * MOTOR * CHARGED, "sky": -1.5 * CHARGED}
    assert found == pytest.approx(want, abs=0.02)


def test_without_a_plan_what_the_motor_took_goes_to_the_days_on_which_the_boat_went() -> None:
    """Noted on making fast only: nothing flowed while she lay over night, and the second evening is no gap."""

    def at(hours: float, km: float, motor: float | None = None) -> Entry:
        return Entry(START + timedelta(hours=hours), km=km, charge_kwh=30.0, propulsion_kwh=motor)

    first, second = days_of([at(0, 0.0), at(8, 20.0, 3.6), at(24, 20.0), at(32, 33.0, 2.7), at(48, 33.0)], [])
    assert first.flows_kwh["propulsion"] == pytest.approx(3.6)
    assert second.flows_kwh["propulsion"] == pytest.approx(2.7)
