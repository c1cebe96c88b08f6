"""This morning: the headline, what is left, and a forecast in two keys."""

from datetime import date
from typing import Any

import pytest

from tests.tui import fake
from tests.tui.harness import opened, press, settled, text
from voyager.session.sketch.edits import put_forecast
from voyager.session.sketch.state import Sketch
from voyager.tui import morning_now
from voyager.tui.units import Units

ZONE = "Europe/Dublin"
DAY: dict[str, Any] = {
    "day": 3, "date": "2027-03-03", "mark": "underway", "why": "going", "held": True, "mooring": "Athlone",
    "sky_class": "mixed", "charge_start_kwh": 15.0, "start_km": 49.0, "end_km": 78.0,
    "casts_off_utc": "2027-03-03T08:30:00Z", "made_fast_utc": "2027-03-03T13:20:00Z",
}  # fmt: skip


def band(from_kwh: float, to_km: float, speed: float) -> dict[str, Any]:
    return {"from_kwh": from_kwh, "do": "go", "to": f"km {to_km}", "to_km": to_km, "pace_w": 1, "speed_kmh": speed}


def card(*bands: dict[str, Any]) -> list[dict[str, Any]]:
    return [{"sky_class": "mixed", "bands": [{"from_kwh": 0.0, "do": "stay"}, *bands]}]


def test_go_with_hour_and_speed() -> None:
    text = morning_now.headline(DAY, card(band(12.0, 78.0, 6.0)), ZONE)
    assert text == "GO to Athlone at 6.0 km/h, cast off 08:30, made fast 13:20."


def test_slow_where_no_faster_way_is_held() -> None:
    bands = card(band(12.0, 78.0, 5.1), band(18.0, 78.0, 6.0))
    text = morning_now.headline(DAY, bands, ZONE, slow=True)
    assert text == (
        "SLOW to Athlone at 5.1 km/h, cast off 08:30, made fast 13:20: no faster way is held; "
        "from 18.0 kWh on 6.0 km/h."
    )
    assert morning_now.headline(DAY, bands, ZONE).startswith("GO to Athlone at 5.1 km/h")


def test_a_farther_stop_is_no_faster_way() -> None:
    bands = card(band(12.0, 78.0, 5.1), band(18.0, 90.0, 6.0))
    assert morning_now.headline(DAY, bands, ZONE, slow=True).endswith("no faster way is held.")


def test_stay_and_why() -> None:
    text = morning_now.headline(DAY | {"mark": "charge", "why": "recover", "held": False}, [], ZONE)
    assert text == "STAY at Athlone: the battery is to gain first; not held on a poor day."


def test_back_to_a_plug() -> None:
    text = morning_now.headline(DAY | {"end_km": 24.0, "why": "to-shore"}, [], ZONE)
    assert text.startswith("GO back to Athlone")
    assert "and plug in" in text


def test_without_odds_there_is_a_headline_without_a_speed() -> None:
    assert morning_now.headline(DAY, [], ZONE) == "GO to Athlone, cast off 08:30, made fast 13:20."


def test_knots_where_asked_for() -> None:
    assert "3.2 kn" in morning_now.headline(DAY, card(band(12.0, 78.0, 6.0)), ZONE, Units("kn", "NM"))


def test_what_is_left() -> None:
    left = {"fallback": {"to": "km 43.2", "to_km": 43.2}, "no_return": {"km": 60.04, "to": "Rooskey", "to_km": 24.0,
                                                                      "kind": "plug"}}  # fmt: skip
    assert morning_now.left_lines(left, DAY) == [
        "If it turns out worse: turn back to km 43.2, at the slowest pace.",
        "No return past km 60.0 on a poor day: Rooskey, km 24, last plug behind.",
    ]
    ahead = {"fallback": {"to": "km 60", "to_km": 60.0}, "no_return": {**left["no_return"], "km": 49.0}}
    assert morning_now.left_lines(ahead, DAY)[0].startswith("If it turns out worse: go no further than km 60")
    assert "once cast off" in morning_now.left_lines(ahead, DAY)[1]
    assert morning_now.left_lines(None, DAY) == morning_now.left_lines({"fallback": None, "no_return": None}, DAY) == []


def test_which_forecast_is_in_and_whence() -> None:
    bare = Sketch()
    typed = put_forecast(bare, "2027-03-03", "oktas", 3)
    assert "f 0–8 enters a forecast for Wed 3 Mar" in morning_now.forecast_line(bare, bare, "2027-03-03", "f", "Del")
    told = morning_now.forecast_line(typed, bare, "2027-03-03", "f", "Del")
    assert told == "Forecast Wed 3 Mar: 3 eighths of cloud, not yet saved (f changes it, Del takes it out)."
    assert "in the file" in morning_now.forecast_line(typed, typed, "2027-03-03", "f", "Del")
    assert "enters" in morning_now.forecast_line(typed, bare, "2027-03-04", "f", "Del")


def test_the_first_day_that_is_not_over() -> None:
    days = fake.sample()["days"]
    assert morning_now.first_not_past(days, date(2027, 3, 4)) == 4
    assert morning_now.first_not_past(days, date(2026, 1, 1)) == 1
    assert morning_now.first_not_past(days, date(2028, 1, 1)) is None


def asked(app: Any) -> dict[str, Any]:
    """What the last plan was asked for with, as it differs from the file."""
    changes: dict[str, Any] = app.worker.asked[-1]
    return changes


def forecasts(app: Any) -> list[dict[str, Any]]:
    return [dict(row.values) for row in app.desk.sketch.forecast]


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_a_forecast_takes_two_keys_and_plans_anew(size: tuple[int, int]) -> None:
    async with opened(size=size) as (app, pilot):
        await press(app, pilot, "m", "right", "f", "3")
        assert forecasts(app) == [{"date": date(2027, 3, 2), "oktas": 3}]
        assert "forecast" in asked(app)
        shown = " ".join(text(app).split())
        assert "Forecast Tue 2 Mar: 3 eighths of cloud, not yet saved" in shown
        await press(app, pilot, "delete")
        assert forecasts(app) == []
        await press(app, pilot, "u")
        assert forecasts(app) == [{"date": date(2027, 3, 2), "oktas": 3}]


async def test_typed_in_one_burst_it_is_the_same() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "tab", "f", "8", "escape")
        assert forecasts(app) == [{"date": date(2027, 3, 1), "oktas": 8}]


async def test_with_no_card_open_it_is_for_the_first_day_that_is_not_past() -> None:
    async with opened(today=date(2027, 3, 5)) as (app, pilot):
        await press(app, pilot, "tab", "f")
        assert "Cloud on Fri 5 Mar 2027" in text(app)
        await press(app, pilot, "0")
        assert forecasts(app) == [{"date": date(2027, 3, 5), "oktas": 0}]
        assert app.first.opened == "morning"


async def test_none_takes_it_out_and_escape_leaves_it() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "m", "f", "4", "f", "escape")
        assert forecasts(app) == [{"date": date(2027, 3, 1), "oktas": 4}]
        await press(app, pilot, "f", "n")
        assert forecasts(app) == []
        await press(app, pilot, "delete")
        assert forecasts(app) == []


async def test_fallback_and_point_of_no_return_are_asked_for_and_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    wanted = []

    def left(day: int, iso: str, kwh: float) -> dict[str, Any]:
        wanted.append((day, iso, kwh))
        end = {"km": 12.0, "to": "Carrick-on-Shannon", "to_km": 0.0, "kind": "plug"}
        near = {"to": f"km {day}.5", "to_km": 500.0}
        return {"day": day, "date": iso, "slow": day == 2, "fallback": near, "no_return": end}

    monkeypatch.setattr("voyager.session.morning.left", left)
    async with opened() as (app, pilot):
        await press(app, pilot, "m")
        assert "go no further than km 1.5" in text(app)
        assert "No return past km 12.0" in text(app)
        await press(app, pilot, "right")
        await settled(app, pilot)
        assert "km 2.5" in text(app)
        assert "SLOW to" in text(app)
        assert "km 1.5" not in text(app)
        assert [day for day, *_ in wanted] == [1, 2]
        assert wanted[0] == (1, "2027-03-01", fake.sample()["days"][0]["charge_start_kwh"])
