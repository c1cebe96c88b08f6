"""On from the middle of a day: how it is written, what the plan says, that its sums close."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.files.voyage_file import Loaded, load_voyage
from voyager.planner.outlook import Outlook, look
from voyager.planner.start import Start
from voyager.session.midday import from_told, parse_start
from voyager.session.plan import plan
from voyager.session.telling import days_told, legs_told

ROUTES = Path(__file__).parents[2] / "routes"
KEYS = {
    "time_utc", "km", "at", "charge_kwh", "charge_percent", "do", "to", "to_km", "pace_w", "speed_kmh", "arrives_utc",
    "held", "text", "fallback", "no_return",
}  # fmt: skip


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    return load_voyage(write(tmp_path_factory.mktemp("midday")))


@pytest.fixture(scope="module")
def winter() -> Loaded:
    return load_voyage(ROUTES / "winter.toml")


def told(loaded: Loaded, text: str) -> tuple[dict[str, Any], Outlook]:
    start = parse_start(text, loaded)
    found = look(loaded.vessel, loaded.voyage, record=loaded.record, start=start)
    return from_told(found, start), found


@pytest.mark.parametrize(
    ("text", "start"),
    [
        ("14:00 km 13 61%", Start(6.0, 13.0, 12.2)),
        ("14:20 13km 18.5kWh", Start(6 + 1 / 3, 13.0, 18.5)),
        ("61 %, 8:00, NM 5", Start(0.0, 9.26, 12.2)),
        ("5nm 23:59 0%", Start(16 - 1 / 60, 9.26, 0.0)),
        ("14:00 Beck 100%", Start(6.0, 12.0, 20.0)),
        ("beck 14:00", Start(6.0, 12.0, None)),
        ("14:00 km 30.04 50%", Start(6.0, 30.0, 10.0)),
    ],
)
def test_what_a_skipper_writes(loaded: Loaded, text: str, start: Start) -> None:
    read = parse_start(text, loaded)
    assert read.hours == pytest.approx(start.hours)
    assert read.km == pytest.approx(start.km)
    assert read.charge_kwh == (None if start.charge_kwh is None else pytest.approx(start.charge_kwh))


@given(
    st.integers(8 * 60, 24 * 60 - 1), st.integers(0, 300), st.integers(0, 200), st.permutations([0, 1, 2]),
    st.sampled_from(["km {}", "{} km", "{}km", "KM {}"]), st.sampled_from(["{}%", "{} %"]),
    st.sampled_from([" ", ", ", "  "]),
)  # fmt: skip
def test_any_order_and_spelling(
    loaded: Loaded, minutes: int, tenths: int, halves: int, order: list[int], distance: str, charge: str, gap: str
) -> None:
    parts = (f"{minutes // 60:02d}:{minutes % 60:02d}", distance.format(tenths / 10), charge.format(halves / 2))
    read = parse_start(gap.join(parts[k] for k in order), loaded)
    assert read.hours == pytest.approx(minutes / 60 - 8)
    assert read.km == pytest.approx(tenths / 10)
    assert read.charge_kwh == pytest.approx(halves / 10)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no time"),
        ("km 63 61%", "no time"),
        ("14:00 61%", "no place"),
        ("14:00 km 31 61%", "runs from km 0 to km 30"),
        ("14:00 km -3 61%", "not on the route"),
        ("14:00 km 13 101%", "holds 0 to 20 kWh"),
        ("14:00 km 13 -1%", "holds 0 to 20 kWh"),
        ("14:00 km 13 20.5 kWh", "holds 0 to 20 kWh"),
        ("07:59 km 13 61%", "belongs to the day before"),
        ("25:00 km 13 61%", "no clock time"),
        ("14:61 km 13 61%", "no clock time"),
        ("14:00 15:00 km 13", "more than one time"),
        ("14:00 km 13 km 14", "more than one distance"),
        ("14:00 km 13 61% 5kWh", "more than one charge"),
        ("14:00 Beck km 13", "two places"),
        ("14:00 Bekc 61%", "did you mean Beck?"),
        ("14:00 km 13 61% tomorrow", "no place of the voyage"),
        ("14:00 km nan 61%", "no place of the voyage"),
        ("14:00 km 1e3 61%", "no place of the voyage"),
        ("14:00 km " + "9" * 400, "not on the route"),
    ],
)
def test_what_is_wrong_is_said_in_a_sentence(loaded: Loaded, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        parse_start(text, loaded)
    assert "\n" not in str(caught.value)


@given(st.text(max_size=40))
def test_nothing_written_is_a_fault_of_its_own(loaded: Loaded, text: str) -> None:
    try:
        read = parse_start(text, loaded)
    except InputError:
        return
    assert 0 <= read.hours < 24
    assert 0 <= read.km <= 30


def test_from_the_start_it_is_the_plain_plan(loaded: Loaded) -> None:
    plain = look(loaded.vessel, loaded.voyage)
    advice, found = told(loaded, "08:00 km 0")
    for tell in (days_told, legs_told):
        assert tell(found.frame, found.built, found.schedule) == tell(plain.frame, plain.built, plain.schedule)
    assert advice["charge_percent"] == 80
    assert set(advice) == KEYS


@pytest.mark.parametrize("text", ["10:20 km 3 70%", "12:07 km 20 9kWh", "15:00 Beck 25%", "21:30 km 25 50%"])
def test_the_days_sums_close(loaded: Loaded, text: str) -> None:
    _, found = told(loaded, text)
    for day in days_told(found.frame, found.built, found.schedule):
        spent = sum(float(str(day[f"{name}_kwh"])) for name in ("propulsion", "hotel", "heating", "loss", "spilled"))
        gained = float(str(day["solar_kwh"])) + float(str(day["shore_kwh"]))
        change = float(str(day["charge_end_kwh"])) - float(str(day["charge_start_kwh"]))
        assert gained - spent == pytest.approx(change, abs=1e-6)


def test_hours_told_begin_now(loaded: Loaded) -> None:
    _, found = told(loaded, "12:07 km 20 9kWh")
    hours = days_told(found.frame, found.built, found.schedule)[0]["hours"]
    assert isinstance(hours, list)
    assert hours[0]["ends_utc"] == "2027-03-01T13:00:00Z"
    assert len(hours) == 20


def test_it_goes_on_as_the_plan_does(winter: Loaded) -> None:
    advice, found = told(winter, "11:00 km 10")
    day = days_told(found.frame, found.built, found.schedule)[0]
    assert advice["do"] == "go"
    assert (advice["to"], advice["to_km"], advice["pace_w"]) == (day["mooring"], day["end_km"], day["pace_w"])
    assert advice["arrives_utc"] == day["made_fast_utc"]
    assert advice["held"] is day["held"] is True
    assert "Chioggia" in advice["text"]


def test_it_slows_where_no_faster_pace_is_held(winter: Loaded) -> None:
    """With plenty of charge the same trip may be done faster."""
    advice, found = told(winter, "10:15 Chioggia 45%")
    assert advice["do"] == "slow"
    acts, day = found.policy.problem.mornings[0], found.schedule.days[0]
    faster = (acts.end == day.end) & (acts.start == day.start) & (acts.pace > acts.pace[day.choice.action])
    assert (acts.from_kwh[0, faster] > advice["charge_kwh"]).all()


def test_too_little_charge_turns_back_to_the_plug(winter: Loaded) -> None:
    advice, _ = told(winter, "15:00 km 3 30%")
    assert advice["do"] == "stop"
    assert advice["to_km"] == 0
    assert "turn back" in advice["text"]
    assert "plug in" in advice["text"]
    assert advice["no_return"] is None


def test_it_stops_when_travel_is_over(loaded: Loaded) -> None:
    advice, _ = told(loaded, "19:00 km 20 60%")
    assert advice["do"] == "stop"
    assert advice["to"] == "km 20"
    assert advice["arrives_utc"] is None
    assert "no more time to travel today" in advice["text"]


def test_a_boat_that_cannot_stay_is_never_told_to(winter: Loaded) -> None:
    advice, _ = told(winter, "20:15 nm 12 90%")
    assert advice["do"] == "go"
    assert not advice["held"]
    assert advice["to"] == "Pellestrina"
    assert "lookout" in advice["text"]


def test_less_charge_brings_the_point_of_no_return_nearer(winter: Loaded) -> None:
    full, low = (told(winter, f"11:00 km 10 {percent}%")[0]["no_return"] for percent in (90, 40))
    assert full["kind"] == low["kind"] == "plug"
    assert 10 <= low["km"] <= full["km"] < 27.4
    assert "out of reach" in low["text"]


def test_at_the_destination_nothing_is_left_to_turn_back_from(winter: Loaded) -> None:
    advice, _ = told(winter, "14:00 Porto Levante 60%")
    assert advice["do"] == "stop"
    assert advice["fallback"] is None
    assert advice["no_return"] is None


def test_the_fallback_is_held_and_another_place(winter: Loaded) -> None:
    advice, _ = told(winter, "11:00 km 10")
    assert advice["fallback"]["to"] == "Malamocco"
    assert advice["fallback"]["to"] != advice["to"]


def test_who_is_there_already_has_arrived_in_every_sky(tmp_path: Path) -> None:
    """At the last place: as the day starts, and six of its 24 hours later."""
    for clock, days in (("08:00", 0.0), ("14:00", 0.25)):
        found: Any = plan(write(tmp_path), members=3, start=f"{clock} Croft 60%")
        arrival = found["odds"]["arrival"]
        assert (arrival["p10"], arrival["p90"], arrival["never"]) == ("2027-03-01", "2027-03-01", 0.0)
        assert arrival["mean_days"] == days
