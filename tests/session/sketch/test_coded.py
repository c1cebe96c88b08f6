"""Sketches and edits through JSON and back, without a loss."""

import json
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from voyager.session.sketch.coded import applied, decoded, delta, encoded, sketch_in, sketch_out
from voyager.session.sketch.state import Row, Sketch

TAGS = st.sampled_from(["a", "$date", "$"])
ZONES = st.sampled_from([None, UTC, timezone(timedelta(hours=-5))])
INSTANTS = st.builds(lambda day, clock, zone: datetime.combine(day, clock, zone), st.dates(), st.times(), ZONES)
VALUES: st.SearchStrategy[Any] = st.recursive(
    st.one_of(
        st.integers(-(10**20), 10**20), st.floats(allow_nan=False), st.booleans(), st.text(max_size=5), st.dates(),
        st.times().map(lambda clock: clock.replace(fold=0)), INSTANTS.map(lambda instant: instant.replace(fold=0)),
    ),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(TAGS, inner, max_size=2),
    max_leaves=6,
)  # fmt: skip
TABLES = st.dictionaries(st.sampled_from(["name", "from", "tide", "via", "$table"]), VALUES, max_size=4)


@st.composite
def sketches(draw: st.DrawFn) -> Sketch:
    rows = {}
    ident = 1
    for name in ("places", "legs", "forecast"):
        made = []
        for values in draw(st.lists(TABLES, max_size=4)):
            made.append(Row(ident, values))
            ident += 1
        rows[name] = tuple(draw(st.permutations(made)))
    return Sketch(top=draw(TABLES), boat=draw(TABLES), next_ident=ident + draw(st.integers(0, 3)), **rows)


def through(value: Any) -> Any:
    return json.loads(json.dumps(value))


def exactly(a: object, b: object) -> bool:
    """Equal to the kind of each number and the order of each table."""
    return a == b and repr(a) == repr(b)


@given(VALUES)
def test_a_value_comes_back(value: Any) -> None:
    assert exactly(decoded(through(encoded(value))), value)


@given(sketches())
def test_a_sketch_comes_back(sketch: Sketch) -> None:
    assert exactly(sketch_in(through(sketch_out(sketch))), sketch)


@given(sketches(), sketches())
def test_an_edit_comes_back_whatever_it_was(before: Sketch, after: Sketch) -> None:
    assert exactly(applied(before, through(delta(before, after))), after)


def test_dates_are_tagged_by_kind() -> None:
    tagged = encoded([date(2027, 3, 1), datetime(2027, 3, 1, 5, 40, tzinfo=UTC), time(8, 30)])
    assert tagged == [{"$date": "2027-03-01"}, {"$instant": "2027-03-01T05:40:00+00:00"}, {"$time": "08:30:00"}]


def test_an_edit_tells_only_what_it_changes() -> None:
    rows = tuple(Row(number, {"from": str(number), "to": str(number + 1)}) for number in range(1, 6))
    before = Sketch(top={"departs": date(2027, 3, 1), "sky": "good"}, legs=rows, next_ident=6)
    assert delta(before, before.put_top("sky", "cautious")) == {"next": 6, "top": {"put": [["sky", "cautious"]]}}
    longer = before.with_rows("legs", (*rows[:2], rows[2].put("nights", 2), *rows[3:]))
    assert delta(before, longer)["legs"] == {"put": [[3, {"from": "3", "to": "4", "nights": 2}]]}
    assert delta(before, before.with_rows("legs", rows[1:]))["legs"] == {"order": [2, 3, 4, 5]}


def test_the_order_of_the_ladder_is_kept_when_that_is_all_that_changes() -> None:
    warm, cool = {"otherwise_c": 12}, {"otherwise_c": 5}
    before = Sketch(boat={"comfort": {"warm": warm, "cool": cool}})
    after = Sketch(boat={"comfort": {"cool": cool, "warm": warm}})
    assert list(applied(before, delta(before, after)).boat["comfort"]) == ["cool", "warm"]


def test_rows_that_share_an_identity_are_told_whole() -> None:
    twins = Sketch(legs=(Row(1, {"from": "a"}), Row(1, {"from": "b"})))
    assert exactly(applied(Sketch(), through(delta(Sketch(), twins))), twins)
