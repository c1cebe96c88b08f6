"""A voyage file: its defaults, units, rows, the demos, the date line."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tests.files.support import PAIR, ROUTES, SMALL_VOYAGE, VOYAGES, pair
from voyager.files.voyage_file import Loaded, load_voyage
from voyager.route.leg import Leg


def edited(tmp_path: Path, old: str, new: str) -> Loaded:
    return load_voyage(pair(tmp_path, voyage=(old, new)))


def test_the_essentials_bring_the_defaults_of_the_page(tmp_path: Path) -> None:
    loaded = load_voyage(pair(tmp_path))
    voyage = loaded.voyage
    assert (voyage.name, voyage.departs, voyage.time_zone) == ("voyage", date(2027, 3, 1), "Europe/Dublin")
    assert (voyage.day_starts_min, voyage.travel_min, voyage.charge_at_start_percent) == (480, None, 80)
    assert (voyage.sky, voyage.aim, voyage.by, voyage.shore_power) == ("cautious", "soonest", None, "last")
    assert (voyage.mooring_every_km, voyage.forecast_skill, voyage.heating_reserve_nights) == (5, 0.8, 1)
    assert voyage.legs[0] == Leg("Athy", "Carlow")
    assert loaded.notes == ()
    assert loaded.array_wp == 400
    assert Path(loaded.boat_path).name == "boat.toml"


@pytest.mark.parametrize(
    ("water", "anywhere", "wind_max_kmh", "fit"),
    [("canal", True, None, 1), ("river", True, None, 1), ("lake", False, None, 1), ("coastal", False, 30, 0.6),
     ("open", False, 30, 0.5)],
)  # fmt: skip
def test_defaults_by_water(tmp_path: Path, water: str, anywhere: bool, wind_max_kmh: float | None, fit: float) -> None:
    leg = edited(tmp_path, 'to = "Carlow"\n', f'to = "Carlow"\nwater = "{water}"\n').voyage.legs[0]
    assert (leg.moor_anywhere, leg.fit_to_go) == (anywhere, fit)
    assert leg.wind_max_mps == (None if wind_max_kmh is None else pytest.approx(wind_max_kmh / 3.6))


def test_what_the_leg_says_beats_the_water(tmp_path: Path) -> None:
    new = 'to = "Carlow"\nwater = "coastal"\nmoor_anywhere = true\nwind_max_kn = 10\nfit_to_go = 0.9\n'
    leg = edited(tmp_path, 'to = "Carlow"\n', new).voyage.legs[0]
    assert (leg.moor_anywhere, leg.fit_to_go) == (True, 0.9)
    assert leg.wind_max_mps == pytest.approx(10 * 1852 / 3600)


def test_rows_and_tables_are_the_same(tmp_path: Path) -> None:
    tables = load_voyage(pair(tmp_path)).voyage
    head = SMALL_VOYAGE[: SMALL_VOYAGE.index("[[leg]]")]
    rows = 'leg = [{ from = "Athy", to = "Carlow" }, { from = "Carlow", to = "Graiguenamanagh" }]\n'
    (tmp_path / "voyage.toml").write_text(head + rows, "utf-8")
    assert load_voyage(tmp_path / "voyage.toml").voyage == tables


def test_units_and_instants_of_a_leg(tmp_path: Path) -> None:
    new = """to = "Carlow"
distance_nm = 12
current_kn = -0.5
limit_kmh = 9
depth_ft = 5
locks = 2
lock_at_nm = [9, 1]
closed_days = ["sun", "mon", "sun"]
closed = [["2027-03-02", 2027-03-04]]
open_hours = ["06:00", "24:00"]
tide = { high_water = 2027-03-01T05:40:00+01:00, flood_kn = 2 }
"""
    leg = edited(tmp_path, 'to = "Carlow"\n', new).voyage.legs[0]
    assert leg.distance_km == pytest.approx(22.224)
    assert leg.current_mps == pytest.approx(-926 / 3600)
    assert leg.limit_mps == pytest.approx(2.5)
    assert leg.depth_m == pytest.approx(1.524)
    assert leg.lock_at_km == pytest.approx((1.852, 16.668))
    assert (leg.closed_weekdays, leg.open_min) == ((0, 6), (360, 1440))
    assert leg.closed == ((date(2027, 3, 2), date(2027, 3, 4)),)
    assert leg.tide_high_water == datetime(2027, 3, 1, 4, 40, tzinfo=UTC)
    assert leg.tide_flood_mps == pytest.approx(3704 / 3600)


def test_placed_locks_are_counted_where_no_number_is_given(tmp_path: Path) -> None:
    assert edited(tmp_path, 'to = "Carlow"\n', 'to = "Carlow"\nlock_at_km = [1, 2]\n').voyage.legs[0].locks == 2


def test_dates_times_and_windows_of_the_top_table(tmp_path: Path) -> None:
    new = 'departs = "2028-02-29"\nby = 2028-03-20\nday_starts = 07:30:00\ntravel = ["07:30", "16:00"]\n'
    voyage = edited(tmp_path, "departs = 2027-03-01\n", new + 'time_zone = "Etc/UTC"\n').voyage
    assert (voyage.departs, voyage.by) == (date(2028, 2, 29), date(2028, 3, 20))
    assert (voyage.day_starts_min, voyage.travel_min, voyage.time_zone) == (450, (450, 960), "Etc/UTC")
    assert edited(tmp_path, "departs", 'travel = "daylight"\ndeparts').voyage.travel_min is None


def test_the_page_s_pair_reads_as_it_stands() -> None:
    loaded = load_voyage(PAIR / "shannon.toml")
    assert (loaded.voyage.name, loaded.vessel.name, len(loaded.voyage.legs)) == ("Carrick to Kilrush", "Sedge", 7)
    assert loaded.voyage.legs[-1].tide_flood_mps == pytest.approx(-3 / 3.6)
    assert loaded.record is None
    assert not [note for note in loaded.notes if "forecast" in note or "weather" in note]


@pytest.mark.parametrize("name", VOYAGES)
def test_the_demo_voyages_are_sound_and_marked(name: str) -> None:
    loaded = load_voyage(ROUTES / name)
    for path in (loaded.voyage_path, loaded.boat_path):
        assert Path(path).read_text("utf-8").startswith("# illustrative, not for navigation")
    for place in loaded.voyage.places:
        assert round(place.lat, 2) == place.lat
        assert round(place.lon, 2) == place.lon


def test_the_demos_are_what_they_are_meant_to_be() -> None:
    spring, autumn, winter = (load_voyage(ROUTES / name).voyage for name in VOYAGES)
    assert spring.departs.month == 3
    assert sum(leg.locks for leg in spring.legs) > 100
    assert {leg.water for leg in spring.legs} == {"canal"}
    assert len(autumn.legs) >= 30
    assert {"canal", "coastal"} <= {leg.water for leg in autumn.legs}
    assert autumn.places[-1].lat < autumn.places[0].lat - 5
    assert max(leg.nights for leg in winter.legs) >= 26
    assert len({load_voyage(ROUTES / name).boat_path for name in VOYAGES}) >= 2


def test_a_leg_across_the_date_line(tmp_path: Path) -> None:
    """Taveuni to Vanua Balavu lie on both sides of 180 degrees; the leg is 130 km long, not 39,000."""
    places = """place = [
  { name = "Waiyevo", at = [-16.8, 179.98] },
  { name = "Lomaloma", at = [-17.3, -178.98] },
]
[[leg]]
from = "Waiyevo"
to = "Lomaloma"
water = "open"
overnight = true
"""
    pair(tmp_path)
    head = SMALL_VOYAGE[: SMALL_VOYAGE.index("place")]
    (tmp_path / "voyage.toml").write_text(head + places, "utf-8")
    assert load_voyage(tmp_path / "voyage.toml").voyage.time_zone == "Pacific/Fiji"
    given = places + "distance_km = 124\n"
    (tmp_path / "voyage.toml").write_text(head + given, "utf-8")
    assert load_voyage(tmp_path / "voyage.toml").voyage.legs[0].distance_km == 124


def test_a_place_may_be_passed_again(tmp_path: Path) -> None:
    back = '[[leg]]\nfrom = "Graiguenamanagh"\nto = "Athy"\n'
    pair(tmp_path)
    (tmp_path / "voyage.toml").write_text(SMALL_VOYAGE + back, "utf-8")
    assert [leg.end for leg in load_voyage(tmp_path / "voyage.toml").voyage.legs][-1] == "Athy"


NOTED = [
    ('departs', 'forecast = [{ date = 2027-02-28, oktas = 3 }]\ndeparts', "forecast for 2027-02-28 lies before"),
    ('departs', 'charge_at_start_percent = 0.8\ndeparts', "nearly flat"),
    ('departs', 'travel = ["07:00", "17:00"]\ndeparts', "each day starts at 08:00"),
    ('departs', 'day_starts = "20:00"\ndeparts', "no daylight before 20:00 is used"),
    ('at = [52.99, -6.98] }', 'at = [52.99, -6.98], shore_price_per_kwh = 1 }', "shore_price_per_kwh is read"),
    ('place = [', 'place = [{ name = "Naas", at = [53.2, -6.7] },', "on no leg: Naas"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "part"), NOTED)
def test_what_is_right_but_worth_a_word_is_noted(tmp_path: Path, old: str, new: str, part: str) -> None:
    (note,) = edited(tmp_path, old, new).notes
    assert part in note


def test_notes_on_the_boat(tmp_path: Path) -> None:
    more = """[battery]
capacity_kwh = 20
[hotel]
alternating_w = 100
[[heater]]
name = "panel"
max_w = 500
[comfort.cool]
otherwise_c = 8
[comfort.warm]
hours_c = { "06:00-22:00" = 18 }
[standard_error]
"cabin.ua_w_per_k" = 1.8
"""
    notes = load_voyage(pair(tmp_path, boat=("[battery]\ncapacity_kwh = 20\n", more))).notes
    for part in ("[hotel]", '"panel"', "warm is warmer"):
        assert [note for note in notes if part in note], part
    assert len(notes) == 3
