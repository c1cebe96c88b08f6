"""What cannot be in a voyage: each told with file, line, key and what was probably meant, all in one go."""

from pathlib import Path

import pytest

from tests.files.support import SMALL_VOYAGE, pair, voyage_problems

FIRST = 'to = "Carlow"\n'

TOP = [
    ("boat = ", "baot = ", "baot", 'did you mean "boat"?', 1),
    ('boat = "boat.toml"\n', "", "boat", "is missing", 1),
    ("departs = 2027-03-01\n", "", "departs", "is missing", 1),
    ("2027-03-01", "2027-02-30", "departs", "there is no date 2027-02-30", 2),
    ("2027-03-01", '"2027-02-30"', "departs", "the last of that month is 2027-02-28", 2),
    ("2027-03-01", '"soon"', "departs", "must be a date", 2),
    ("2027-03-01", "2027-03-01T05:00:00Z", "departs", "without a time", 2),
    ("departs", 'sky = "cautios"\ndeparts', "sky", 'did you mean "cautious"?', 2),
    ("departs", 'aim = "fewest_shore"\ndeparts', "aim", 'did you mean "fewest-shore"?', 2),
    ("departs", 'aim = "calmest"\ndeparts', "aim", "needs by", 2),
    ("departs", 'shore_power = "nevr"\ndeparts', "shore_power", 'did you mean "never"?', 2),
    ("departs", "by = 2027-02-01\ndeparts", "by", "before the departure", 2),
    ("departs", 'time_zone = "Europe/Dublni"\ndeparts', "time_zone", 'did you mean "Europe/Dublin"?', 2),
    ("departs", 'travel = ["17:00", "08:00"]\ndeparts', "travel", "the first must be earlier", 2),
    ("departs", 'travel = ["05:00", "07:00"]\ndeparts', "travel", "before the day starts", 2),
    ("departs", 'day_starts = "24:00"\ndeparts', "day_starts", "midnight", 2),
    ("departs", "charge_at_start_percent = 101\ndeparts", "charge_at_start_percent", "at most 100", 2),
    ("departs", "charge_at_start_kwh = 9\ndeparts", "charge_at_start_kwh", "unit must be percent", 2),
    ("departs", 'comfort = "frugal"\ndeparts', "comfort", "it has off", 2),
    ("departs", 'weather = "none.csv"\ndeparts', "weather", "no such file", 2),
    ("departs", "heating_reserve_nights = 1.5\ndeparts", "heating_reserve_nights", "whole number", 2),
    ("departs", "mooring_every_nm = 0\ndeparts", "mooring_every_nm", "at least 0.269978", 2),
    ("boat.toml", "boats.toml", "boat", 'did you mean "boat.toml"?', 1),
    ("boat.toml", "", "boat", "must not be empty", 1),
]  # fmt: skip
PLACES = [
    ("[52.99, -6.98]", "[95, -6.98]", "place[1].at", "at most 90, is 95", 4),
    ("[52.99, -6.98]", "[95, 98]", "place[1].at[1]", "at most 90, is 95", 4),
    ("[52.99, -6.98]", "[52.99, -186.98]", "place[1].at[2]", "at least -180", 4),
    ("[52.99, -6.98]", "[52.99]", "place[1].at[2]", "missing", 4),
    ("[52.99, -6.98]", '["52", -6.98]', "place[1].at[1]", "take the quotes away", 4),
    ("[52.99, -6.98]", "[-6.98, 52.99]", "place[1].at", "did you mean [52.99, -6.98]?", 4),
    ("[52.99, -6.98]", "[52.84, -6.93]", "leg[1]", "same position", 8),
    ("at = [52.99, -6.98]", "lat = 52.99", "place[1].lat", 'did you mean "at"?', 4),
    ('"Carlow", at', '"Athy", at', "place[2].name", "each needs its own name", 5),
    (' },\n]', ', shore_kw = -1 },\n]', "place[3].shore_kw", "1 may be meant", 6),
    ("at = [52.99, -6.98]", "at = [52.99, -6.98], shore_w = 3", "place[1].shore_w", "unit must be kw", 4),
]  # fmt: skip
LEGS = [
    ('from = "Carlow"', 'from = "Athy"', "leg[2].from", 'the leg before it ends at "Carlow"', 12),
    ('from = "Carlow"', 'from = "Carlo"', "leg[2].from", 'did you mean "Carlow"?', 12),
    (FIRST, 'to = "Athy"\n', "leg[1].to", "ends where it starts", 10),
    (FIRST, "", "leg[1].to", "is missing", 8),
    (FIRST, FIRST + "distance_km = -3\n", "leg[1].distance_km", "3 may be meant", 11),
    (FIRST, FIRST + "distance_km = 3\n", "leg[1].distance_km", "shorter than the straight line of 17 km", 11),
    (FIRST, FIRST + "distance_mi = 30\n", "leg[1].distance_mi", "unit must be km or nm", 11),
    (FIRST, FIRST + "distance_km = 30\ndistance_nm = 16\n", "leg[1].distance_nm", "give one of them", 12),
    (FIRST, FIRST + "distance_km = nan\n", "leg[1].distance_km", "NaN", 11),
    (FIRST, FIRST + 'water = "chanel"\n', "leg[1].water", 'did you mean "canal"?', 11),
    (FIRST, FIRST + "depth_m = 0.4\n", "leg[1].depth_m", "too deep", 11),
    (FIRST, FIRST + "depth_ft = 1.5\n", "leg[1].depth_ft", "too deep", 11),
    (FIRST, FIRST + "headroom_m = 2.2\n", "leg[1].headroom_m", "too high", 11),
    (FIRST, FIRST + "width_m = 2\n", "leg[1].width_m", "too wide", 11),
    (FIRST, FIRST + "lock_beam_m = 2\n", "leg[1].lock_beam_m", "too wide", 11),
    (FIRST, FIRST + "lock_length_m = 11\n", "leg[1].lock_length_m", "too long", 11),
    (FIRST, FIRST + "locks = 2\nlock_at_km = [1]\n", "leg[1].lock_at_km", "places 1, but locks = 2", 12),
    (FIRST, FIRST + "distance_km = 20\nlock_at_km = [21]\n", "leg[1].lock_at_km", "beyond the end", 12),
    (FIRST, FIRST + "bridge_at_km = [21]\n", "leg[1].bridge_at_km", "beyond the end", 11),
    (FIRST, FIRST + "tunnel_km = 21\n", "leg[1].tunnel_km", "tunnel", 11),
    (FIRST, FIRST + 'open_hours = ["17:00", "09:00"]\n', "leg[1].open_hours", "earlier", 11),
    (FIRST, FIRST + "closed = [[2027-03-04, 2027-03-01]]\n", "leg[1].closed", "swap them", 11),
    (FIRST, FIRST + 'closed_days = ["sunday"]\n', "leg[1].closed_days[1]", 'did you mean "sun"?', 11),
    (FIRST, FIRST + "earliest = 2027-03-09\nlatest = 2027-03-05\n", "leg[1].latest", "before earliest", 12),
    (FIRST, FIRST + "latest = 2027-02-05\n", "leg[1].latest", "before the departure", 11),
    (FIRST, FIRST + "speed_kmh = 2\n", "leg[1].speed_kmh", "does not steer below 2.5", 11),
    (FIRST, FIRST + "speed_kmh = 30\n", "leg[1].speed_kmh", "motor has 4000 W", 11),
    (FIRST, FIRST + "speed_kmh = 8\nlimit_kmh = 6\n", "leg[1].speed_kmh", "above limit_kmh", 11),
    (FIRST, FIRST + "speed_kmh = 4\ncurrent_kmh = -3.5\n", "leg[1].speed_kmh", "over the ground", 11),
    (FIRST, FIRST + "fit_to_go = 60\n", "leg[1].fit_to_go", "0.6 may be meant", 11),
    (FIRST, FIRST + "nights = -1\n", "leg[1].nights", "at least 0", 11),
    (FIRST, FIRST + "tide = { flood_kmh = 3 }\n", "leg[1].tide.high_water", "is missing", 11),
    (FIRST, FIRST + 'via = [[52.9, "x"]]\n', "leg[1].via[1][2]", "must be a number", 11),
]  # fmt: skip
MEASURES = "coefficient_w_per_mps3 = 90\nwaterline_m = 12\nbeam_m = 2.2\ndraught_m = 0.5\nair_draught_m = 2.4\n"


@pytest.mark.parametrize(("old", "new", "key", "part", "line"), [*TOP, *PLACES, *LEGS])
def test_a_fault_is_told_with_its_line_and_key(
    tmp_path: Path, old: str, new: str, key: str, part: str, line: int
) -> None:
    found = voyage_problems(pair(tmp_path, voyage=(old, new), boat=("coefficient_w_per_mps3 = 90\n", MEASURES)))
    matching = [text for file, where, name, text in found if (file, where, name) == ("voyage.toml", line, key)]
    assert any(part in text for text in matching), found


def test_one_fault_gives_one_problem(tmp_path: Path) -> None:
    """A fault must not drag others behind it; those that do are wrong names, which break the chain of legs too."""
    single = [
        case for case in [*TOP, *PLACES, *LEGS] if case[2] not in ("leg[1].to", "leg[2].from", "baot", "place[1].lat")
    ]
    for old, new, key, _, _ in single:
        found = voyage_problems(pair(tmp_path, voyage=(old, new), boat=("coefficient_w_per_mps3 = 90\n", MEASURES)))
        others = [problem for problem in found if problem[2] != key]
        assert not others or key.startswith("place[2].name"), others


def test_all_problems_of_both_files_come_at_once(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=("departs = 2027-03-01", "departs = 2027-02-30\nspeed = 3"), boat=("400", "-400"))
    with path.open("a", encoding="utf-8") as handle:
        handle.write("depth_m = 0.1\nlocks = 2.5\n")
    assert [(file, line, key) for file, line, key, _ in voyage_problems(path)] == [
        ("voyage.toml", 2, "departs"),
        ("voyage.toml", 3, "speed"),
        ("voyage.toml", 16, "leg[2].locks"),
        ("boat.toml", 6, "array[1].panel_wp"),
    ]


def test_sizes_are_checked_though_the_boat_file_has_another_fault(tmp_path: Path) -> None:
    boat = ("[hull]\n", "[hull]\ndraught_m = 0.5\nsea_margin_percent = -1\n")
    found = voyage_problems(pair(tmp_path, voyage=(FIRST, FIRST + "depth_m = 0.4\n"), boat=boat))
    assert [key for _, _, key, _ in found] == ["leg[1].depth_m", "hull.sea_margin_percent"]


def test_no_legs_no_places_and_rows_of_the_wrong_kind(tmp_path: Path) -> None:
    pair(tmp_path)
    head = 'boat = "boat.toml"\ndeparts = 2027-03-01\n'
    for more, keys in (
        ("", ["leg", "place"]),
        ("leg = []\nplace = []\n", ["leg", "place"]),
        ("leg = 3\nplace = [3, 4]\n", ["leg", "place[1]", "place[2]"]),
        ("[leg]\n[[place]]\n", ["leg", "place[1]"]),
    ):
        (tmp_path / "voyage.toml").write_text(head + more, "utf-8")
        assert sorted({key for _, _, key, _ in voyage_problems(tmp_path / "voyage.toml")}) == keys


@pytest.mark.parametrize(
    ("content", "line", "part"),
    [(b"name = \n", 1, "not TOML"), (b"\xff", 1, "byte 0"), (b"", 1, "empty"),
     (b'[[leg]]\nfrom = "a"\n', 1, "voyage file")],
)  # fmt: skip
def test_a_boat_file_that_cannot_be_read(tmp_path: Path, content: bytes, line: int, part: str) -> None:
    path = pair(tmp_path)
    (tmp_path / "boat.toml").write_bytes(content)
    (file, where, _, text), *others = voyage_problems(path)
    assert (file, where, others) == ("boat.toml", line, [])
    assert part in text


def test_a_boat_file_in_place_of_a_voyage(tmp_path: Path) -> None:
    pair(tmp_path)
    ((_, _, _, text),) = voyage_problems(tmp_path / "boat.toml")
    assert "is a boat file" in text


def test_a_swapped_position_is_named_where_the_leg_gets_absurd(tmp_path: Path) -> None:
    swapped = ('{ name = "Carlow", at = [52.84, -6.93] }', '{ name = "Carlow", at = [-6.93, 52.84] }')
    water = SMALL_VOYAGE.replace('to = "Carlow"\n', 'to = "Carlow"\nwater = "open"\n').replace(*swapped)
    pair(tmp_path)
    (tmp_path / "voyage.toml").write_text(water.replace('"Graiguenamanagh"\n', '"Graiguenamanagh"\nwater = "open"\n'))
    found = voyage_problems(tmp_path / "voyage.toml")
    assert [key for _, _, key, _ in found] == ["leg[1]", "leg[2]"]
    assert all('"Carlow" may be swapped: at = [52.84, -6.93]' in text for _, _, _, text in found)


def test_what_a_file_says_cannot_steer_the_terminal(tmp_path: Path) -> None:
    path = pair(tmp_path, voyage=('to = "Carlow"\n', 'to = "\\u001b[31mCar\\nlow"\n"\\u001b[2J" = 3\n'))
    for _, _, key, text in voyage_problems(path):
        assert key.isprintable()
        assert text.isprintable()


def test_forecast_rows_have_one_of_two_keys_and_one_row_a_day(tmp_path: Path) -> None:
    rows = "forecast = [\n{ date = 2027-03-01 },\n{ date = 2027-03-02, oktas = 3, ghi_kwh_m2 = 2 },\n"
    rows += "{ date = 2027-03-02, oktas = 9 },\n]\ndeparts"
    found = voyage_problems(pair(tmp_path, voyage=("departs", rows)))
    assert [(line, key) for _, line, key, _ in found] == [
        (3, "forecast[1].oktas"), (4, "forecast[2].ghi_kwh_m2"), (5, "forecast[3].date"), (5, "forecast[3].oktas"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("header", "part"),
    [("time,ghi_wm2,air_c", 'ghi_w_m2; did you mean "ghi_wm2"?'), ("", "is empty"), ("time\xff", "not UTF-8")],
)
def test_a_weather_file_without_its_columns(tmp_path: Path, header: str, part: str) -> None:
    (tmp_path / "w.csv").write_bytes(header.encode("latin-1"))
    ((file, line, _, text),) = voyage_problems(pair(tmp_path, voyage=("departs", 'weather = "w.csv"\ndeparts')))
    assert (file, line) == ("w.csv", 1)
    assert part in text


def test_a_forecast_beyond_the_clear_sky(tmp_path: Path) -> None:
    """Haurwitz's cloudless 1 March at 53 degrees has about 3 kWh/m²; a day in MJ/m² is 3.6 times that."""
    rows = "forecast = [{ date = 2027-03-01, ghi_kwh_m2 = 3.2 }, { date = 2027-03-02, ghi_kwh_m2 = 8 }]\ndeparts"
    ((_, _, key, text),) = voyage_problems(pair(tmp_path, voyage=("departs", rows)))
    assert key == "forecast[2].ghi_kwh_m2"
    assert "is 8, a cloudless 2027-03-02 has 3." in text
    assert "2.2 may be meant" in text


@pytest.mark.parametrize(
    ("row", "part"),
    [
        ("oktas = -1", "must be at least 0"),
        ("oktas = 8.5", "must be at most 8"),
        ("ghi_kwh_m2 = -0.1", "must be at least 0"),
        ("oktas = 3, air_c = -61", "must be at least -60"),
        ("oktas = 3, air_c = 61", "must be at most 60"),
        ("oktas = 3, wind_kmh = 201", "must be at most 200"),
        ("oktas = nan", "must be an ordinary number"),
        ("ghi_kwh_m2 = inf", "must be an ordinary number"),
    ],
)
def test_an_impossible_forecast(tmp_path: Path, row: str, part: str) -> None:
    text = f"forecast = [{{ date = 2027-03-01, {row} }}]\ndeparts"
    assert part in voyage_problems(pair(tmp_path, voyage=("departs", text)))[0][3]


LEG = '[[leg]]\nfrom = "Carlow"\nto = "Graiguenamanagh"\n'


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (LEG, '[[leg]]\nfrom = "Athy"\nto = "Graiguenamanagh"\n',
         ('leg[2].from', 'starts at "Athy", but the leg before it ends at "Carlow"; add the leg between them, or mend '
          'one end (Athy to Graiguenamanagh)')),
        (LEG, "[[leg]]\n" + LEG, ("leg[2]", "is empty: it needs from and to; fill it in or take it away")),
        (LEG, '[[leg]]\nfrom = "Carlow"\n', ("leg[2].to", "is missing: place where the leg ends (Carlow to ?)")),
        (LEG, '[[leg]]\nfrom = "Carlow"\nto = "Nowhere"\n',
         ("leg[2].to",
          'there is no place "Nowhere"; the places are Athy, Carlow, Graiguenamanagh (Carlow to Nowhere)')),
    ],
)  # fmt: skip
def test_a_voyage_saved_half_done_is_told_in_one_sentence(
    tmp_path: Path, old: str, new: str, told: tuple[str, str]
) -> None:
    ((_, _, key, text),) = voyage_problems(pair(tmp_path, voyage=(old, new)))
    assert (key, text) == told


def test_one_place_alone_is_told(tmp_path: Path) -> None:
    path = pair(tmp_path)
    path.write_text('boat = "boat.toml"\ndeparts = 2027-03-01\nplace = [{ name = "Athy", at = [52.99, -6.98] }]\n')
    texts = {key: text for _, _, key, text in voyage_problems(path)}
    assert texts == {
        "place": "there is only one place; a voyage needs at least 2",
        "leg": "is missing: one or more legs in order, [[leg]]",
    }
