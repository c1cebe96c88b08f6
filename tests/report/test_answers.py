"""The text of ``sun`` and ``speeds``: every figure of the answer stands in it, at 80 columns."""

from tests.report.samples import SPEEDS, SUN
from voyager.report.answers import speeds_text, sun_text


def test_sun() -> None:
    text = sun_text(SUN)
    assert max(map(len, text.splitlines())) <= 80
    for figure in ("07:15", "18:12", "11.0 h", "4.80", "3.00", "6.1 °C", "1.80", "0.80", "2.80", "Wed 3 Mar 2027"):
        assert figure in text


def test_sun_in_the_polar_night() -> None:
    text = sun_text({**SUN, "sunrise_utc": None, "sunset_utc": None, "day_length_h": 0.0})
    assert "does not rise, 0.0 h" in text


def test_sun_that_never_sets() -> None:
    text = sun_text({**SUN, "sunrise_utc": None, "sunset_utc": None, "day_length_h": 24.0})
    assert "does not set, 24.0 h" in text


def test_speeds() -> None:
    lines = speeds_text(SPEEDS).splitlines()
    assert max(map(len, lines)) <= 80
    rows = [line.split() for line in lines]
    assert ["6.0", "3.24", "440", "73.3", "286", "0.15"] in rows
    assert ["14.5", "3.24", "440", "73.3", "286", "-", "cube", "law"] in rows
    assert ["11:00", "380", "950", "2300", "5.3", "7.5", "10.3"] in rows
    assert "Limits: steerable 2.5 km/h, motor 13.5 km/h" in lines


def test_cautions_and_depth_are_said() -> None:
    caution = {"code": "climate_ocean", "text": "Far from land."}
    assert "  - Far from land." in sun_text({**SUN, "cautions": [caution]})
    assert "still water, deep" in speeds_text(SPEEDS)
    assert "still water, 1.8 m deep" in speeds_text({**SPEEDS, "depth_m": 1.8})
