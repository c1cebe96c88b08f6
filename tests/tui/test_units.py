"""Units by choice: there and back again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from voyager.tui.units import ALL, PLAIN, Units, after, units_of

anything = st.floats(-1e4, 1e4)
every = st.sampled_from(ALL)


def test_known_values() -> None:
    """From memory: the international nautical mile of 1929 is 1852 m; NIST SP 811, appendix B: 32 °F + 1.8 °F a kelvin.

    −40 is the same in both.
    """
    units = Units("kn", "NM", "°F")
    assert units.km_of(1.0) == 1.852
    assert units.kmh_of(10.0) == 18.52
    assert units.temperature_of(0.0) == 32.0
    assert units.temperature_of(100.0) == 212.0
    assert units.temperature_of(-40.0) == -40.0
    assert units.c_of(212.0) == 100.0
    assert units.per_length_of(100.0) == pytest.approx(185.2)


@given(every, anything)
def test_there_and_back(units: Units, value: float) -> None:
    assert units.kmh_of(units.speed_of(value) or 0.0) == pytest.approx(value, abs=1e-8)
    assert units.km_of(units.length_of(value) or 0.0) == pytest.approx(value, abs=1e-8)
    assert units.c_of(units.temperature_of(value) or 0.0) == pytest.approx(value, abs=1e-8)


@given(anything)
def test_plain_units_change_nothing(value: float) -> None:
    assert (PLAIN.kmh_of(value), PLAIN.km_of(value), PLAIN.c_of(value)) == (value, value, value)
    assert (PLAIN.speed_of(value), PLAIN.length_of(value), PLAIN.temperature_of(value)) == (value, value, value)


@given(every)
def test_settings_keep_them(units: Units) -> None:
    assert units_of(units.table()) == units


def test_what_the_settings_do_not_know_stays_plain() -> None:
    assert units_of({"speed": "furlongs", "length": "NM"}) == Units("km/h", "NM", "°C")
    assert units_of("kn") == PLAIN
    assert units_of(None) == PLAIN


def test_nothing_is_nothing_in_any_unit() -> None:
    for units in ALL:
        assert units.speed_of(None) is units.length_of(None) is units.temperature_of(None) is None


def test_every_choice_is_reached_and_comes_round() -> None:
    seen, units = set(), PLAIN
    for _ in ALL:
        units = after(units)
        seen.add(units)
    assert units == PLAIN
    assert seen == set(ALL)
    assert len(ALL) == 8
