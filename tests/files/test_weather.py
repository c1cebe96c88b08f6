"""Weather files: what is read, and one sentence for each thing that can't be trusted."""

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pvlib
import pytest

from tests.files.support import pair, problems, voyage_problems
from voyager.errors import Problems
from voyager.files.voyage_file import load_voyage
from voyager.files.weather import EPW_FIELDS, load_weather, read_weather
from voyager.files.weather_sun import distance_km, misfit
from voyager.sky.record import Record
from voyager.sky.sun import position

DATA = Path(pvlib.__file__).parent / "data"
GREENSBORO, SAND_POINT = DATA / "723170TYA.CSV", DATA / "703165TY.csv"
CARLOW = (52.84, -6.93)
HOUR = np.timedelta64(3600, "s")


def sun_w(times: np.ndarray, lat: float, lon: float) -> np.ndarray:
    """A plausible sun [W/m²] half an hour after each time, by pvlib: 700 W/m² for each unit of cos z."""
    zenith = position(times + HOUR / 2, lat, lon).zenith_deg
    return np.asarray(np.maximum(0.0, 700 * np.cos(np.radians(zenith))))


def rows(
    start: str = "2021-02-20", days: int = 40, lat: float = CARLOW[0], lon: float = CARLOW[1], step_min: int = 60
) -> list[list[str]]:
    """time, ghi_w_m2, air_c and wind_mps of days on end."""
    times = np.datetime64(start, "s") + np.arange(days * 1440 // step_min) * np.timedelta64(60 * step_min, "s")
    light = sun_w(times, lat, lon)
    return [[f"{t}Z", f"{g:.1f}", f"{5 + i % 7}", "4.0"] for i, (t, g) in enumerate(zip(times, light, strict=True))]


HEADER = "time,ghi_w_m2,air_c,wind_mps"


def written(path: Path, lines: Sequence[Sequence[str]], header: str = HEADER) -> Path:
    path.write_text("\n".join([header, *(",".join(line) for line in lines)]) + "\n", "utf-8")
    return path


def csv_file(directory: Path, edit: Callable[[list[list[str]]], object] = lambda lines: None, **what: Any) -> Path:
    lines = rows(**what)
    edit(lines)
    return written(directory / "w.csv", lines)


def epw_file(directory: Path, lat: float = 52.3, lon: float = 4.77, zone: float = 1.0, of: float | None = None) -> Path:
    """A year in EPW's own order, months of different years, the sun of latitude ``of``."""
    times = np.datetime64("2001-01-01", "s") + np.arange(8760) * HOUR
    light = sun_w(times - round(zone * 3600) * np.timedelta64(1, "s"), lat if of is None else of, lon)
    head = [f"LOCATION,Somewhere,-,NLD,made,062400,{lat},{lon},{zone},-2.0", *["-,-"] * 6, "DATA PERIODS,1,1"]
    lines = []
    for time, ghi in zip(times.tolist(), light, strict=True):
        row = ["0"] * EPW_FIELDS
        row[:6] = [str(1980 + time.month), str(time.month), str(time.day), str(time.hour + 1), "60", "?"]
        row[6], row[13], row[14], row[15], row[21] = "8.0", f"{ghi:.0f}", "9999", f"{ghi / 2:.0f}", "5.0"
        lines.append(",".join(row))
    path = directory / "w.epw"
    path.write_text("\n".join([*head, *lines]) + "\n", "utf-8")
    return path


def refusal(path: Path, at: tuple[float, float] = CARLOW) -> tuple[int, str, str]:
    ((problem),) = problems(lambda: load_weather(path, at))
    assert Path(problem.file) == path
    assert "\n" not in problem.text
    return problem.line, problem.key, problem.text


def test_a_tmy3_file_as_it_was_published() -> None:
    """Against pvlib's own reading: the sum of the year, the place, and hours by their start."""
    record = load_weather(GREENSBORO)
    data, _ = pvlib.iotools.read_tmy3(GREENSBORO, coerce_year=2001)
    assert (record.kind, record.years, record.lat, record.lon, record.height_m) == ("TMY3", 1, 36.1, -79.95, 273.0)
    assert record.times_utc[0] == np.datetime64("2001-01-01T05:00:00")
    np.testing.assert_allclose(record.ghi_w_m2, data["ghi"])
    np.testing.assert_allclose(record.air_c, data["temp_air"])
    assert np.all(np.diff(record.times_utc) == HOUR)


def test_a_tmy3_file_of_the_far_north_west() -> None:
    record, notes = read_weather(SAND_POINT)
    assert (record.lat, record.lon) == (55.317, -160.517)
    assert len(record.days.dates) == 365
    assert notes == ()


def test_an_epw_file(tmp_path: Path) -> None:
    record = load_weather(epw_file(tmp_path))
    assert (record.kind, record.lat, record.lon, record.height_m, record.years) == ("EPW", 52.3, 4.77, -2.0, 1)
    assert record.times_utc[0] == np.datetime64("2000-12-31T23:00:00")
    assert record.dni_w_m2 is None, "9999 in every row is no beam"
    assert record.dhi_w_m2 is not None
    assert record.wind_mps is not None
    np.testing.assert_allclose(record.dhi_w_m2, record.ghi_w_m2 / 2, atol=0.6)
    assert record.wind_mps.max() == 5


def test_an_epw_file_of_a_leap_year_and_one_in_latin_1(tmp_path: Path) -> None:
    path = epw_file(tmp_path)
    lines = path.read_text("utf-8").splitlines()
    end = 8 + 59 * 24
    extra = [line.replace(",2,28,", ",2,29,", 1) for line in lines[end - 24 : end]]
    lines[0] = lines[0].replace("Somewhere", "Orléans")
    path.write_bytes("\n".join(lines[:end] + extra + lines[end:]).encode("latin-1"))
    record = load_weather(path)
    assert len(record.times_utc) == 8784
    assert np.datetime64("2000-02-29") in record.days.dates


def test_a_csv_with_offsets_finer_than_hours_becomes_hourly_means(tmp_path: Path) -> None:
    fine = rows(days=5, step_min=10)
    shifted = [[t.replace("Z", "+00:00"), *rest] for t, *rest in fine]
    record = load_weather(written(tmp_path / "w.csv", shifted), CARLOW)
    means = np.array([float(row[1]) for row in fine]).reshape(-1, 6).mean(axis=1)
    np.testing.assert_allclose(record.ghi_w_m2, means)
    assert len(record.times_utc) == 120
    local = rows(days=5)
    moved = [[str(np.datetime64(t[:-1]) + 2 * HOUR) + "+02:00", *rest] for t, *rest in local]
    plain = [[t[:-1].replace("T", " "), *rest] for t, *rest in local]
    a, b = (load_weather(written(tmp_path / name, lines), CARLOW) for name, lines in (("a", moved), ("b", plain)))
    np.testing.assert_array_equal(a.times_utc, b.times_utc)


def test_several_years_are_counted(tmp_path: Path) -> None:
    record = load_weather(csv_file(tmp_path, start="2020-01-01", days=1096), CARLOW)
    assert (record.years, record.kind, record.name) == (3, "CSV", "w.csv")
    assert (record.lat, record.lon) == CARLOW


def test_quoted_values_and_columns_of_others_are_read_over(tmp_path: Path) -> None:
    lines = [[f'"{t}"', "x", *rest] for t, *rest in rows(days=5)]
    record = load_weather(written(tmp_path / "w.csv", lines, '"time",station,ghi_w_m2,air_c,wind_mps'), CARLOW)
    assert record.air_c[3] == 8


def test_small_gaps_are_bridged_and_noted(tmp_path: Path) -> None:
    def edit(lines: list[list[str]]) -> None:
        lines[100][2] = lines[101][2] = ""
        del lines[300:303]

    record, notes = read_weather(csv_file(tmp_path, edit), CARLOW)
    assert len(record.times_utc) == 960
    assert notes == ("w.csv: 5 missing hours were bridged from the hours around",)
    np.testing.assert_allclose(record.air_c[99:103], np.linspace(5 + 99 % 7, 5 + 102 % 7, 4))


def test_one_bridged_hour_is_told_as_one(tmp_path: Path) -> None:
    def edit(lines: list[list[str]]) -> None:
        lines[100][2] = ""

    assert "1 missing hour was bridged" in read_weather(csv_file(tmp_path, edit), CARLOW)[1][0]


def test_a_small_night_offset_is_taken_off(tmp_path: Path) -> None:
    def edit(lines: list[list[str]]) -> None:
        for line in lines:
            line[1] = "-4.5" if float(line[1]) == 0 else line[1]

    assert load_weather(csv_file(tmp_path, edit), CARLOW).ghi_w_m2.min() == 0


def put(row: int, column: int, text: str) -> Callable[[list[list[str]]], object]:
    def edit(lines: list[list[str]]) -> None:
        lines[row][column] = text

    return edit


def scaled(factor: float) -> Callable[[list[list[str]]], object]:
    def edit(lines: list[list[str]]) -> None:
        for line in lines:
            line[1] = f"{float(line[1]) * factor:.4f}"

    return edit


def cut(first: int, last: int) -> Callable[[list[list[str]]], object]:
    return lambda lines: lines.__delitem__(slice(first, last))


def swap(lines: list[list[str]]) -> None:
    lines[50], lines[51] = lines[51], lines[50]


def add_to(column: int, amount: float) -> Callable[[list[list[str]]], object]:
    def edit(lines: list[list[str]]) -> None:
        for line in lines:
            line[column] = f"{float(line[column]) + amount:.1f}"

    return edit


REFUSED = [
    (put(5, 1, "abc"), 7, "ghi_w_m2", 'must be an ordinary number, is "abc"'),
    (put(5, 1, "inf"), 7, "ghi_w_m2", "must be an ordinary number"),
    (put(5, 2, "-inf"), 7, "air_c", "must be an ordinary number"),
    (put(5, 1, "-6"), 7, "ghi_w_m2", "is -6 W/m², below zero; leave it empty"),
    (put(5, 2, "61"), 7, "air_c", "is 61; it must lie between -70 and 60"),
    (put(5, 3, "-1"), 7, "wind_mps", "must lie between 0 and 100"),
    (put(5, 0, "yesterday"), 7, "time", 'is "yesterday"; write it such as'),
    (put(5, 0, "0001-01-01T00:00Z"), 7, "time", "in a year from 1900 to 2200"),
    (put(5, 0, "9999-12-31T23:00Z"), 7, "time", "in a year from 1900 to 2200"),
    (put(5, 0, "2021-02-30T05:00Z"), 7, "time", 'is "2021-02-30T05:00Z"'),
    (put(5, 1, "3,5"), 7, "", "has 5 values, the header 4 names"),
    (put(5, 0, "2021-02-20T04:00:00Z"), 7, "time", "stands in the line before too; take one away"),
    (swap, 53, "time", "is earlier than the line before; sort the rows"),
    (cut(100, 117), 102, "air_c", "is missing for 17 h from 2021-02-24T04:00:00Z on; up to 3 h are bridged"),
    (cut(100, 400), 102, "air_c", "is missing for 12 days from"),
    (scaled(0.001), 1, "", "W/m², probably kW/m²; multiply by 1000"),
    (scaled(3.6 * 2), None, "ghi_w_m2", "probably kJ/m²"),
    (scaled(0.0), 1, "", "no sun at all"),
    (scaled(2.9), 1, "", "has more sun than reaches the air over 52.8°N 6.9°W"),
    (add_to(2, 273.15), 2, "air_c", "probably kelvin; take 273.15 away"),
    (add_to(1, 40.0), 1, "", "% of its sun shines while it is night"),
    (cut(1, 960), 1, "", "has a single row"),
    (cut(20, 960), 1, "", "holds 20 h; at least the voyage's length"),
    (lambda lines: lines.clear(), 1, "", "has a header and not a single row"),
]


@pytest.mark.parametrize(("edit", "line", "key", "part"), REFUSED)
def test_what_a_csv_is_refused_for(
    tmp_path: Path, edit: Callable[[list[list[str]]], object], line: int | None, key: str, part: str
) -> None:
    where, what, text = refusal(csv_file(tmp_path, edit))
    assert part in text
    if line is not None:
        assert where == line
    if part.startswith("is missing"):
        assert what in ("air_c", "ghi_w_m2")
    else:
        assert what == key


@pytest.mark.parametrize("hours", [-6, -3, -2, 2, 5, 11])
def test_times_in_another_zone_without_an_offset(tmp_path: Path, hours: int) -> None:
    """The same sun, its times written as by a clock some hours ahead of UTC."""
    lines = [[str(np.datetime64(t[:-1]) + hours * HOUR), *rest] for t, *rest in rows()]
    _, _, text = refusal(written(tmp_path / "w.csv", lines))
    assert f"its sun stands highest {abs(hours)}.0 h {'later' if hours > 0 else 'earlier'}" in text
    assert "write its offset in every time" in text


def test_an_hour_off_is_noted_and_a_half_is_not(tmp_path: Path) -> None:
    for hours, count in ((1, 1), (-1, 1), (0, 0)):
        lines = [[str(np.datetime64(t[:-1]) + hours * HOUR), *rest] for t, *rest in rows()]
        _, notes = read_weather(written(tmp_path / "w.csv", lines), CARLOW)
        assert len(notes) == count
        assert all("1.0 h" in note for note in notes)


def test_every_three_hours_is_too_coarse(tmp_path: Path) -> None:
    path = csv_file(tmp_path, lambda lines: lines.__setitem__(slice(None), lines[::3]))
    assert "has a value every 3 h; hourly values or finer" in refusal(path)[2]


def test_other_files_than_weather(tmp_path: Path) -> None:
    path = tmp_path / "w.csv"
    for data, part in (
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b"PK\x03\x04\0\0\0", "not text but binary"),
        (b"time;ghi_w_m2;air_c\n", "parted by semicolons or tabs"),
        (b"time,ghi_w_m2,air_c,air_c\n", "air_c: stands twice"),
        (b"time,GHI_W_M2,air_c\n", 'no column ghi_w_m2; did you mean "GHI_W_M2"?'),
        (b"time,ghi_w_m2,air_c\n\xff\n", "2: is not UTF-8"),
    ):
        path.write_bytes(data)
        with pytest.raises(Problems, match=r"w\.csv:") as caught:
            load_weather(path, CARLOW)
        assert part in str(caught.value)
    assert "is a directory" in refusal(tmp_path)[2]
    assert "no such file" in refusal(tmp_path / "none.csv")[2]
    assert "tells no position" in problems(lambda: load_weather(csv_file(tmp_path)))[0].text


def test_broken_epw_and_tmy3_files(tmp_path: Path) -> None:
    path = epw_file(tmp_path)
    good = path.read_text("utf-8")
    for old, new, part in (
        ("LOCATION", "PLACE", "is not EPW: its first line must begin with LOCATION,"),
        ("52.3", "92.3", "must lie between -90 and 90"),
        ("52.3", "north", "can't be read as EPW"),
        ("1981,1,1,3,60,?", "1981,13,1,3,60,?", "can't be read as EPW"),
        ("1981,1,1,3,60,?,8.0", "1981,1,1,3,60,?", "has 34 values, an EPW row has 35"),
        ("1981,1,1,3,60,?,8.0", "1981,1,1,3,60,?,warm", 'must be an ordinary number, is "warm"'),
        ("1981,1,1,3,60,?,8.0", "1981,1,1,3,60,?,inf", "must be an ordinary number"),
    ):
        path.write_text(good.replace(old, new, 1), "utf-8")
        assert part in refusal(path)[2]
    path.write_text("\n".join(good.splitlines()[:8]), "utf-8")
    assert "EPW" in refusal(path)[2]
    path.write_text("\n".join(good.splitlines()[: 8 + 24 * 31]), "utf-8")
    assert len(load_weather(path).days.dates) >= 30
    tmy = tmp_path / "w.tmy3"
    text = GREENSBORO.read_text("utf-8")
    tmy.write_text(text.replace("GREENSBORO PIEDMONT", "GREENSBORO, PIEDMONT", 1), "utf-8")
    assert load_weather(tmy).lat == 36.1, "a comma in the station's name"
    tmy.write_text(text.replace("01/01/1988,03:00", "yesterday,03:00", 1), "utf-8")
    assert "can't be read as TMY3" in refusal(tmy)[2]


def test_an_epw_file_of_the_wrong_zone_sign_or_hemisphere(tmp_path: Path) -> None:
    text = epw_file(tmp_path, lon=4.77, zone=1.0).read_text("utf-8")
    wrong = tmp_path / "wrong.epw"
    wrong.write_text(text.replace(",4.77,1.0,", ",4.77,-5.0,", 1), "utf-8")
    assert "6.0 h later" in refusal(wrong)[2]
    assert "its time zone is wrong" in refusal(wrong)[2]
    assert "its summer is the winter over 52.3°N" in refusal(epw_file(tmp_path, of=-52.3))[2]


def named(directory: Path, path: Path, more: str = "") -> Path:
    return pair(directory, voyage=("departs", f'weather = "{path.name}"\n{more}departs'))


def test_a_voyage_carries_its_record(tmp_path: Path) -> None:
    loaded = load_voyage(named(tmp_path, csv_file(tmp_path)))
    assert isinstance(loaded.record, Record)
    assert (loaded.record.lat, loaded.record.lon) == pytest.approx((52.79, -6.953), abs=1e-3)
    assert loaded.notes == ()
    assert load_voyage(pair(tmp_path)).record is None


def test_a_file_of_far_away_is_noted(tmp_path: Path) -> None:
    """Greensboro to Carlow is 5,900 km by an independent geodesic."""
    from geopy.distance import geodesic

    (tmp_path / "g.csv").write_bytes(GREENSBORO.read_bytes())
    far, typical = load_voyage(named(tmp_path, tmp_path / "g.csv")).notes
    away = geodesic((36.1, -79.95), (52.79, -6.953)).km
    assert abs(float(far.split(" is ")[1].split(" km")[0]) / away - 1) < 0.005
    assert "typical year" in typical
    assert distance_km((10, 179.9), (10, -179.9)) == pytest.approx(geodesic((10, 179.9), (10, -179.9)).km, rel=0.005)


def test_a_fault_of_the_weather_file_stands_at_its_own_line(tmp_path: Path) -> None:
    ((file, line, key, _),) = voyage_problems(named(tmp_path, csv_file(tmp_path, put(5, 1, "abc"))))
    assert (file, line, key) == ("w.csv", 7, "ghi_w_m2")


@pytest.mark.parametrize(
    ("what", "more", "part"),
    [
        ({"days": 5}, "by = 2027-03-20\n", "holds 5 whole days, the voyage takes about 20"),
        ({"start": "2021-07-01"}, "", "another season than the voyage's from 2027-03-01"),
        ({"days": 20, "start": "2021-02-25"}, "by = 2027-03-10\n", None),
        ({"days": 366, "start": "2020-01-01"}, "by = 2027-06-10\n", None),
    ],
)
def test_a_file_must_cover_the_voyage(tmp_path: Path, what: dict[str, Any], more: str, part: str | None) -> None:
    path = named(tmp_path, csv_file(tmp_path, **what), more)
    if part is None:
        assert load_voyage(path).record is not None
    else:
        ((file, line, key, text),) = voyage_problems(path)
        assert (file, line, key) == ("voyage.toml", 2, "weather")
        assert part in text


def test_a_file_of_the_other_hemisphere(tmp_path: Path) -> None:
    path = epw_file(tmp_path, lat=-34.9, lon=-56.2, zone=-3.0)
    ((_, line, key, text),) = voyage_problems(named(tmp_path, path))
    assert (line, key) == (2, "weather")
    assert "lies at 34.9°S 56.2°W, the voyage in the other hemisphere" in text
    assert misfit(load_weather(path), (-35.0, -56.0), date(2027, 3, 1), 300) is None
