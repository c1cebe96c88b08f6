"""A boat file: its defaults, both ways of writing rows, and what is refused."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.files.support import BOATS, PAIR, ROUTES, SMALL_BOAT, problems
from voyager.boat.battery import Battery
from voyager.boat.cabin import FROST_GUARD_C, Comfort
from voyager.boat.vessel import Vessel
from voyager.files.boat_file import load_boat

KMH = 1 / 3.6


def boat(tmp_path: Path, text: str) -> Vessel:
    (tmp_path / "boat.toml").write_text(text, "utf-8")
    return load_boat(tmp_path / "boat.toml")


def small(tmp_path: Path, more: str = "", *, old: str = "", new: str = "") -> Vessel:
    return boat(tmp_path, SMALL_BOAT.replace(old, new, 1) + more)


def test_the_essentials_bring_the_defaults_of_the_page(tmp_path: Path) -> None:
    vessel = small(tmp_path)
    assert (vessel.hull.motor_max_w, vessel.hull.manoeuvre_w, vessel.hull.sea_margin_percent) == (4000, 500, 15)
    assert vessel.hull.steerable_min_mps == pytest.approx(2.5 * KMH)
    assert vessel.battery == Battery(20, charge_max_w=10_000, discharge_max_w=20_000)
    (array,) = vessel.arrays
    assert (array.panels, array.loss_percent, array.low_light_percent, array.controller_efficiency) == (1, 8, -4, 0.97)
    assert array.raise_wind_max_mps == pytest.approx(30 * KMH)
    assert vessel.hotel.direct_w == (50.0,) * 24
    assert (vessel.inverter.max_w, vessel.shore.max_w, vessel.shore.efficiency) == (None, 1500, 0.9)
    assert (vessel.cabin.ua_w_per_k, vessel.cabin.people, vessel.cabin.window_gain) == (70, 1, 0.5)
    assert vessel.comfort == (Comfort("off", (), FROST_GUARD_C),)


def test_health_counts_in_capacity_and_in_the_limits_by_it(tmp_path: Path) -> None:
    battery = small(tmp_path, "health_percent = 80\n").battery
    assert (battery.capacity_kwh, battery.charge_max_w, battery.discharge_max_w) == (16, 8000, 16_000)


def test_a_trial_is_sorted_in_metres_a_second_and_gives_the_motor(tmp_path: Path) -> None:
    hull = small(tmp_path, old="coefficient_w_per_mps3 = 90", new="trial = [[9, 1500], [5.4, 300], [7.2, 800]]").hull
    assert [power for _, power in hull.trial] == [300, 800, 1500]
    assert [speed for speed, _ in hull.trial] == pytest.approx([1.5, 2.0, 2.5])
    assert (hull.motor_max_w, hull.coefficient_w_per_mps3) == (1500, None)


def test_moored_mounting_is_the_one_under_way_where_none_is_given(tmp_path: Path) -> None:
    below = "tilt_deg = 10\nazimuth_deg = -90\n"
    (array,) = small(tmp_path, old="panel_wp = 400\n", new="panel_wp = 400\n" + below).arrays
    assert (array.azimuth_deg, array.moored_tilt_deg, array.moored_azimuth_deg) == (270, 10, 270)
    below += 'moored_tilt_deg = 0\nmoored_azimuth_deg = 90\nmoored_side = "sunward"\n'
    (array,) = small(tmp_path, old="panel_wp = 400\n", new="panel_wp = 400\n" + below).arrays
    assert (array.tilt_deg, array.moored_tilt_deg, array.moored_azimuth_deg, array.sunward) == (10, 0, 90, True)


def test_rows_and_tables_are_the_same(tmp_path: Path) -> None:
    tables = small(
        tmp_path, '[[heater]]\nname = "a"\nmax_w = 500\n[[heater]]\nname = "b"\nmax_w = 300\nsupply = "direct"\n'
    )
    rows = 'heater = [{ name = "a", max_w = 500 },\n { name = "b", max_w = 300, supply = "direct" }]\n'
    assert boat(tmp_path, rows + SMALL_BOAT) == tables
    assert [heater.alternating for heater in tables.heaters] == [True, False]


def test_lengths_may_be_in_feet_and_speeds_in_knots(tmp_path: Path) -> None:
    hull = small(tmp_path, old="[hull]\n", new="[hull]\nwaterline_ft = 40\nsteerable_min_kn = 1.5\n").hull
    assert hull.waterline_m == pytest.approx(12.192)
    assert hull.steerable_min_mps == pytest.approx(1.5 * 1852 / 3600)


def test_the_ladder_is_the_order_of_the_file_and_off_is_its_last_step(tmp_path: Path) -> None:
    more = '[comfort.b]\notherwise_c = 9\n[comfort.a]\nhours_c = { "22:00-06:30" = 12, "18:00-20:00" = 16 }\n'
    ladder = small(tmp_path, more).comfort
    assert [step.name for step in ladder] == ["b", "a", "off"]
    assert ladder[1] == Comfort("a", ((0, 390, 12), (1080, 1200, 16), (1320, 1440, 12)), 5)


def test_hotel_loads_are_one_number_or_twenty_four(tmp_path: Path) -> None:
    hours = ", ".join(map(str, range(24)))
    hotel = small(tmp_path, f"[hotel]\ndirect_w = 60\nalternating_w = [{hours}]\n").hotel
    assert hotel.direct_w == (60.0,) * 24
    assert hotel.alternating_w == tuple(map(float, range(24)))


def test_the_page_s_boat_reads_as_it_stands() -> None:
    vessel = load_boat(PAIR / "sedge.toml")
    assert sum(array.rated_w for array in vessel.arrays) == 4410
    assert [step.name for step in vessel.comfort] == ["ample", "frugal", "off"]
    assert vessel.hotel.alternating_w[18] == 400


@pytest.mark.parametrize("name", BOATS)
def test_the_demo_boats_are_sound(name: str) -> None:
    vessel = load_boat(ROUTES / name)
    assert 5000 < sum(array.rated_w for array in vessel.arrays) < 7000
    assert replace(vessel, name="x").comfort[-1].name == "off"


BAD = [
    ("[hull]", "[hul]", "hul", "did you mean", 2),
    ("capacity_kwh = 20", "", "battery.capacity_kwh", "is missing", 7),
    ("capacity_kwh = 20", 'capacity_kwh = "20"', "battery.capacity_kwh", "take the quotes away", 8),
    ("capacity_kwh = 20", "capacity_kwh = true", "battery.capacity_kwh", "must be a number", 8),
    ("capacity_kwh = 20", "capacity_kwh = nan", "battery.capacity_kwh", "NaN", 8),
    ("capacity_kwh = 20", "capacity_kwh = 1e999", "battery.capacity_kwh", "infinite", 8),
    ("capacity_kwh = 20", "capacity_kwh = -20", "battery.capacity_kwh", "must be more than 0", 8),
    ("capacity_kwh = 20", "capacity_wh = 20000", "battery.capacity_wh", "unit must be kwh", 8),
    ("capacity_kwh = 20", "capacity_kwh = 20\nreserve_percent = 96", "battery.reserve_percent", "below the ceiling", 9),
    ("capacity_kwh = 20", "capacity_kwh = 20\nceiling_percent = 10", "battery.ceiling_percent", "below the ceiling", 9),
    ("capacity_kwh = 20", "capacity_kwh = 20\ncharge_efficiency = 98", "battery.charge_efficiency", "0.98 may be", 9),
    ("capacity_kwh = 20", "capacity_kwh = 20\ncapacity_by_c = [[0, 1], [-5, 1]]", "battery.capacity_by_c", "rise", 9),
    ("coefficient_w_per_mps3 = 90", "", "hull.coefficient_w_per_mps3", "or trial", 2),
    ("coefficient_w_per_mps3 = 90", "trial = [[4, 100], [6, 300]]", "hull.trial", "3 points or more", 3),
    ("coefficient_w_per_mps3 = 90", "trial = [[4, 100], [6, 90], [8, 900]]", "hull.trial", "not above", 3),
    ("coefficient_w_per_mps3 = 90", "trial = [[4, 100], [6, 300], [6, 900]]", "hull.trial", "twice", 3),
    ("coefficient_w_per_mps3 = 90", "trial = [[4, 100], [6], [8, 900]]", "hull.trial[2][2]", "missing", 3),
    ("coefficient_w_per_mps3 = 90", "trial=[[4,1],[5,2],[6,3]]\ncoefficient_w_per_mps3=9", "hull.trial", "one of", 3),
    ("panel_wp = 400", "panel_wp = 400\npanels = 2.0", "array[1].panels", "whole number", 7),
    ("panel_wp = 400", 'panel_wp = 400\nmoored_side = "sunwards"', "array[1].moored_side", '"sunward"?', 7),
    ("panel_wp = 400", 'panel_wp = 400\n[[array]]\nname = "roof"\npanel_wp = 1', "array[2].name", "its own name", 8),
    ("panel_wp = 400", "panel_wp = 400\ntilt_deg = 91", "array[1].tilt_deg", "at most 90", 7),
    ("[battery]", "[cabin]\nstructure_w_per_k = 3\n[battery]", "cabin.structure_w_per_k", "structure_capacity", 8),
    ("[battery]", "[comfort.off]\n[battery]", "comfort.off", "always exists", 7),
    ("[battery]", "[hotel]\ndirect_w = -5\n[battery]", "hotel.direct_w", "at least 0", 8),
    ("[battery]", "[hotel]\ndirect_w = [1, 2]\n[battery]", "hotel.direct_w", "24 values, holds 2", 8),
    ('name = "Small"', "", "name", "is missing", 1),
    ('name = "Small"', 'name = "Small"\ncapacity_kwh = 3', "capacity_kwh", "under [battery]", 2),
    ('name = "Small"', 'name = "Small"\nformat = 2', "format", "must be 1, is 2", 2),
    ('name = "Small"', 'name = "Small"\nheater = 3', "heater", "list", 2),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "part", "line"), BAD)
def test_a_fault_is_told_with_its_line_and_key(
    tmp_path: Path, old: str, new: str, key: str, part: str, line: int
) -> None:
    assert old in SMALL_BOAT
    found = problems(lambda: small(tmp_path, old=old, new=new))
    matching = [problem for problem in found if problem.key == key]
    assert matching, found
    assert part in matching[0].text
    assert matching[0].line == line


@pytest.mark.parametrize(
    ("hours", "part"),
    [('{ "22:00-06:00" = 12, "05:00-07:00" = 13 }', "both hold 05:00 to 06:00"), ('{ "7-8" = 12 }', "HH:MM"),
     ('{ "08:00-08:00" = 12 }', "no time"), ('{ "08:00-09:00" = 99 }', "-10 to 35"),
     ('{ "08:00-09:00" = "x" }', "number")],
)  # fmt: skip
def test_comfort_hours_that_cannot_be(tmp_path: Path, hours: str, part: str) -> None:
    (problem,) = problems(lambda: small(tmp_path, f"[comfort.a]\nhours_c = {hours}\n"))
    assert part in problem.text
    assert problem.line == 10


def test_both_units_of_one_key_are_refused(tmp_path: Path) -> None:
    (problem,) = problems(lambda: small(tmp_path, old="[hull]\n", new="[hull]\nbeam_m = 2\nbeam_ft = 7\n"))
    assert (problem.line, problem.key) == (4, "hull.beam_ft")
    assert "beam_m stands here too" in problem.text


def test_limits_are_told_in_the_unit_of_the_file(tmp_path: Path) -> None:
    (problem,) = problems(lambda: small(tmp_path, old="[hull]\n", new="[hull]\ndraught_ft = 99\n"))
    assert problem.text == "must be at most 65.6168, is 99"


def test_a_voyage_file_is_no_boat_file() -> None:
    (problem,) = problems(lambda: load_boat(PAIR / "shannon.toml"))
    assert "voyage file" in problem.text
