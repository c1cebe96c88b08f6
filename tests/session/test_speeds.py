"""The speeds of a boat whose figures follow by hand from P = c·v³."""

from pathlib import Path
from typing import Any

import pytest

from voyager.errors import InputError, Problems
from voyager.session.speeds import speeds

BOAT = """
name = "Test"
[hull]
coefficient_w_per_mps3 = 95
waterline_m = 12.6
beam_m = 2.3
draught_m = 0.45
motor_max_w = 5000
underway_extra_w = 40
[[array]]
name = "roof"
panel_wp = 400
panels = 9
[battery]
capacity_kwh = 28
[hotel]
direct_w = 45
"""
VOYAGE = """
boat = "boat.toml"
departs = 2027-06-01
charge_at_start_percent = 90
place = [
  { name = "Athlone", at = [53.42, -7.94] },
  { name = "Portumna", at = [53.09, -8.19] },
  { name = "Killaloe", at = [52.81, -8.44] },
]
leg = [
  { from = "Athlone", to = "Portumna", water = "river", distance_km = 59 },
  { from = "Portumna", to = "Killaloe", water = "canal", distance_km = 37, depth_m = 1.2, width_m = 8 },
]
"""


@pytest.fixture
def voyage(tmp_path: Path) -> str:
    (tmp_path / "boat.toml").write_text(BOAT, "utf-8")
    (tmp_path / "voyage.toml").write_text(VOYAGE, "utf-8")
    return str(tmp_path / "voyage.toml")


def row(result: dict[str, Any], speed_kmh: float) -> dict[str, Any]:
    return next(one for one in result["speeds"] if one["speed_kmh"] == pytest.approx(speed_kmh))


def test_power_range_and_froude_by_hand(voyage: str) -> None:
    """95·(6/3.6)³ = 439.8 W; /6 = 73.3 Wh/km; (25.2 − 4.2) kWh · 0.98 / 73.3 = 280.8 km; 1.667/√(9.80665·12.6)."""
    result = speeds(voyage)
    assert (result["place"], result["date"], result["charge_kwh"]) == ("Athlone", "2027-06-01", 25.2)
    at = row(result, 6.0)
    assert at["power_w"] == pytest.approx(439.8, abs=0.1)
    assert at["wh_per_km"] == pytest.approx(73.3, abs=0.01)
    assert at["range_km"] == pytest.approx(286.5, abs=0.3)
    assert at["froude"] == pytest.approx(0.150, abs=0.001)
    assert at["speed_kn"] == pytest.approx(6 / 1.852, abs=0.001)
    assert at["limit"] is None


def test_limits_by_hand(voyage: str) -> None:
    """(5000/95)^⅓ = 3.748 m/s = 13.49 km/h; 0.35·√(9.80665·12.6) = 3.891 m/s = 14.01 km/h; no depth, no shallow."""
    result = speeds(voyage)
    assert result["limits_kmh"] == {"steerable": 2.5, "motor": 13.49, "cube_law": 14.01, "shallow": None}
    assert row(result, 13.5)["limit"] == "motor"
    assert row(result, 13.0)["limit"] is None
    assert result["speeds"][-1]["speed_kmh"] >= 13.49  # type: ignore[index]


def test_shallow_water_costs_power_and_is_named(voyage: str) -> None:
    """0.7·√(9.80665·1.2) = 2.401 m/s = 8.65 km/h, and never above the Schijf limit of the section."""
    deep, shallow = speeds(voyage), speeds(voyage, place="Portumna")
    assert shallow["depth_m"] == 1.2
    assert row(shallow, 6.0)["power_w"] > row(deep, 6.0)["power_w"]
    limit = shallow["limits_kmh"]["shallow"]  # type: ignore[index]
    assert limit <= 8.65
    assert row(shallow, 9.0)["limit"] in ("shallow", "motor")


def test_the_sun_sustains_what_the_cube_law_gives(voyage: str) -> None:
    """What is left of the sun after 45 W aboard and 40 W under way, through P = 95·v³, to 0.05 km/h."""
    hours: Any = speeds(voyage)["by_hour"]
    assert len(hours) >= 14
    for hour in hours:
        assert hour["solar_w"]["p10"] <= hour["solar_w"]["p50"] <= hour["solar_w"]["p90"]
        for name, watts in hour["solar_w"].items():
            by_hand = (max(watts - 85, 0.0) / 95) ** (1 / 3) * 3.6
            assert hour["speed_kmh"][name] == pytest.approx(by_hand if by_hand >= 2.5 else 0.0, abs=0.05)


def test_hours_are_local(voyage: str) -> None:
    """Dublin keeps UTC + 1 in June: at 8°W the brightest hour begins at 13:00 by the clock."""
    hours: Any = speeds(voyage)["by_hour"]
    assert max(hours, key=lambda hour: hour["solar_w"]["p50"])["hour"] == "13:00"


def test_date_place_and_charge_may_be_named(voyage: str) -> None:
    result = speeds(voyage, "2027-12-21", "Killaloe", "61%")
    assert (result["date"], result["place"]) == ("2027-12-21", "Killaloe")
    assert result["charge_kwh"] == pytest.approx(0.61 * 28)
    assert speeds(voyage, charge=18.5)["charge_kwh"] == speeds(voyage, charge="18.5")["charge_kwh"] == 18.5


def test_below_the_reserve_there_is_no_range(voyage: str) -> None:
    assert row(speeds(voyage, charge="4.2"), 6.0)["range_km"] == 0.0


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ({"place": "Portuma"}, "did you mean Portumna"),
        ({"place": "Rome"}, "there are Athlone, Portumna, Killaloe"),
        ({"charge": "full"}, "neither kWh nor percent"),
        ({"charge": "nan"}, "out of range"),
        ({"charge": "101%"}, "the battery holds 0 to 28 kWh"),
        ({"day": "2027-02-29"}, "no date"),
        ({"day": "9999-12-31"}, "year 9999"),
    ],
)
def test_bad_input_is_one_sentence(voyage: str, arguments: dict[str, Any], said: str) -> None:
    with pytest.raises(InputError, match=said):
        speeds(voyage, **arguments)


def test_a_bad_file_names_its_problems(tmp_path: Path) -> None:
    with pytest.raises(Problems, match="no such file"):
        speeds(str(tmp_path / "none.toml"))
