"""Plans as the commands and screens get them: their shape, their sums, what is missing, what a change does."""

import json
from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from tests.session.voyages import write
from voyager.errors import Cancelled, InputError, Problems
from voyager.session.plan import plan

ROUTES = Path(__file__).parents[2] / "routes"
DEMOS = ("spring", "autumn", "winter")
Json = dict[str, Any]
NUMBER, TEXT, YES, LIST, TABLE = (int, float), str, bool, list, dict
TOP = {
    "format": int, "voyage": TABLE, "boat": TABLE, "arrives": (str, None), "short": (dict, None), "days": LIST,
    "legs": LIST, "odds": (dict, None), "card": LIST, "cautions": LIST, "assumptions": LIST,
}  # fmt: skip
VOYAGE = {
    "name": TEXT, "file": TEXT, "departs": TEXT, "time_zone": TEXT, "day_starts": TEXT, "sky": TEXT, "aim": TEXT,
    "by": (str, None), "comfort": TEXT, "heating_reserve_nights": int, "shore_power": TEXT, "members": int,
    "seed": (int, None), "distance_km": NUMBER,
}  # fmt: skip
BOAT = {
    "name": TEXT, "file": TEXT, "array_wp": NUMBER, "capacity_kwh": NUMBER, "ceiling_kwh": NUMBER,
    "reserve_kwh": NUMBER,
}  # fmt: skip
DAY = {
    "day": int, "date": TEXT, "starts_utc": TEXT, "length_h": int, "mark": TEXT, "why": TEXT,
    "sky_class": (str, None), "comfort": TEXT, "from": TEXT, "mooring": TEXT, "at": LIST, "shore_here": YES,
    "start_km": NUMBER, "end_km": NUMBER, "casts_off_utc": (str, None), "made_fast_utc": (str, None),
    "hours_underway": NUMBER, "waiting_h": NUMBER, "locks": int, "pace_w": (int, float, None), "solar_kwh": NUMBER,
    "shore_kwh": NUMBER, "propulsion_kwh": NUMBER, "hotel_kwh": NUMBER, "heating_kwh": NUMBER, "loss_kwh": NUMBER,
    "spilled_kwh": NUMBER, "unserved_kwh": NUMBER, "charge_start_kwh": NUMBER, "charge_low_kwh": NUMBER,
    "charge_evening_kwh": NUMBER, "charge_end_kwh": NUMBER, "floor_kwh": NUMBER, "heating_reserve_kwh": NUMBER,
    "poor_low_kwh": NUMBER, "poor_evening_kwh": NUMBER, "held": YES, "warm_hours": NUMBER, "asked_hours": NUMBER,
    "cabin_low_c": (int, float, None), "cautions": LIST,
}  # fmt: skip
LEG = {
    "leg": int, "from": TEXT, "to": TEXT, "water": TEXT, "distance_km": NUMBER, "course_deg": NUMBER,
    "speed_kmh": NUMBER, "ground_kmh": NUMBER, "power_w": NUMBER, "froude": (int, float, None), "hours": NUMBER,
    "locks": int, "energy_kwh": NUMBER, "started_day": int, "day": int, "charge_end_kwh": NUMBER, "needs_shore": YES,
    "fixed_speed": YES, "cautions": LIST,
}  # fmt: skip
CAUTION = {"code": TEXT, "day": (int, None), "leg": (int, None), "place": (str, None), "text": TEXT}
MARKS = {
    "underway": {"going", "to-shore"},
    "rest": {"asked", "closed", "sea", "daylight", "slack", "arrived"},
    "charge": {"recover", "asked", "closed", "sea", "daylight", "arrived"},
    "shore": {"low", "asked", "closed", "sea", "daylight", "arrived"},
}
MEND = {"text": TEXT, "nights": int, "shore_at": (str, None)}
SHORT = {"day": int, "date": TEXT, "place": TEXT, "short_kwh": NUMBER, "mends": LIST}


@lru_cache
def demo(name: str) -> Json:
    return plan(str(ROUTES / f"{name}.toml"))


def _has(row: Json, keys: dict[str, Any], where: str) -> None:
    for key, kinds in keys.items():
        assert key in row, f"{where}.{key} is missing"
        value, kinds = row[key], kinds if isinstance(kinds, tuple) else (kinds,)
        fits = value is None if None in kinds and value is None else type(value) in kinds
        assert fits, f"{where}.{key} is {value!r}"


@pytest.mark.parametrize("name", DEMOS)
def test_every_key_is_there_with_its_type(name: str) -> None:
    told = demo(name)
    _has(told, TOP, "plan")
    _has(told["voyage"], VOYAGE, "voyage")
    _has(told["boat"], BOAT, "boat")
    for rows, keys, where in ((told["days"], DAY, "days"), (told["legs"], LEG, "legs")):
        assert rows
        for row in rows:
            _has(row, keys, where)
    for caution in told["cautions"]:
        _has(caution, CAUTION, "cautions")
    assert (told["odds"], told["card"], told["voyage"]["members"], told["voyage"]["seed"]) == (None, [], 0, None)
    assert all(day["sky_class"] is None for day in told["days"])


@pytest.mark.parametrize("name", DEMOS)
def test_it_is_json_without_nan(name: str) -> None:
    told = demo(name)
    assert json.loads(json.dumps(told, allow_nan=False)) == told


@pytest.mark.parametrize("name", DEMOS)
def test_a_days_energy_closes_to_a_millionth(name: str) -> None:
    for day in demo(name)["days"]:
        gained = day["solar_kwh"] + day["shore_kwh"]
        spent = sum(day[f"{part}_kwh"] for part in ("propulsion", "hotel", "heating", "loss", "spilled"))
        assert day["charge_end_kwh"] == pytest.approx(day["charge_start_kwh"] + gained - spent, abs=1e-6)


@pytest.mark.parametrize("name", DEMOS)
def test_days_go_on_from_one_another(name: str) -> None:
    told = demo(name)
    for number, day in enumerate(told["days"], start=1):
        assert day["day"] == number
        assert date.fromisoformat(day["date"]) == date.fromisoformat(told["voyage"]["departs"]) + timedelta(number - 1)
    for before, after in pairwise(told["days"]):
        assert after["charge_start_kwh"] == before["charge_end_kwh"]
        assert after["start_km"] == before["end_km"]
        assert after["from"] == before["mooring"]
        gap = datetime.fromisoformat(after["starts_utc"]) - datetime.fromisoformat(before["starts_utc"])
        assert gap == timedelta(hours=before["length_h"])


@pytest.mark.parametrize("name", DEMOS)
def test_a_days_own_numbers_agree(name: str) -> None:
    for day in demo(name)["days"]:
        assert day["why"] in MARKS[day["mark"]]
        assert (day["mark"] == "underway") is (day["end_km"] != day["start_km"])
        charges = (day["charge_start_kwh"], day["charge_evening_kwh"], day["charge_end_kwh"])
        assert day["charge_low_kwh"] <= min(charges) + 1e-9
        assert 0 <= day["warm_hours"] <= day["asked_hours"] + 1e-9
        assert day["spilled_kwh"] <= day["solar_kwh"] + 1e-6
        assert ("no_way_out" in day["cautions"]) is not day["held"]
        sailed = day["casts_off_utc"] is not None and day["made_fast_utc"] is not None
        if day["mark"] == "underway" and sailed:
            away = datetime.fromisoformat(day["made_fast_utc"]) - datetime.fromisoformat(day["casts_off_utc"])
            assert away / timedelta(hours=1) == pytest.approx(day["hours_underway"] + day["waiting_h"], abs=0.02)
        if day["mark"] != "underway":
            assert (day["casts_off_utc"], day["hours_underway"], day["propulsion_kwh"]) == (None, 0.0, 0.0)


@pytest.mark.parametrize("name", DEMOS)
def test_held_days_show_their_margin(name: str) -> None:
    for day in demo(name)["days"]:
        if day["held"]:
            assert day["poor_low_kwh"] >= day["floor_kwh"] - 1e-6
            need = day["floor_kwh"] + (0.0 if day["shore_here"] else day["heating_reserve_kwh"])
            assert day["poor_evening_kwh"] >= need - 1e-3


@pytest.mark.parametrize("name", DEMOS)
def test_legs_are_in_order_and_add_up_with_the_days(name: str) -> None:
    told = demo(name)
    legs, days = told["legs"], told["days"]
    assert [leg["leg"] for leg in legs] == list(range(1, len(legs) + 1))
    for before, after in pairwise(legs):
        assert before["to"] == after["from"]
        assert before["day"] <= after["started_day"]
        assert before["started_day"] <= before["day"]
    assert sum(leg["distance_km"] for leg in legs) == pytest.approx(told["voyage"]["distance_km"], abs=0.02)
    assert sum(leg["hours"] for leg in legs) == pytest.approx(sum(d["hours_underway"] for d in days), abs=0.05)
    assert sum(leg["locks"] for leg in legs) == sum(day["locks"] for day in days)
    waited = sum(day["waiting_h"] for day in days)
    gap = sum(day["propulsion_kwh"] for day in days) - sum(leg["energy_kwh"] for leg in legs)
    assert -1e-3 <= gap <= 0.1 * waited + 1e-3
    for leg in legs:
        moving_h = leg["distance_km"] / leg["ground_kmh"]
        assert moving_h <= leg["hours"] + 0.02
        assert leg["energy_kwh"] >= leg["power_w"] * moving_h / 1e3 - 0.02


@pytest.mark.parametrize("name", DEMOS)
def test_it_arrives_on_its_last_day_and_nothing_is_short(name: str) -> None:
    told = demo(name)
    assert told["arrives"] in [day["date"] for day in told["days"]]
    assert told["days"][-1]["end_km"] == pytest.approx(told["voyage"]["distance_km"], abs=1e-3)
    assert (told["short"] is None) is all(day["held"] for day in told["days"])


@pytest.mark.parametrize("name", DEMOS)
def test_every_caution_of_a_day_or_leg_stands_in_the_list(name: str) -> None:
    told = demo(name)
    listed = {(c["code"], c["day"], c["leg"]) for c in told["cautions"]}
    for day in told["days"]:
        assert {(code, day["day"], None) for code in day["cautions"]} <= listed
    for leg in told["legs"]:
        assert {(code, None, leg["leg"]) for code in leg["cautions"]} <= listed
    assert ("not_for_navigation", None, None) in listed


def test_two_plans_of_one_voyage_are_the_same_to_the_letter(tmp_path: Path) -> None:
    first, second = (json.dumps(plan(write(tmp_path)), sort_keys=True) for _ in range(2))
    assert first == second


def _days_to(told: Json) -> int:
    assert told["arrives"] is not None
    return (date.fromisoformat(told["arrives"]) - date.fromisoformat(told["voyage"]["departs"])).days


def _total(told: Json, name: str) -> float:
    return float(sum(day[name] for day in told["days"]))


def test_a_voyage_that_cannot_be_done_says_when_where_and_by_how_much(tmp_path: Path) -> None:
    """6 kWh, 400 Wp, ample comfort, no plug, autumn into winter: nobody arrives, a plug would mend it or nothing."""
    path = write(
        tmp_path, capacity_kwh=6, panels=1, departs="2027-10-20", comfort="ample", shore_power="never", charge=60
    )
    told = plan(path)
    assert told["arrives"] is None
    short = told["short"]
    _has(short, SHORT, "short")
    assert short["short_kwh"] > 0
    day = told["days"][short["day"] - 1]
    assert (day["date"], day["mooring"], day["held"]) == (short["date"], short["place"], False)
    assert all(before["held"] for before in told["days"][: short["day"] - 1])
    missing = (
        day["floor_kwh"] - day["poor_low_kwh"],
        day["floor_kwh"] + day["heating_reserve_kwh"] - day["poor_evening_kwh"],
    )
    assert short["short_kwh"] == pytest.approx(max(missing), abs=1e-6)
    unsailed = ("speed_kmh", "ground_kmh", "power_w", "froude", "hours", "energy_kwh", "started_day", "day")
    for leg in told["legs"]:
        _has(leg, LEG | dict.fromkeys((*unsailed, "charge_end_kwh"), (int, float, None)), "legs")
    assert told["legs"][1]["day"] is None
    for mend in short["mends"]:
        _has(mend, MEND, "mends")


def _shaded(directory: Path, plug: str = "") -> str:
    """Six nights asked for at the end, under trees that take nearly all the sun: too many for 9 kWh."""
    path = Path(
        write(directory, capacity_kwh=9, panels=5, departs="2027-05-10", plug="", comfort="off", leg="nights = 6")
    )
    text = path.read_text("utf-8")
    end = '"Croft", at = [53.25, -8.0]'
    assert end in text
    path.write_text(text.replace(end, f"{end}, shade_percent = 98{plug}"), "utf-8")
    return str(path)


def test_the_plug_that_would_mend_it_does(tmp_path: Path) -> None:
    """The mend that is told, written into the file, gives a plan that is held every day and arrives."""
    told = plan(_shaded(tmp_path))
    short = told["short"]
    assert told["arrives"] is not None
    assert short["place"] == "Croft"
    assert 0 < short["short_kwh"] < 9
    assert [(mend["nights"], mend["shore_at"]) for mend in short["mends"]] == [(0, "Croft")]
    _has(short["mends"][0], MEND, "mends")
    mended = plan(_shaded(tmp_path, plug=", shore_kw = 3.68"))
    assert mended["short"] is None
    assert mended["arrives"] is not None


def test_what_would_not_mend_it_is_not_told(tmp_path: Path) -> None:
    """A tenth of the socket's power is no mend: with it written in, the plan is still short."""
    assert plan(_shaded(tmp_path, plug=", shore_kw = 0.01"))["short"] is not None


def test_a_plug_of_a_voyage_without_shore_power_is_replayed_alone(tmp_path: Path) -> None:
    """Shore power never taken: a plug at Croft mends Croft, and those that the file has elsewhere stay out of it."""
    path = Path(_shaded(tmp_path))
    text = path.read_text("utf-8").replace('shore_power = "last"', 'shore_power = "never"')
    path.write_text(text.replace('"Beck", at = [53.1, -8.0]', '"Beck", at = [53.1, -8.0], shore_kw = 3'), "utf-8")
    told = plan(str(path))
    assert [mend["shore_at"] for mend in told["short"]["mends"]] == ["Croft"]


def test_comfort_beyond_the_battery_is_said(tmp_path: Path) -> None:
    told = plan(write(tmp_path, capacity_kwh=8, departs="2027-01-10", comfort="ample"))
    assert any("exceed" in line and "ample" in line for line in told["assumptions"])
    assert not any("exceed" in line for line in plan(write(tmp_path, departs="2027-06-10"))["assumptions"])


def test_a_stoppage_over_all_days_planned_is_named(tmp_path: Path) -> None:
    shut = plan(write(tmp_path, leg="locks = 1\nclosed = [[2027-02-01, 2028-12-31], [2029-02-01, 2029-03-01]]"))
    assert shut["arrives"] is None
    assert "closed from 2027-02-01 to 2028-12-31" in shut["stuck"]["text"]
    assert "2029" not in shut["stuck"]["text"]


def test_comfort_beyond_the_battery_leans_on_no_plug_where_none_is_used(tmp_path: Path) -> None:
    def said(**keys: object) -> str:
        told = plan(write(tmp_path, capacity_kwh=6, panels=1, departs="2027-12-01", comfort="ample", **keys))
        return next(line for line in told["assumptions"] if "exceed" in line)

    assert "leans on plugs" in said()
    assert "no plug is used: a colder step is kept" in said(shore_power="never")


def test_a_voyage_that_names_no_comfort_asks_for_the_first_of_the_boat(tmp_path: Path) -> None:
    told = plan(write(tmp_path), {"comfort": None})
    assert told["voyage"]["comfort"] == "ample"


def test_warmer_comfort_takes_more_heat_and_no_fewer_days(tmp_path: Path) -> None:
    path = write(tmp_path, departs="2027-02-01")
    plain, ample, off = (plan(path, {"comfort": name}) for name in ("plain", "ample", "off"))
    assert ample["voyage"]["comfort"] == "ample"
    assert _total(off, "heating_kwh") < _total(plain, "heating_kwh")
    assert _total(plain, "asked_hours") < _total(ample, "asked_hours")
    assert _days_to(off) <= _days_to(plain) <= _days_to(ample)


def test_a_brighter_sky_gives_more_sun_and_no_later_arrival(tmp_path: Path) -> None:
    path = write(tmp_path, departs="2027-02-15", panels=3, capacity_kwh=12)
    skies = [plan(path, {"sky": name}) for name in ("cautious", "middling", "good")]
    suns = [_total(told, "solar_kwh") / len(told["days"]) for told in skies]
    assert suns[0] < suns[1] < suns[2]
    days = [_days_to(told) for told in skies]
    assert days[0] >= days[1] >= days[2]


def test_calmest_takes_less_motor_and_soonest_fewer_days(tmp_path: Path) -> None:
    path = write(tmp_path, departs="2027-04-10", shore_power="never")
    soonest = plan(path)
    calmest = plan(path, {"aim": "calmest", "by": "2027-04-17"})
    assert calmest["arrives"] <= "2027-04-17"
    assert _total(calmest, "propulsion_kwh") < _total(soonest, "propulsion_kwh") - 0.1
    assert _days_to(soonest) < _days_to(calmest)


def test_fewest_shore_plugs_in_no_more_often(tmp_path: Path) -> None:
    path = write(tmp_path, departs="2027-01-20", capacity_kwh=12, panels=4)
    soonest = plan(path)
    fewest = plan(path, {"aim": "fewest-shore", "by": "2027-02-15"})
    stops = [sum(day["shore_kwh"] > 0 for day in told["days"]) for told in (soonest, fewest)]
    assert stops[1] <= stops[0]
    assert fewest["arrives"] <= "2027-02-15"


def test_a_date_too_early_is_cautioned(tmp_path: Path) -> None:
    path = write(tmp_path)
    told = plan(path, {"by": "2027-03-01"})
    assert told["voyage"]["by"] == "2027-03-01"
    assert "deadline" in [c["code"] for c in told["cautions"]]
    assert "deadline" not in [c["code"] for c in plan(path, {"by": "2027-04-01"})["cautions"]]


def test_a_later_departure_begins_later(tmp_path: Path) -> None:
    told = plan(write(tmp_path), {"departs": "2027-05-02"})
    assert told["days"][0]["date"] == told["voyage"]["departs"] == "2027-05-02"


def test_nights_at_a_legs_end_are_lain_there(tmp_path: Path) -> None:
    path = write(tmp_path)
    usual, stay = plan(path), plan(path, {"legs": {1: {"nights": 3}}})
    lain = [day for day in stay["days"] if day["from"] == day["mooring"] == "Beck"]
    assert [day["why"] for day in lain] == ["asked"] * 3
    assert _days_to(stay) >= _days_to(usual) + 2


def test_a_fixed_speed_is_kept(tmp_path: Path) -> None:
    path = write(tmp_path, departs="2027-05-10")
    free, fixed = plan(path), plan(path, {"legs": {2: {"speed_kmh": 5.0}}})
    assert fixed["legs"][1]["fixed_speed"]
    assert not free["legs"][1]["fixed_speed"]
    assert fixed["legs"][1]["speed_kmh"] == pytest.approx(5.0, abs=0.01)
    assert fixed["legs"][1]["power_w"] == pytest.approx(95 * (5 / 3.6) ** 3, rel=0.01)


def test_shore_power_never_draws_nothing(tmp_path: Path) -> None:
    keys: Json = {"capacity_kwh": 10, "departs": "2027-01-20", "charge": 50}
    assert _total(plan(write(tmp_path, **keys)), "shore_kwh") > 0
    assert _total(plan(write(tmp_path, shore_power="never", **keys)), "shore_kwh") == 0


def test_progress_rises_and_a_stop_is_heeded(tmp_path: Path) -> None:
    shares: list[float] = []
    plan(write(tmp_path), progress=lambda share, text: shares.append(share))
    assert shares[0] == 0.0
    assert len(shares) >= 4
    assert all(0 <= share <= 1 for share in shares)
    with pytest.raises(Cancelled):
        plan(write(tmp_path), cancelled=lambda: True)


@pytest.mark.parametrize(
    ("spoil", "changes", "error"),
    [
        (lambda path: path.write_text("boat =", "utf-8"), {}, Problems),
        (lambda path: path.unlink(), {}, Problems),
        (lambda path: None, {"mood": "bold"}, InputError),
        (lambda path: None, {"comfort": "tropical"}, Problems),
        (lambda path: None, {"aim": "calmest"}, Problems),
        (lambda path: None, {"legs": {7: {"nights": 1}}}, InputError),
    ],
)
def test_bad_files_and_wishes_are_told_not_thrown_about(
    tmp_path: Path, spoil: Callable[[Path], object], changes: Json, error: type[Exception]
) -> None:
    path = Path(write(tmp_path))
    spoil(path)
    with pytest.raises(error):
        plan(str(path), changes)
