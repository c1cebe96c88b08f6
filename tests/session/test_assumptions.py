"""What a plan takes for granted: a sentence for what holds, none for what does not."""

from pathlib import Path
from typing import Any

import pytest

from tests.files.test_weather import csv_file
from tests.session.voyages import write
from voyager.files.voyage_file import load_voyage
from voyager.planner.outlook import SPARE_DAYS, look
from voyager.session.plan import plan

COAST = 'water = "coastal"'
FORECAST = "forecast_skill = 0.7\n[[forecast]]\ndate = 2027-03-01\noktas = 2\n"


def sentences(directory: Path, members: int = 0, **keys: object) -> list[str]:
    told: Any = plan(write(directory, **keys), members=members, seed=9)
    return list(told["assumptions"])


def about(lines: list[str], word: str) -> list[str]:
    return [line for line in lines if word in line]


@pytest.mark.parametrize(
    ("sky", "fortnight"),
    [
        ("cautious", "the fortnight that one in five falls below"),
        ("middling", "an even fortnight"),
        ("good", "the fortnight that one in five exceeds"),
    ],
)
def test_the_one_sky_is_named_for_what_it_is(sky: str, fortnight: str, tmp_path: Path) -> None:
    lines = sentences(tmp_path, top=f'sky = "{sky}"')
    assert lines[0] == f"Sky: one {sky} sky, {fortnight}; its arrival date is no percentile."


def test_an_inland_plan_of_one_sky_says_nothing_of_sea_forecast_or_odds(tmp_path: Path) -> None:
    lines = sentences(tmp_path)
    for word in ("oast", "Forecast", "Odds", "weather file", "Comfort"):
        assert not about(lines, word), word
    assert about(lines, "MERRA-2")
    assert all(line.endswith(".") and "\n" not in line for line in lines)


def test_the_horizon_of_many_skies_is_the_days_that_one_needs_and_twenty(tmp_path: Path) -> None:
    path = write(tmp_path)
    loaded = load_voyage(path)
    need = len(look(loaded.vessel, loaded.voyage).schedule.days)
    assert f"Horizon: {need + SPARE_DAYS} days." in sentences(tmp_path, members=5)
    assert SPARE_DAYS == 20


def test_a_forecast_beyond_the_days_planned_is_named(tmp_path: Path) -> None:
    far = "[[forecast]]\ndate = 2028-03-01\noktas = 2\n"
    assert about(sentences(tmp_path, leg=far), "forecast for 2028-03-01 lies beyond the days planned")
    assert not about(sentences(tmp_path, leg=FORECAST.split("\n", 1)[1]), "beyond")


def test_odds_name_members_seed_and_skill(tmp_path: Path) -> None:
    odds = about(sentences(tmp_path, members=5, top="forecast_skill = 0.65"), "Odds")
    assert len(odds) == 1
    assert odds[0].startswith("Odds: 5 skies (seed 9)")
    assert "skill of 0.65" in odds[0]
    assert "6 % (one sd)" in odds[0]


def test_a_coast_is_drawn_where_there_are_members_and_waited_for_where_not(tmp_path: Path) -> None:
    one, many = sentences(tmp_path, leg=COAST), sentences(tmp_path, members=5, leg=COAST)
    assert len(about(one, "(1 - p)/p")) == len(about(many, "(1 - p)/p")) == 1
    assert not about(one, "drawn once a day")
    assert len(about(many, "drawn once a day")) == 1
    assert about(one, "wind_max_kmh")


def test_a_forecast_says_its_days_and_skill(tmp_path: Path) -> None:
    more = FORECAST + "[[forecast]]\ndate = 2027-03-02\noktas = 5\n[[forecast]]\ndate = 2028-01-01\noktas = 1\n"
    one, two = (
        about(sentences(tmp_path, leg=text), "Forecast:")
        for text in (FORECAST.split("\n", 1)[1], more.split("\n", 1)[1])
    )
    assert one[0].startswith("Forecast: sun of 1 day, with a skill of 0.8 on the first")
    assert two[0].startswith("Forecast: sun of 2 days, ")


def test_a_weather_file_takes_the_climates_place_and_is_taken_at_its_word(tmp_path: Path) -> None:
    csv_file(tmp_path, days=400, start="2020-01-01", lat=53.1, lon=-8.0)
    lines = sentences(tmp_path, members=5, top='weather = "w.csv"')
    assert not about(lines, "MERRA-2")
    assert about(lines, "weather file w.csv (CSV, 1 year)")
    assert about(lines, "Odds")[0].endswith("the file is taken at its word.")
    assert "6 %" not in about(lines, "Odds")[0]


def test_a_file_of_less_than_a_year_is_told_by_its_days(tmp_path: Path) -> None:
    csv_file(tmp_path, days=70, start="2020-02-01", lat=53.1, lon=-8.0)
    lines = sentences(tmp_path, members=5, top='weather = "w.csv"')
    assert about(lines, "weather file w.csv (CSV, 70 days)")
    assert "so few days of weather make the odds too sure" in about(lines, "Odds")[0]


def test_days_that_are_not_held_are_said_above_one_in_ten(tmp_path: Path) -> None:
    """A start at the floor without a plug: every sky; a full one: none."""
    low = about(sentences(tmp_path, members=20, charge=16, shore_power="never"), "not held")
    assert low == ["In 100% of the skies some day is not held: carry a way to charge, or more reserve."]
    assert not about(sentences(tmp_path, members=20, charge=95), "not held")


@pytest.mark.parametrize(("power", "instead"), [("never", "no plug is used"), ("last", "leans on plugs")])
def test_warmth_beyond_the_battery_is_said(power: str, instead: str, tmp_path: Path) -> None:
    """Twenty degrees from a 5 kWh battery in January."""
    keys = {"capacity_kwh": 5, "comfort": "ample", "departs": "2027-01-05", "shore_power": power}
    lines = about(sentences(tmp_path, **keys), "Comfort 'ample'")
    assert len(lines) == 1
    assert instead in lines[0]
    assert "2027-01-05" in lines[0]


def noted(directory: Path) -> list[str]:
    return list(load_voyage(write(directory)).notes)


def test_notes_on_the_files_come_last(tmp_path: Path) -> None:
    notes = noted(tmp_path)
    lines = sentences(tmp_path)
    assert lines[len(lines) - len(notes) :] == notes
    assert len(lines) > len(notes)
