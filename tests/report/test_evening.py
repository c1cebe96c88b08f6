"""The sentences of an evening, from evenings made up by hand."""

from typing import Any

import pytest

from voyager.report.evening import compass, evening_parts, lie_sentences, plain

SAY = plain("Europe/Dublin", 30.0)


def evening(**keys: Any) -> dict[str, Any]:
    """A March evening along a bank, the sun to starboard."""
    roof = {"name": "roof", "do": "raise", "why": None, "side": "starboard", "tilt_deg": 30.0, "faces_deg": 180,
            "gain_kwh": 0.62, "raise_wind_max_kmh": 30.0}  # fmt: skip
    lie = {"heading": "bank", "heading_deg": 90, "gain_kwh": 0.3, "sun_deg": 190, "sun_side": "starboard"}
    hours = [{"from_utc": "2027-03-03T18:00:00Z", "to_utc": "2027-03-03T22:00:00Z", "setpoint_c": 16.0}]
    tomorrow = {
        "day": 4, "date": "2027-03-04", "mark": "underway", "why": "going", "to": "Portumna",
        "casts_off_utc": "2027-03-04T08:30:00Z", "made_fast_utc": "2027-03-04T15:00:00Z", "waiting_h": 0.5,
        "propulsion_kwh": 3.25, "needs_kwh": 12.0, "charge_start_kwh": 18.0, "plug_in": False, "plug_at": None,
        "opens": [{"from": "Athlone", "to": "Portumna", "locks": 2, "bridges": 1,
                   "opens_utc": "2027-03-04T09:00:00Z", "shuts_utc": "2027-03-04T17:00:00Z"},
                  {"from": "A", "to": "B", "locks": 3, "bridges": 0, "opens_utc": None, "shuts_utc": None},
                  {"from": "B", "to": "C", "locks": 1, "bridges": 0, "opens_utc": None, "shuts_utc": None}],
    }  # fmt: skip
    return {
        "day": 3, "mooring": "Athlone", "made_fast_utc": "2027-03-03T13:20:00Z", "until_utc": "2027-03-04T08:30:00Z",
        "lie": lie, "arrays": [roof], "panels_kwh": 2.5, "gain_kwh": 0.62, "wind_kmh": 12.0, "poor_wind_kmh": 19.0,
        "heat": {"comfort": "frugal", "hours": hours, "otherwise_c": 5.0, "kwh": 1.4, "runs_h": 4,
                 "heaters": [{"name": "stove", "max_w": 700.0, "kwh": 1.4}]},
        "charge_evening_kwh": 21.5, "charge_end_kwh": 18.0, "wanted_kwh": 9.0, "plug_in": False, "shore_kwh": 0.0,
        "tomorrow": tomorrow, "cautions": ["heater"],
    } | keys  # fmt: skip


def told(**keys: Any) -> dict[str, list[str]]:
    return dict(evening_parts(evening(**keys), SAY))


def test_every_part_of_an_evening() -> None:
    found = told()
    assert found["Lie"][0] == (
        "Bow to the east: the sun is to starboard (south); +0.30 kWh against the mean of both ways."
    )
    assert found["Lie"][1].startswith("Port side to the bank")
    assert found["Panels"][0] == (
        "Roof: raise to 30° over starboard, facing south; +0.62 kWh against lying flat."
    )
    winds = "12 km/h is expected, 19 km/h on a poor day"
    assert found["Panels"][-1] == f"Lower them before the wind reaches 30 km/h ({winds}), and before casting off."
    assert found["Heat"] == ["Frugal: 18:00 to 22:00 at 16 °C, else 5 °C.", "A heater runs in 4 hours: stove 1.40 kWh."]
    assert found["Battery"] == [
        "21.5 kWh (72 %) this evening, 18.0 kWh (60 %) next morning.",
        "Wanted this evening, floor and heating reserve: 9.0 kWh (30 %).",
    ]
    assert found["Tomorrow"] == [
        "Cast off at 08:30 for Portumna, made fast by 15:00, 0.5 h of it waiting.",
        "3.2 kWh to the motor; held from 12.0 kWh (40 %) in the morning.",
        "2 locks and 1 bridge, Athlone to Portumna: 09:00 to 17:00.",
        "4 locks without hours.",
        "No plug needed tomorrow.",
    ]


def test_the_wind_leaves_them_flat() -> None:
    roof = evening()["arrays"][0] | {"do": "flat", "why": "wind", "side": None, "faces_deg": None}
    found = told(arrays=[roof], wind_kmh=34.0)["Panels"]
    assert found[0] == "Roof: leave flat; the wind, 34 km/h, is more than it may be raised in (30 km/h)."
    assert not any("Lower them" in text for text in found)


def test_what_raising_would_lose_is_said() -> None:
    roof = evening()["arrays"][0] | {"do": "flat", "why": "no-gain", "gain_kwh": -0.52}
    assert "0.52 kWh less" in told(arrays=[roof])["Panels"][0]


@pytest.mark.parametrize(("lie", "said"), [
    ({"sun_side": None, "sun_deg": None}, "Lie as suits"),
    ({"heading": "given"}, "as the place has it"),
    ({"heading": "unknown"}, "With a choice, bow to the east"),
    ({"heading": "unknown", "gain_kwh": 0.0}, "makes no difference"),
    ({"sun_side": "astern", "gain_kwh": 0.0}, "the other way gains alike"),
])  # fmt: skip
def test_ways_to_lie(lie: dict[str, Any], said: str) -> None:
    sentences = lie_sentences(evening(lie=evening()["lie"] | lie))
    assert said in sentences[0]
    assert not any("side to the bank" in text for text in sentences)


def test_the_anchor_is_not_promised_a_heading() -> None:
    assert "At anchor" in lie_sentences(evening(lie=evening()["lie"] | {"heading": "unknown"}))[1]


def test_plugs_stays_and_ends() -> None:
    assert told(plug_in=True, shore_kwh=6.24)["Battery"][1] == "Plug in tonight: 6.2 kWh from the shore."
    assert told(wanted_kwh=25.0)["Battery"][1].endswith("it is not there.")
    assert told(tomorrow=None)["Tomorrow"] == ["The voyage ends here."]
    plug = {"plug_in": True, "plug_at": "Athlone"}
    stays = evening()["tomorrow"] | {"mark": "rest", "why": "closed", "to": "Athlone"} | plug
    assert told(tomorrow=stays)["Tomorrow"] == ["Stay at Athlone: the way ahead is shut.",
                                                "Plug in at Athlone tomorrow evening."]  # fmt: skip
    hopeless = evening()["tomorrow"] | {"needs_kwh": None}
    assert "nothing that is planned would hold" in told(tomorrow=hopeless)["Tomorrow"][1]


def test_compass() -> None:
    assert [compass(d) for d in (0, 44, 90, 181, 337, 338, 359)] == [
        "north", "north-east", "east", "south", "north-west", "north", "north",
    ]  # fmt: skip
