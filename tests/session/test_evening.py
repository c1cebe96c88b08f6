"""This evening, told: sides, panels, wind, heat, charge, tomorrow; against the files and the plan's own days."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.planner.samples import LEGS, PLACES, vessel, voyage
from tests.session.voyages import write
from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Heater
from voyager.planner.berth import Lie
from voyager.planner.outlook import Outlook, look
from voyager.session.evening import evenings_told, lie_told, side_of
from voyager.session.plan import plan

SUNWARD = PanelArray("roof", 400.0, 8, moored_tilt_deg=30.0, moored_azimuth_deg=90.0, sunward=True)
FLAT = PanelArray("deck", 200.0, 1)


def lie(
    flat: Any, raised: Any, mirrored: Any, sun: float | None = 180.0, wind: float = 3.0, heads: Any = (90.0,)
) -> Lie:
    a, b, c = (np.asarray(one, dtype=float).reshape(len(heads), -1) for one in (flat, raised, mirrored))
    return Lie(tuple(heads), a, b, c, sun, wind, wind)


def told(arrays: tuple[PanelArray, ...], one: Lie, heading: str = "given") -> Any:
    return lie_told(arrays, one, heading)


@pytest.mark.parametrize(("relative", "side"), [(90, "starboard"), (-90, "port"), (270, "port"), (5, "ahead"),
                                                (-170, "astern"), (20, "starboard"), (200, "port")])  # fmt: skip
def test_sides_as_seen_from_the_helm(relative: float, side: str) -> None:
    assert side_of(relative) == side


def test_the_better_side_is_raised_and_gains_what_it_gives_over_lying_flat() -> None:
    found = told((SUNWARD, FLAT), lie([2.0, 0.5], [2.6, 0.5], [1.5, 0.5]))
    roof, deck = found["arrays"]
    assert (roof["do"], roof["side"], roof["faces_deg"], roof["gain_kwh"]) == ("raise", "starboard", 180, 0.6)
    assert (deck["do"], deck["gain_kwh"]) == ("fixed", 0.0)
    assert found["gain_kwh"] == 0.6
    assert found["panels_kwh"] == 3.1
    where = {"heading": "given", "heading_deg": 90, "gain_kwh": 0.0, "sun_deg": 180, "sun_side": "starboard"}
    assert found["lie"] == where


def test_turned_over_where_the_other_side_is_sunny() -> None:
    found = told((SUNWARD,), lie([2.0], [1.5], [2.6], heads=(270.0,)))
    assert (found["arrays"][0]["side"], found["arrays"][0]["faces_deg"]) == ("port", 180)
    assert found["lie"]["sun_side"] == "port"


def test_the_better_end_of_the_bank_gains_against_the_mean_of_both() -> None:
    fixed = replace(SUNWARD, sunward=False)
    found = told((fixed,), lie([2.0, 2.0], [1.5, 2.8], [1.5, 2.8], heads=(90.0, 270.0), sun=0.0), "bank")
    assert found["lie"]["heading_deg"] == 270
    assert found["lie"]["gain_kwh"] == pytest.approx((2.8 - 2.0) / 2)


def test_left_flat_in_a_wind_beyond_the_limit_or_without_gain() -> None:
    windy = told((SUNWARD,), lie([2.0], [2.6], [1.5], wind=30 / 3.6 + 0.1))
    assert (windy["arrays"][0]["do"], windy["arrays"][0]["why"]) == ("flat", "wind")
    assert windy["panels_kwh"] == 2.0
    dull = told((SUNWARD,), lie([2.0], [1.9], [1.8]))
    assert (dull["arrays"][0]["do"], dull["arrays"][0]["why"]) == ("flat", "no-gain")
    assert dull["gain_kwh"] == 0.0


def found(**keys: Any) -> Outlook:
    lake = tuple(replace(leg, water="lake", locks=0) for leg in LEGS)
    places = tuple(replace(place, heading_deg=90.0) for place in PLACES)
    return look(vessel(**{"arrays": (SUNWARD, FLAT)} | keys), voyage(legs=lake, places=places, mooring_every_km=50.0))


def test_a_gain_is_what_the_plans_own_panels_show() -> None:
    """At the destination the boat lies with the heading given: the stay's hours come to what the plan's table has."""
    outlook = found()
    frame, last = outlook.frame, outlook.schedule.days[-1]
    evening: Any = evenings_told(outlook)[-1]
    mount = frame.mooring_mount[outlook.built.stops.mooring[last.end]]
    arrive = 0.0 if last.sail is None else float(last.sail.path.arrive_h[0])
    share = np.clip(np.arange(1, 26) - arrive, 0, 1)
    end = int(frame.windows.evening[last.day + 1, frame.mooring_station[outlook.built.stops.mooring[last.end]]])
    days = frame.panels.watts[last.day : last.day + 2, mount, :, 0]
    assert evening["panels_kwh"] == pytest.approx((share @ days[0] + days[1, :end].sum()) / 1e3, rel=2e-3)


def test_heat_by_the_clock_and_by_heater() -> None:
    """A 300 W heater that takes twice the heat of a 900 W one goes first; what it can't give the other one adds."""
    pair = (Heater("stove", 900.0), Heater("pump", 300.0, cop=2.0))
    outlook = found(heaters=pair)
    for day, evening in zip(outlook.schedule.days, evenings_told(outlook), strict=True):
        heat: Any = evening["heat"]
        assert heat["kwh"] == pytest.approx(float(day.ledger.heating_kwh[0, day.evening :].sum()), abs=1e-6)
        assert sum(heater["kwh"] for heater in heat["heaters"]) == pytest.approx(heat["kwh"], abs=1e-3)
        assert heat["heaters"][0]["name"] == "pump"
        assert heat["heaters"][0]["kwh"] <= 0.3 * heat["runs_h"] + 1e-6
        hours = [(one["from_utc"][11:16], one["to_utc"][11:16], one["setpoint_c"]) for one in heat["hours"]]
        assert hours[-1] == ("06:30", "08:00", 15.0)


def test_evenings_repeat_the_plans_own_days(tmp_path: Path) -> None:
    leg = 'locks = 3\nopen_hours = ["09:30", "16:00"]'
    made: Any = plan(write(tmp_path, leg=leg, plug=""))
    assert [evening["day"] for evening in made["evenings"]] == [day["day"] for day in made["days"]]
    for evening, day, after in zip(made["evenings"], made["days"], [*made["days"][1:], None], strict=True):
        assert evening["charge_evening_kwh"] == day["charge_evening_kwh"]
        assert evening["charge_end_kwh"] == day["charge_end_kwh"]
        assert evening["heat"]["comfort"] == day["comfort"]
        assert evening["mooring"] == day["mooring"]
        assert set(evening["cautions"]) <= set(day["cautions"])
        if after is None:
            assert evening["tomorrow"] is None
            continue
        assert evening["tomorrow"]["casts_off_utc"] == after["casts_off_utc"]
        assert evening["tomorrow"]["propulsion_kwh"] == after["propulsion_kwh"]
        assert evening["tomorrow"]["needs_kwh"] <= after["charge_start_kwh"] + 1e-3
        for way in evening["tomorrow"]["opens"]:
            if way["from"] == "Beck":
                assert (way["opens_utc"][11:16], way["shuts_utc"][11:16]) == ("09:30", "16:00")


def test_less_than_needed_is_not_held(tmp_path: Path) -> None:
    """Starting the second morning from a little less than it needs, the plan does something else or is not held."""
    path = write(tmp_path, plug="", charge=40)
    made: Any = plan(path)
    needs = made["evenings"][0]["tomorrow"]["needs_kwh"]
    goal = made["days"][1]["mooring"]
    assert needs is not None
    km = made["days"][1]["start_km"]
    again: Any = plan(path, {"departs": made["days"][1]["date"]}, start=f"08:00 km {km} {needs - 0.4:.3f}kWh")
    first = again["days"][0]
    assert (first["mooring"], first["pace_w"]) != (goal, made["days"][1]["pace_w"]) or not first["held"]
