"""``voyager sun`` and ``voyager speeds``: what reaches the session, and the forms of the answer."""

import json

import pytest

from tests.cli.support import stand_in, voyager
from tests.report.samples import SPEEDS, SUN

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[tuple[object, ...]]:
    calls: list[tuple[object, ...]] = []

    def sun(*arguments: object) -> object:
        calls.append(arguments)
        return SUN

    def speeds(*arguments: object) -> object:
        calls.append(arguments)
        return SPEEDS

    stand_in(monkeypatch, "voyager.session.place", sun=sun, speeds=speeds)
    return calls


@pytest.mark.parametrize(("lat", "lon"), [("-33.9", "151.2"), ("-33", "-70.6"), ("-.5", "-0.25"), ("64.1", "-21.9")])
def test_negative_coordinates_are_plain_arguments(
    asked: list[tuple[object, ...]], capsys: Capture, lat: str, lon: str
) -> None:
    assert voyager(capsys, "sun", lat, lon, "2027-01-05")[0] == 0
    assert asked == [(float(lat), float(lon), "2027-01-05", 0.0, None)]


def test_the_plane_may_be_negative_too(asked: list[tuple[object, ...]], capsys: Capture) -> None:
    voyager(capsys, "sun", "1", "2", "2027-01-05", "--tilt", "30", "--azimuth", "-45")
    assert asked == [(1.0, 2.0, "2027-01-05", 30.0, -45.0)]


def test_sun_as_json(asked: list[tuple[object, ...]], capsys: Capture) -> None:
    out = voyager(capsys, "sun", "53.4", "-7.9", "2027-03-03", "--json")[1]
    assert json.loads(out) == {"format": 1, **SUN}
    assert out.startswith('{\n "format": 1')


def test_speeds(asked: list[tuple[object, ...]], capsys: Capture) -> None:
    words = ("speeds", "v.toml", "--date", "2027-06-01", "--place", "Athlone", "--charge", "61%")
    assert json.loads(voyager(capsys, *words, "--json")[1]) == {"format": 1, **SPEEDS}
    assert "Carrick-on-Shannon" in voyager(capsys, *words)[1]
    assert asked == [("v.toml", "2027-06-01", "Athlone", "61%")] * 2
