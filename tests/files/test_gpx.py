"""GPX as read here against gpxpy, an independent reader, and what strangers' files may not do."""

from pathlib import Path

import gpxpy
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.files.gpx_files import BEGIN, HEAD, Point, gpx, point, track
from voyager.errors import Problems
from voyager.files import gpx as module
from voyager.files.gpx import Gpx, Points, read_gpx

points = st.tuples(
    st.floats(-90, 90), st.floats(-180, 180), st.none() | st.integers(0, 10**6).map(lambda ms: ms / 1000)
)
parts = st.lists(points, max_size=4)


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("gpx") / "track.gpx"


def read(file: Path, text: str) -> Gpx:
    file.write_text(text, "utf-8")
    return read_gpx(file)


def rows(points: Points) -> list[Point]:
    """Latitude, longitude and seconds since ``BEGIN``, None where there are none."""
    seconds = points.time_s - BEGIN.timestamp()
    triples = zip(points.lat.tolist(), points.lon.tolist(), seconds.tolist(), strict=True)
    return [(lat, lon, None if np.isnan(s) else round(s, 6)) for lat, lon, s in triples]


@settings(deadline=None, max_examples=40)
@given(
    tracks=st.lists(st.lists(parts, max_size=3), max_size=3),
    route=parts,
    alone=parts,
    version=st.sampled_from(["1.0", "1.1"]),
)
def test_every_point_is_that_of_an_independent_reader(
    file: Path, tracks: list[list[list[Point]]], route: list[Point], alone: list[Point], version: str
) -> None:
    """gpxpy 1.6 (test dependency) reads the same text."""
    waypoints = "".join(point("wpt", one, "<name>W</name>") for one in alone)
    rte = f"<rte><name>R</name>{''.join(point('rtept', one) for one in route)}</rte>"
    text = gpx(waypoints + rte + "".join(track(*one, name=f"T{n}") for n, one in enumerate(tracks)), version)
    mine, other = read(file, text), gpxpy.parse(text)
    for found, wanted in zip(mine.tracks, other.tracks, strict=True):
        assert found.name == wanted.name
        segments = [[theirs(one) for one in segment.points] for segment in wanted.segments if segment.points]
        assert [rows(part) for part in found.parts] == segments
    assert [row for line in mine.routes for part in line.parts for row in rows(part)] == [
        theirs(one) for line in other.routes for one in line.points
    ]
    assert rows(mine.waypoints) == [theirs(one) for one in other.waypoints]
    assert list(mine.waypoint_names) == [one.name for one in other.waypoints]


def theirs(one: "gpxpy.gpx.GPXTrackPoint") -> Point:
    return one.latitude, one.longitude, None if one.time is None else (one.time - BEGIN).total_seconds()


def test_times_without_offset_are_utc_and_those_that_are_none_are_counted(file: Path) -> None:
    times = (
        "2027-03-02T08:00:01",
        "2027-03-02T09:00:02+01:00",
        " 2027-03-02T08:00:03Z\n",
        "2 March",
        "",
        "0001-01-01T00:00:00Z",
    )
    inside = "".join(f'<trkpt lat="1" lon="2"><time>{time}</time></trkpt>' for time in times)
    found = read(file, gpx(f"<trk><trkseg>{inside}</trkseg></trk>"))
    assert [row[2] for row in rows(found.tracks[0].parts[0])] == [1, 2, 3, None, None, None]
    assert found.bad_times == 3


def test_what_others_add_is_passed_over(file: Path) -> None:
    """Extensions, in a space of their own, may hold points and names of theirs."""
    other = '<extensions xmlns:o="urn:o"><o:trkpt lat="nan"/><o:name>no</o:name><time>no</time></extensions>'
    found = read(
        file, gpx(f"<trk><name>T</name>{other}<trkseg>{point('trkpt', (1.0, 2.0, 3.0), other)}</trkseg></trk>")
    )
    assert found.tracks[0].name == "T"
    assert [rows(part) for part in found.tracks[0].parts] == [[(1.0, 2.0, 3)]]
    assert found.bad_times == 0


def test_names_cannot_steer_a_terminal(file: Path) -> None:
    assert read(file, gpx("<trk><name>a&#x9b;31m\n b</name></trk>")).tracks[0].name == r"a\x9b31m b"


DOCTYPE = '<!DOCTYPE gpx [<!ENTITY e0 "x">{}]>'
BOMB = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 8))
AT = '<trk><trkseg><trkpt lat="{}" lon="{}"/></trkseg></trk>'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (DOCTYPE.format(BOMB) + gpx("<trk><name>&e7;</name></trk>").removeprefix(HEAD), "document type"),
        ('<!DOCTYPE gpx SYSTEM "file:///etc/passwd">' + gpx("").removeprefix(HEAD), "document type"),
        (gpx("<trk><name>&unknown;</name></trk>"), "not whole XML: undefined entity"),
        (gpx(track([(1.0, 2.0, 3.0)]))[:-40], "not whole XML"),
        (HEAD, "not whole XML: no element found"),
        ("", "is empty"),
        ("time,lat,lon\n", "not whole XML"),
        ("<html/>", "no GPX 1.0 or 1.1"),
        ('<gpx xmlns="urn:other"/>', "no GPX 1.0 or 1.1"),
        (gpx("<a>" * 100), "nested deeper than 64"),
        (gpx(AT.format("nan", "0")), r'3: lat of a point must be a number of degrees from -90 to 90, is "nan"'),
        (gpx(AT.format("90.1", "0")), "lat of a point must be"),
        (gpx(AT.format("1", "-181")), "lon of a point must be a number of degrees from -180 to 180"),
        (gpx(AT.format("1", "1e999")), "lon of a point must be"),
        (gpx(AT.format("1_0", "1")), "lat of a point must be"),
        (gpx(AT.format("1", "9" * 5000)), "lon of a point must be"),
        (gpx('<trk><trkseg><trkpt lat="1"/></trkseg></trk>'), "a point has no lon"),
    ],
)  # fmt: skip
def test_what_is_no_sound_file_is_refused_in_one_sentence(file: Path, text: str, said: str) -> None:
    with pytest.raises(Problems, match=said) as caught:
        read(file, text)
    assert len(str(caught.value).splitlines()) == 1
    assert len(str(caught.value)) < 300


@pytest.mark.parametrize("encoding", ["foo", "hex", "utf-7", "utf-32", "undefined", "iso-8859-12", "shift_jis"])
def test_an_encoding_that_is_not_read_is_refused_in_one_sentence(file: Path, encoding: str) -> None:
    with pytest.raises(Problems, match=f'is written in the encoding "{encoding}", which is not read; save it as UTF-8'):
        read(file, gpx(track([(50.0, 8.0, 0.0)])).replace("UTF-8", encoding))


@pytest.mark.parametrize("encoding", ["utf-16", "ISO-8859-15", "windows-1252", "latin-1"])
def test_names_are_read_in_their_own_encoding(file: Path, encoding: str) -> None:
    declared = "iso-8859-1" if encoding == "latin-1" else encoding
    text = gpx(track([(50.0, 8.0, 0.0)], name="Löffel")).replace("UTF-8", declared)
    file.write_bytes(text.encode(encoding))
    assert [line.name for line in read_gpx(file).tracks] == ["Löffel"]


def test_points_and_bytes_have_a_most(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    text = gpx(track([(1.0, 2.0, float(n)) for n in range(4)]))
    monkeypatch.setattr(module, "MOST_POINTS", 3)
    with pytest.raises(Problems, match="more than 3 points"):
        read(file, text)
    monkeypatch.setattr(module, "MOST_POINTS", 4)
    assert len(read(file, text).tracks[0].parts[0]) == 4
    monkeypatch.setattr(module, "LARGEST_BYTES", 100)
    with pytest.raises(Problems, match="larger than"):
        read(file, text)


@settings(deadline=None, max_examples=60)
@given(cut=st.integers(0, 400), junk=st.binary(max_size=6))
def test_torn_and_scratched_files_are_read_or_refused_in_one_sentence(file: Path, cut: int, junk: bytes) -> None:
    text = gpx(track([(1.0, 2.0, 3.0), (1.5, 2.5, None)])).encode()
    file.write_bytes(text[:cut] + junk + text[cut + 3 :])
    said = ""
    try:
        read_gpx(file)
    except Problems as problem:
        said = str(problem)
    assert len(said.splitlines()) <= 1


def test_no_file_and_a_folder(tmp_path: Path) -> None:
    for path, said in ((tmp_path / "none.gpx", "no such file"), (tmp_path, "is a directory")):
        with pytest.raises(Problems, match=said):
            read_gpx(path)
