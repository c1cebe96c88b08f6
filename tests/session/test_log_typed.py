"""One typed line of the log: what it says, in any order, and the one sentence where it cannot be read."""

from datetime import UTC, date, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.report.words import long_date
from voyager.session.log_dates import DATE, day_of
from voyager.session.log_places import Way
from voyager.session.log_typed import parse_line

NOW = datetime(2027, 3, 28, 18, 0, tzinfo=UTC)
"""On this day clocks go forward in Dublin, at 01:00 UTC."""
FULL = 20.0


@pytest.fixture(scope="module")
def way(tmp_path_factory: pytest.TempPathFactory) -> Way:
    """Ashby, Beck at km 12, Croft at km 30."""
    from voyager.files.voyage_file import load_voyage

    return Way(load_voyage(write(tmp_path_factory.mktemp("way"))).voyage)


def at(hour: int, minute: int = 0, day: int = 28) -> datetime:
    return datetime(2027, 3, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        (
            "14:00 Beck 61% sun 3.2 in 17 out -4: blocked filter",
            {"time_utc": at(13), "place": "Beck", "charge_kwh": 12.2, "solar_kwh": 3.2, "inside_c": 17.0,
             "outside_c": -4.0, "note": "blocked filter"},
        ),
        ("beck, 5 kWh, 2027-03-02 00:30", {"time_utc": at(0, 30, 2), "place": "Beck", "charge_kwh": 5.0}),
        ("yesterday 23:15 km 7.5", {"time_utc": at(23, 15, 27), "km": 7.5}),
        ("today 8:05 nm 2", {"time_utc": at(7, 5), "km": 3.704}),
        ("12 km 61 %", {"km": 12.0, "charge_kwh": 12.2}),
        ("charge 61% plug 2 motor 3 heat 1.5 hotel .5", {
            "charge_kwh": 12.2, "shore_kwh": 2.0, "propulsion_kwh": 3.0, "heating_kwh": 1.5, "hotel_kwh": 0.5}),
        ("solar 3.2kWh inside 17°C outside −2 C", {"solar_kwh": 3.2, "inside_c": 17.0, "outside_c": -2.0}),
        ("53.05, -8.001 40%", {"lat": 53.05, "lon": -8.001, "charge_kwh": 8.0}),
        (": only words 14:00", {"note": "only words 14:00"}),
        ("14:30: made fast", {"time_utc": at(13, 30), "note": "made fast"}),
        ("  61%  :  ", {"charge_kwh": 12.2, "note": ""}),
    ],
)  # fmt: skip
def test_lines_and_what_they_say(way: Way, text: str, values: dict[str, Any]) -> None:
    found = parse_line(text, way, FULL, NOW)
    assert {name: pytest.approx(one) if isinstance(one, float) else one for name, one in values.items()} == found


def test_a_value_is_taken_out_where_that_is_asked(way: Way) -> None:
    assert parse_line("sun - out none in 3", way, FULL, NOW, clearing=True) == {
        "solar_kwh": None, "outside_c": None, "inside_c": 3.0,
    }  # fmt: skip
    with pytest.raises(InputError, match="sun wants a number"):
        parse_line("sun - 61%", way, FULL, NOW)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("14:00", "says nothing but a time"),
        ("25:00 61%", "no clock time in 25:00"),
        ("2027-02-30 14:00 61%", "2027-02-30, which does not exist"),
        ("2027-03-02 61%", "a date and no time"),
        ("14:00 15:00 61%", "more than one time"),
        ("61% 12 kWh", "more than one charge"),
        ("sun 1 sun 2", "more than one sun"),
        ("Ashby Beck", "names two places"),
        ("Bek 61%", "did you mean Beck"),
        ("blocked filter 61%", "a note stands after a colon"),
        ("130%", r"the battery holds|it holds 0 to 20 kWh"),
        ("21 kWh", r"it holds 0 to 20 kWh \(100 %\)"),
        ("km 31", "not on the route, which runs from km 0 to km 30.0"),
        ("sun 3,2", "decimals take a point, so 3.2 may be meant"),
        ("sun", "sun wants a number after it"),
        ("sun 3200 Wh", "says sun in Wh; it is noted in kWh"),
        ("in 60 F", "says in in F; it is noted in °C"),
        ("61", "says not of what"),
        ("battery 61", "battery wants a number with %"),
        ("insid 17", "did you mean inside"),
        ("31 Feb 08:00 61%", "has the date 31 Feb, which does not exist in the calendar"),
        ("2027-02-31 08:00 61%", "has the date 2027-02-31, which does not exist in the calendar"),
        ("Wed 2 Mar 2027 08:00 61%", "has the date Wed 2 Mar 2027, which in 2027 is a Tue"),
        ("2 Mar 61%", "says a date and no time"),
        ("2 Mar 2027-03-02 08:00 61%", "says more than one date"),
        ("91.5, 3.0 \x1b[31m", "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_told_in_one_sentence(way: Way, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        parse_line(text, way, FULL, NOW)
    assert "\n" not in str(caught.value)
    assert "\x1b" not in str(caught.value)


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("2 Mar", (2027, 3, 2)), ("Tue 2 Mar 2027", (2027, 3, 2)), ("tuesday, 2 march", (2027, 3, 2)),
        ("26 Dec", (2026, 12, 26)), ("1 Sept", (2027, 9, 1)), ("29 Feb", (2028, 2, 29)), ("3 may 2025", (2025, 5, 3)),
        ("Yesterday", (2027, 3, 27)),
    ],
)  # fmt: skip
def test_a_date_may_be_written_as_the_screens_write_it_and_the_nearest_is_meant(
    way: Way, said: str, day: tuple[int, int, int]
) -> None:
    for text in (f"{said} 12:00 Beck 61% out 4", f"Beck, 61% 12:00, {said}, out 4"):
        found = parse_line(text, way, FULL, NOW)
        assert (found["time_utc"].date(), found["outside_c"]) == (date(*day), 4.0)


@settings(deadline=None, max_examples=40)
@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
def test_every_date_that_is_shown_is_read(day: date) -> None:
    found = DATE.fullmatch(long_date(day.isoformat()))
    assert found is not None
    assert day_of(found, NOW.date()) == day


amounts = st.integers(0, 200).map(lambda tenths: tenths / 10)
PARTS = {
    "place": st.sampled_from(["Ashby", "Beck", "Croft"]).map(lambda name: (name, name)),
    "charge_kwh": amounts.map(lambda kwh: (f"{kwh} kWh", kwh)),
    "solar_kwh": amounts.map(lambda kwh: (f"sun {kwh}", kwh)),
    "shore_kwh": amounts.map(lambda kwh: (f"shore {kwh} kwh", kwh)),
    "inside_c": st.integers(-30, 40).map(lambda c: (f"in {c}", float(c))),
    "outside_c": st.integers(-30, 40).map(lambda c: (f"Out {c}°C", float(c))),
    "km": amounts.map(lambda km: (f"km {km}", km)),
    "time_utc": st.datetimes(datetime(2027, 1, 1), datetime(2027, 3, 20)).map(
        lambda t: (f"{t:%Y-%m-%d %H:%M}", t.replace(second=0, microsecond=0, tzinfo=UTC))
    ),
}


@settings(deadline=None, max_examples=60)
@given(
    said=st.lists(st.sampled_from(sorted(PARTS)), min_size=1, unique=True).flatmap(
        lambda names: st.tuples(*(st.tuples(st.just(name), PARTS[name]) for name in names))
    ),
    comma=st.booleans(),
)
def test_parts_in_any_order_say_the_same(way: Way, said: Any, comma: bool) -> None:
    values = {name: value for name, (_, value) in said}
    if values.keys() == {"time_utc"}:
        return
    text = (", " if comma else " ").join(part for _, (part, _) in said)
    assert parse_line(f"{text}: a note", way, FULL, NOW) == values | {"note": "a note"}


@settings(deadline=None, max_examples=80)
@given(st.text(max_size=30) | st.text("0123456789:.%,-+ kmnsuiout", max_size=24))
def test_no_line_ends_in_a_traceback(way: Way, text: str) -> None:
    try:
        parse_line(text, way, FULL, NOW)
    except InputError as fault:
        assert str(fault).isprintable()  # noqa: PT017
