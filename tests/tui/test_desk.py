"""The desk: legs of the sketch with figures of the plan, choices, what is former, what is kept to compare with."""

from dataclasses import replace

import pytest

from tests.tui import fake
from voyager.session.sketch.state import Row
from voyager.tui.desk import Desk
from voyager.tui.leg_rows import capacity_kwh, comforts

FIGURES = ("hours", "energy_kwh", "started_day", "day", "charge_end_kwh")


def opened() -> Desk:
    return Desk("shannon.toml").read(fake.opened("shannon.toml"))


def planned() -> Desk:
    desk = opened()
    plan = fake.plan("shannon.toml", legs=desk.sketch.documents()["voyage"]["leg"])
    return replace(desk, plan=plan, finished=plan, plan_sketch=desk.sketch)


def with_leg(desk: Desk, index: int, **values) -> Desk:
    legs = list(desk.sketch.legs)
    for key, value in values.items():
        legs[index] = legs[index].put(key, value)
    return desk.edited(desk.sketch.with_rows("legs", legs), "leg")


def test_before_a_plan_the_file_alone_is_shown():
    rows = opened().leg_rows()
    assert (rows[0]["from"], rows[0]["distance_km"], rows[0]["locks"]) == ("Carrick-on-Shannon", 24.0, 1)
    assert [row["speed_kmh"] for row in rows] == [None] * 5 + [5.2, None]
    assert not any(key in row for row in rows for key in FIGURES)
    assert opened().shown["voyage"]["name"] == "Carrick to Kilrush (hand-made sample)"


def test_a_planned_row_has_the_plans_figures():
    rows = planned().leg_rows()
    assert [row["energy_kwh"] for row in rows] == [leg["energy_kwh"] for leg in fake.sample()["legs"]]
    assert [row["fixed_speed"] for row in rows] == [False] * 5 + [True, False]
    assert rows[0]["speed_kmh"] == 6.0


def test_a_row_that_was_changed_has_its_own_values_and_no_figures():
    rows = with_leg(planned(), 2, speed_kmh=9.0).leg_rows()
    assert (rows[2]["speed_kmh"], rows[2]["fixed_speed"], rows[2]["distance_km"]) == (9.0, True, 29.0)
    assert not any(key in rows[2] for key in FIGURES)
    assert rows[3]["energy_kwh"] == 4.93


def test_figures_go_with_their_row_when_rows_move():
    desk = planned()
    legs = desk.sketch.legs
    moved = desk.edited(desk.sketch.with_rows("legs", (legs[1], legs[0], *legs[3:])), "moved").leg_rows()
    assert [row["energy_kwh"] for row in moved[:3]] == [2.23, 1.89, 4.93]
    assert [row["leg"] for row in moved] == [1, 2, 3, 4, 5, 6]
    assert [row["plan_leg"] for row in moved] == [2, 1, 4, 5, 6, 7]


def test_a_length_that_was_measured_stays_while_its_line_does():
    desk = planned()
    legs = [row.put("distance_km", None) for row in desk.sketch.legs]
    bare = desk.sketch.with_rows("legs", legs)
    desk = replace(desk.edited(bare, "lengths"), plan_sketch=bare)
    assert with_leg(desk, 0, nights=2).leg_rows()[0]["distance_km"] == 24.0
    assert with_leg(desk, 0, to="Athlone").leg_rows()[0]["distance_km"] is None


@pytest.mark.parametrize("values", [
    {"from": 7, "to": None, "distance_km": "far", "locks": "two", "nights": True, "speed_kmh": float("nan")},
    {}, {"distance_km": True, "water": 4},
])  # fmt: skip
def test_a_broken_row_is_shown_as_far_as_it_can_be_read(values):
    desk = opened()
    broken = desk.edited(desk.sketch.with_rows("legs", [Row(99, values)]), "broken")
    row = broken.leg_rows()[0]
    assert (row["from"], row["distance_km"], row["speed_kmh"], row["nights"]) == ("", None, None, 0)


def test_a_speed_in_knots_is_shown_in_kmh():
    assert with_leg(opened(), 0, speed_kn=3.0).leg_rows()[0]["speed_kmh"] == pytest.approx(5.556)


def test_the_plan_is_former_while_it_answers_another_sketch():
    desk = planned()
    edited = desk.choose("sky", "good")
    assert (desk.former, edited.former) == (False, True)
    assert not replace(edited, history=edited.history.undo()).former


def test_a_provisional_plan_is_not_kept_to_compare_with():
    desk = replace(planned(), finished=None, draft=True, ticket=3)
    edited = desk.choose("aim", "calmest")
    assert edited.plan is not None
    assert edited.baseline is None


def test_while_odds_are_computed_none_are_said_to_be_missing():
    assert "being computed" in replace(planned(), ticket=4).odds_note
    assert "were not computed" in planned().odds_note


def test_the_last_finished_plan_is_kept_to_compare_with_until_dismissed():
    desk = planned()
    first = desk.choose("sky", "good")
    assert first.baseline is desk.finished
    other = fake.plan("shannon.toml", {"sky": "good"})
    second = replace(first, plan=other, finished=other).choose("aim", "calmest")
    assert second.baseline is desk.finished
    assert replace(second, baseline=None).choose("aim", "soonest").baseline is other


def test_a_choice_back_at_the_files_value_is_no_change():
    desk = opened()
    there = desk.choose("sky", "good")
    assert (there.changed("sky"), there.unsaved) == (True, True)
    back = there.choose("sky", "cautious")
    assert (back.changed("sky"), back.unsaved) == (False, False)


def test_a_default_that_the_file_does_not_write_stays_unwritten():
    desk = opened()
    bare = desk.sketch.put_top("aim", None).put_top("comfort", None)
    desk = replace(desk, history=desk.history.add(bare, "").written(bare))
    assert (desk.value("aim"), desk.value("comfort")) == ("soonest", "ample")
    assert "aim" not in desk.choose("aim", "calmest").choose("aim", "soonest").sketch.top


def test_a_date_is_written_as_the_file_writes_dates():
    desk = opened()
    assert desk.shifted(1).sketch.top["departs"].isoformat() == "2027-03-02"
    quoted = desk.sketch.put_top("departs", "2027-03-01")
    desk = replace(desk, history=desk.history.add(quoted, ""))
    assert desk.shifted(1).sketch.top["departs"] == "2027-03-02"


@pytest.mark.parametrize("departs", [None, "soon", 7, "9999-12-31"])
def test_a_departure_that_is_no_date_is_left_alone(departs):
    desk = opened()
    desk = replace(desk, history=desk.history.add(desk.sketch.put_top("departs", departs), ""))
    assert desk.shifted(1) is desk
    assert desk.choice_words("departs")


@pytest.mark.parametrize("boat", [{}, {"battery": 4}, {"battery": {"capacity_kwh": "big"}}, {"comfort": ["off"]}])
def test_a_broken_boat_has_no_capacity_and_the_last_step_of_the_ladder(boat):
    assert capacity_kwh(boat) == 0.0
    assert comforts(boat) == ["off"]


def test_capacity_is_rated_times_health():
    """Worked by hand: 28 kWh at 90 %."""
    assert capacity_kwh({"battery": {"capacity_kwh": 28, "health_percent": 90}}) == pytest.approx(25.2)
