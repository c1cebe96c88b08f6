"""Readings of a CSV as entries: percent and meters turned into kWh, what is wrong told by line."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from voyager.errors import InputError, Problems
from voyager.files.log_csv import Readings, read_log_csv
from voyager.files.log_tracks import begins_as_xml, read_log_track
from voyager.logbook.entries import Entry

FULL = 20.0


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("csv") / "monitor.csv"


def read(file: Path, *lines: str, counters: bool = False) -> Readings:
    file.write_text("\n".join(lines), "utf-8")
    return read_log_csv(file, FULL, counters=counters)


def at(hour: int) -> datetime:
    return datetime(2027, 3, 2, hour, tzinfo=UTC)


def test_rows_are_entries_and_rows_that_say_nothing_are_left_out(file: Path) -> None:
    found = read(
        file,
        "time,charge_percent,solar_kwh,propulsion_kwh,heating_kwh,hotel_kwh,place,km,lat,lon,note,motor_v",
        "2027-03-02T08:00Z,50,1.5,1,2,3,Beck,12,53.1,-8,,1",
        "2027-03-02T10:00+01:00,,,,,,,,,,\"lunch, late\",1",
        "2027-03-02T10:00Z,,,,,,,,,,,1",
        "2027-03-02T10:00Z,,,,,,,,,,,1",
    )  # fmt: skip
    assert found.entries == (
        Entry(at(8), "reading", "Beck", 12.0, 53.1, -8.0, 10.0, 1.5, None, 1.0, 2.0, 3.0, source="monitor.csv"),
        Entry(at(9), "event", note="lunch, late", source="monitor.csv"),
    )
    assert (found.rows, found.count) == ((2, 3), 4)
    assert [(one.row, one.why.split(",")[0]) for one in found.left_out] == [
        (4, "says nothing but the time"), (5, "duplicate row"),
    ]  # fmt: skip
    assert found.notes == ("columns passed over: motor_v",)


@settings(deadline=None, max_examples=40)
@given(flows=st.lists(st.none() | st.integers(0, 50), min_size=1, max_size=12), begins=st.integers(0, 1000))
def test_meters_are_differences_and_add_up(file: Path, flows: list[int | None], begins: int) -> None:
    """None: a row in which the meter was not read."""
    total, readings = begins, []
    for flow in flows:
        total += flow or 0
        readings.append("" if flow is None else str(total))
    rows = [f"2027-03-02T{hour:02}:00Z,{meter},1" for hour, meter in enumerate(readings)]
    found = read(file, "time,solar_kwh,km", *rows, counters=True)
    read_flows = [flow for flow in flows if flow is not None]
    told = [one.solar_kwh for one in found.entries]
    assert [one is None for one in told] == [flow is None or n == _first(flows) for n, flow in enumerate(flows)]
    assert sum(one for one in told if one is not None) == sum(read_flows[1:])
    assert not found.notes


def _first(flows: list[int | None]) -> int:
    return next((n for n, flow in enumerate(flows) if flow is not None), -1)


def test_a_meter_that_begins_again_at_nought_is_told_of(file: Path) -> None:
    rows = [f"2027-03-02T{hour:02}:00Z,{meter}" for hour, meter in enumerate((98.5, 99.5, 0.75, 1.0))]
    found = read(file, "time,shore_kwh", *rows, counters=True)
    assert [one.shore_kwh for one in found.entries] == [1.0, 0.75, 0.25]
    assert [one.why for one in found.left_out] == ["says nothing but the time"]
    assert found.notes == (
        "shore_kwh: the meter reads less than before in line 4; taken to have begun again at 0 there",
    )


@pytest.mark.parametrize(
    ("name", "cell", "said"),
    [
        ("charge_percent", "101", "must lie between 0 and 100, is 101"),
        ("charge_kwh", "20.5", "must lie between 0 and 20, is 20.5; the battery holds no more"),
        ("solar_kwh", "-1", "must lie between 0 and"),
        ("inside_c", "90", "must lie between -60 and 80"),
        ("km", "-1", "must lie between 0 and"),
        ("lat", "53", "go together; give both or neither"),
        ("solar_kwh", "nan", "must be an ordinary number"),
    ],
)
def test_what_no_boat_can_have_is_told_by_line_and_column(file: Path, name: str, cell: str, said: str) -> None:
    with pytest.raises(Problems, match=said) as caught:
        read(file, f"time,{name},note", "2027-03-02T08:00Z,,x", f"2027-03-02T09:00Z,{cell},x")
    (problem,) = caught.value.problems
    assert (problem.line, problem.key) == (3, name)


@pytest.mark.parametrize(("time", "said"), [("2027-06-02T08:00", 1), ("2027-06-02T08:00Z", 0)])
def test_times_without_an_offset_are_said_to_be_utc(file: Path, time: str, said: int) -> None:
    file.write_text(f"time,km\n{time},2\n", "utf-8")
    notes = read_log_csv(file, 20.0).notes
    assert len(notes) == said
    assert all("taken as UTC" in note for note in notes)


def test_shares_in_the_place_of_percent_are_pointed_out(file: Path) -> None:
    rows = [f"2027-03-02T{hour:02}:00Z,0.{hour}" for hour in (5, 6, 7)]
    assert "if it is a share, multiply it by 100" in read(file, "time,charge_percent", *rows).notes[0]


def test_tracks_without_times_are_refused_and_routes_told_apart(tmp_path: Path) -> None:
    from tests.files.gpx_files import gpx, point, track

    path = tmp_path / "t"
    path.write_text(gpx(track([(53.0, -8.0, None)])), "utf-8")
    assert begins_as_xml(str(path))
    with pytest.raises(InputError, match="no point with a time"):
        read_log_track(path)
    path.write_text(gpx(f"<rte>{point('rtept', (53.0, -8.0, 1.0))}</rte>"), "utf-8")
    with pytest.raises(InputError, match="routes and waypoints only"):
        read_log_track(path)
    path.write_text("time,km\n", "utf-8")
    assert not begins_as_xml(str(path))
    assert not begins_as_xml(str(tmp_path / "none"))


def test_a_tracks_points_are_put_in_order_and_counted(tmp_path: Path) -> None:
    """Two parts, the later first; a point without time, one of the same time, one whose time is none."""
    from tests.files.gpx_files import BEGIN, gpx, track

    path = tmp_path / "t.gpx"
    late, early = (
        [(53.2, -8.0, 7200.0), (53.3, -8.0, None)],
        [(53.0, -8.0, 0.0), (53.0, -8.0, 0.0), (53.1, -8.0, 3600.0)],
    )
    path.write_text(
        gpx(track(late, early)).replace("</trkpt></trkseg>", "<time>noon</time></trkpt></trkseg>", 1), "utf-8"
    )
    found = read_log_track(path)
    assert [(one.time_utc.hour - BEGIN.hour, one.lat, one.note) for one in found.entries] == [
        (0, 53.0, "track begins"), (1, 53.1, ""), (2, 53.2, "track ends"),
    ]  # fmt: skip
    assert (found.rows, found.count) == ((3, 5, 1), 5)
    assert found.notes == (
        "points without a time, left out: 1 of 5, 1 of them with a time that cannot be read",
        "points of the same time as another, left out: 1",
    )
