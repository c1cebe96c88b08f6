"""Measurement files: what is read, and one sentence for each fault, with the line where it stands."""

import tracemalloc
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.errors import InputError, Problems
from voyager.files.measured import MOST_TOLD, read_measured
from voyager.files.measured_kinds import LAYOUTS
from voyager.fits.measured import Measured

HEAT = "time,inside_c,outside_c,heater_w\n"
ROW = "2026-11-28T06:00Z,8.1,7.2,900\n"
Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def put(text: str | bytes, name: str = "m.csv") -> Path:
        file = tmp_path / name
        file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return file

    return put


def refused(file: Path, kind: str) -> list[str]:
    with pytest.raises(Problems) as caught:
        read_measured(file, kind)
    return [str(problem).removeprefix(f"{file}:") for problem in caught.value.problems]


def heat(write: Write, rows: str, head: str = HEAT) -> Measured:
    return read_measured(write(head + rows), "heat")


def test_a_heat_log_is_read(write: Write) -> None:
    found = heat(write, ROW + "2026-11-28T07:30:30+01:00,9.25,,900\n\n2026-11-28 06:31Z,9.5,7,0\n")
    assert found.rows == len(found) == 3
    assert found.time_s is not None
    assert found.time_s.tolist() == [1795845600.0, 1795847430.0, 1795847460.0]
    assert found.columns["inside_c"].tolist() == [8.1, 9.25, 9.5]
    assert np.isnan(found.numbers("outside_c")[1])
    assert found.line.tolist() == [2, 3, 5]
    assert "people" not in found
    assert np.isnan(found.numbers("people")).all()


def test_mark_of_byte_order_quotes_returns_and_case_are_taken(write: Write) -> None:
    text = '\ufeff"Time", "Inside_C","outside_c","heater_w","people"\r\n"2026-11-28T06:00"," 8.1 ",7.2,900,\r\n\r\n'
    found = read_measured(write(text), "heat")
    assert (found.columns["inside_c"].tolist(), found.line.tolist()) == ([8.1], [2])


def test_speeds_come_in_metres_a_second_and_depths_in_metres(write: Write) -> None:
    head = "speed_kn,motor_w,direction,wind_kmh,depth_ft,run\n"
    found = read_measured(write(head + "3,420,Out,18,10,1\n2.9,420,back,,,1\n"), "trial")
    assert found.columns["speed_mps"] == pytest.approx([3 * 1852 / 3600, 2.9 * 1852 / 3600])
    assert found.columns["wind_mps"][0] == pytest.approx(5.0)
    assert found.columns["depth_m"][0] == pytest.approx(3.048)
    assert (found.columns["direction"], found.columns["run"]) == (("out", "back"), ("1", "1"))


def test_a_speed_may_be_a_stopwatch_over_a_distance(write: Write) -> None:
    runs = "distance_nm,seconds,motor_w,direction\n1,12:00,420,out\n1,720.0,420,back\n2,1:00:00,100,out\n1,,1,back\n"
    found = read_measured(write(runs), "trial")
    assert found.columns["speed_mps"][:3] == pytest.approx([1852 / 720, 1852 / 720, 3704 / 3600])
    assert np.isnan(found.columns["speed_mps"][3])
    assert not {"run_s", "distance_m"} & found.columns.keys()


def test_a_spring_scale_reads_grams_and_a_charger_watt_hours(write: Write) -> None:
    towed = read_measured(write("distance_m,seconds,force_g\n6,10,100\n"), "model")
    assert towed.columns["speed_mps"] == pytest.approx([0.6])
    assert towed.columns["force_n"] == pytest.approx([0.980665])
    assert read_measured(write("date,energy_wh\n2026-06-01,1400\n"), "panels").columns["energy_kwh"] == pytest.approx(
        [1.4]
    )


@pytest.mark.parametrize("text", ["true", "1", "Yes", "TRUE"])
def test_yes_in_every_form(write: Write, text: str) -> None:
    rows = f"2026-11-28,2.1,{text}\n2026-11-29,2.2,no\n2026-11-30,2.2,\n"
    found = read_measured(write("date,energy_kwh,battery_full\n" + rows), "panels")
    assert found.columns["battery_full"].tolist()[:2] == [1.0, 0.0]
    assert np.isnan(found.numbers("battery_full")[2])
    assert (found.time_s, found.columns["date"]) == (None, ("2026-11-28", "2026-11-29", "2026-11-30"))


@pytest.mark.parametrize(
    ("head", "rows", "told"),
    [
        ("time,inside_c,outside_c\n", "", [
            "1: heater_w: is missing; the file needs time, inside_c, outside_c, heater_w"]),
        (HEAT.replace("inside_c", "insid_c"), ROW, ["1: insid_c: unknown column; did you mean inside_c?"]),
        (HEAT.replace("heater_w", "heater_kw"), ROW, ["1: heater_kw: unknown column; did you mean heater_w?"]),
        (HEAT.strip() + ",inside_c\n", ROW.strip() + ",1\n", [
            "1: inside_c: stands twice in the header; take one away"]),
        (HEAT.strip() + ",poeple\n", ROW.strip() + ",1\n", ["1: poeple: unknown column; did you mean people?"]),
        (HEAT, "", ["1: has a header and not a single row; measure first, one row a reading"]),
        (HEAT, "2026-11-28T06:00Z,x,7,900\n", ['2: inside_c: must be a number, is "x"']),
        (HEAT, '2026-11-28T06:00Z,"8,1",7,900\n', [
            '2: inside_c: must be a number, is "8,1"; decimals take a point, so 8.1 may be meant']),
        (HEAT, "2026-11-28T06:00Z,nan,inf,900\n", [
            '2: inside_c: must be an ordinary number, is "nan"; leave the cell empty where nothing was measured',
            '2: outside_c: must be an ordinary number, is "inf"; leave the cell empty where nothing was measured']),
        (HEAT, "2026-11-28T06:00Z,1e300,7,900\n", ['2: inside_c: is far too large a number, "1e300"']),
        (HEAT, "2026-11-28T06:00Z,8,7\n", [
            "2: has 3 cells, the header 4 names; leave missing ones empty; decimals take a point, texts with a comma "
            "quotation marks"]),
        (HEAT, "28.11.2026 06:00,8,7,1\n", [
            '2: time: is "28.11.2026 06:00"; write it such as "2027-03-01T14:00+01:00", or "2027-03-01T14:00" in UTC; '
            "2026-11-28T06:00 may be meant"]),
        (HEAT, "8:05,8,7,1\n", [
            '2: time: has no date, is "8:05"; write it such as "2027-03-01T14:00+01:00", or "2027-03-01T14:00" in '
            "UTC"]),
        (HEAT, "2026-11-28,8,7,1\n", [
            '2: time: is "2026-11-28"; write it such as "2027-03-01T14:00+01:00", or "2027-03-01T14:00" in UTC']),
        (HEAT, ",8,7,1\n", [
            '2: time: is empty; write it such as "2027-03-01T14:00+01:00", or "2027-03-01T14:00" in UTC']),
        (HEAT, ROW + "2026-11-28T06:01,8,7,1\n", [
            "3: time: has no offset, unlike those above; give every time one, or none where all are UTC"]),
        (HEAT, ROW + "2026-11-28T05:59Z,8,7,1\n", [
            "3: time: 2026-11-28T05:59Z is before the row above (2026-11-28T06:00Z); put the rows in order of time, "
            "with an offset where clocks were set back"]),
        (HEAT.replace(",", ";"), "2026-11-28T06:00Z;8,1;1.234,5;900\n", [
            '2: outside_c: must be a number, is "1.234,5"']),
        (HEAT, '2026-11-28T06:00Z,"8.1,7,900\n', [
            "2: is not CSV: unexpected end of data; look at its quotation marks"]),
    ],
)  # fmt: skip
def test_faults_are_told_by_line_and_column(write: Write, head: str, rows: str, told: list[str]) -> None:
    assert refused(write(head + rows), "heat") == told


@pytest.mark.parametrize("part", [";", "\t"])
def test_a_spreadsheet_that_parts_by_semicolons_or_tabs_is_read(write: Write, part: str) -> None:
    rows = "2026-11-28T06:00Z,8.1,-7.25,900\n2026-11-28T06:10Z,9,.5,0\n"
    plain = read_measured(write(HEAT + rows), "heat")
    other = read_measured(write((HEAT + rows).replace(",", part).replace(".", ",")), "heat")
    for name, values in plain.columns.items():
        assert list(other.columns[name]) == list(values), name
    assert list(plain.columns["inside_c"]) == [8.1, 9.0]


@pytest.mark.parametrize(
    ("kind", "text", "told"),
    [
        ("trial", "speed_kmh,speed_kn,motor_w,direction\n6,3,4,out\n", "speed_kn: stands beside speed_kmh; give one"),
        ("trial", "motor_w,direction\n400,out\n", "speed_kmh or speed_kn or seconds: is missing"),
        ("trial", "seconds,motor_w,direction\n600,400,out\n", "distance_m: is missing: the distance run in seconds"),
        ("trial", "distance_nm,seconds,motor_w,direction\n1,0:00,4,out\n", "seconds: must be above 0"),
        ("model", "distance_m,seconds,force_g\n-6,10,40\n", "distance: must be above 0"),
        ("panels", "date,energy_kwh\n1.3.2026,1\n", 'such as "2027-03-01", is "1.3.2026"; 2026-03-01 may be meant'),
        ("trial", "speed_kmh,motor_w,direction\n6,400,north\n", 'direction: must be out or back, is "north"'),
        ("trial", "speed_kmh,motor_w,direction\n6,400,bak\n", 'is "bak"; did you mean "back"?'),
        ("panels", "date,energy_kwh\n2026-02-30,1\n", 'date: must be a date such as "2027-03-01", is "2026-02-30"'),
        ("panels", "date,energy_kwh,moored\n2026-02-20,1,perhaps\n", "moored: must be yes or no"),
        ("model", "speed_mps,force_n,power_w\n1,1,1\n", "power_w: stands beside force_n"),
    ],
)
def test_faults_of_the_other_kinds(write: Write, kind: str, text: str, told: str) -> None:
    (problem,) = refused(write(text), kind)
    assert told in problem


def test_the_columns_of_a_logger_are_passed_over_and_named(write: Write) -> None:
    found = heat(write, ROW.strip() + ",51.2,x\n", HEAT.strip() + ",battery_v,humidity\n")
    assert found.notes == ("columns passed over: battery_v, humidity",)


def test_a_file_of_another_kind_is_told_as_one(write: Write) -> None:
    file = write("speed_kmh,motor_w,direction\n6,400,out\n")
    assert refused(file, "heat") == ["1: has the columns of fit trial, not those of fit heat"]
    assert "time: is missing" in refused(write("inside_c\n8\n"), "heat")[-1]


def test_a_text_over_two_lines_counts_as_both(write: Write) -> None:
    found = read_measured(write('time,note\n2026-11-28T06:00,"fog\nice"\n2026-11-28T07:00,sun\n'), "log")
    assert (found.line.tolist(), found.columns["note"]) == ([2, 4], ("fog\\nice", "sun"))
    found = read_measured(write('time,note\n\n2026-11-28T06:00,"fog\nice"\n'), "log")
    assert found.line.tolist() == [3]


def test_a_fault_of_row_after_row_is_told_of_the_first_and_counted(write: Write) -> None:
    told = refused(write(HEAT + "".join(f"x{row},1\n" for row in range(50))), "heat")
    assert len(told) == 4
    assert [one.partition(":")[0] for one in told] == ["2", "3", "4", "5"]
    assert told[-1] == "5: the same in this row and 46 more below"


def test_many_faults_are_cut_short(write: Write) -> None:
    told = refused(write("time,lat,lon,km,solar_kwh,shore_kwh,hotel_kwh\n" + "x,x,x,x,x,x,x\n" * 50), "log")
    assert len(told) == MOST_TOLD
    assert told[-1].endswith("this and 8 more faults; mend those above first")


def test_a_second_row_of_the_same_time_is_left_out(write: Write) -> None:
    found = heat(write, ROW + ROW + "2026-11-28T07:00+01:00,9,7,900\n2026-11-28T06:01Z,9,7,900\n")
    assert [(one.row, one.why) for one in found.left_out] == [
        (3, "duplicate row, the same as 2"),
        (4, "duplicate time, as in row 2"),
    ]
    assert (found.rows, len(found), found.line.tolist()) == (4, 2, [2, 5])


def test_two_arrays_share_a_day_and_two_rolls_a_period(write: Write) -> None:
    panels = "date,energy_kwh,array\n2026-11-28,1,roof\n2026-11-28,1,bow\n2026-11-28,2,bow\n"
    found = read_measured(write(panels), "panels")
    assert [(one.row, one.why) for one in found.left_out] == [(4, "duplicate date, as in row 3")]
    assert len(read_measured(write("period_s\n2.1\n2.1\n"), "roll")) == 2
    runs = "speed_kmh,motor_w,direction\n6,400,out\n6,400,out\n"
    assert read_measured(write(runs), "trial").left_out[0].why == "duplicate row, the same as 2"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        (b"", "is empty"),
        (b"\xff\xfet\0", "UTF-16"),
        (b"a\0b", "binary"),
        (b"t\xe9me\n", "is not UTF-8"),
        (b"\n\n", "empty"),
    ],
)
def test_what_is_no_table_is_told(write: Write, content: bytes, told: str) -> None:
    assert told in refused(write(content), "heat")[0]


def test_files_that_are_not_there(tmp_path: Path) -> None:
    assert "no such file" in refused(tmp_path / "none.csv", "heat")[0]
    assert "is a directory" in refused(tmp_path, "heat")[0]
    with pytest.raises(InputError, match="there is no measurement tea; there are heat, trial"):
        read_measured(tmp_path, "tea")


def test_nothing_steers_the_terminal(write: Write) -> None:
    text = "speed_mps,force_n,model,\x1b[31m\n1,1,\x1b[2J,1\n"
    found = read_measured(write(text), "model")
    assert found.columns["model"] == ("\\x1b[2J",)
    assert "\x1b" not in found.notes[0]


def test_a_long_log_needs_little_memory(write: Write) -> None:
    start = np.datetime64("2026-11-01T00:00")
    rows = "".join(f"{start + minute}Z,20.5,7.25,900\n" for minute in range(5_000))
    file = write(HEAT + rows)
    tracemalloc.start()
    found = read_measured(file, "heat")
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert len(found) == 5_000
    assert peak < 40 * file.stat().st_size


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(LAYOUTS)), st.text(alphabet='time,_kwhmps\n"0123456789-:Z.\r\x1b', max_size=80))
def test_whatever_a_file_holds_it_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, kind: str, text: str
) -> None:
    file = tmp_path_factory.getbasetemp() / "any.csv"
    head = ",".join(group[0].name for group in LAYOUTS[kind].needed)
    file.write_text(f"{head}\n{text}", "utf-8")
    try:
        found = read_measured(file, kind)
    except Problems as error:
        lines = [problem.line for problem in error.problems]
    else:
        lines = found.line.tolist()
        assert found.rows == len(found) + len(found.left_out)
    assert min(lines) >= 1
