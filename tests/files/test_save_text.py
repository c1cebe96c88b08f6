"""Values changed within a text: it reads as meant, and what was not touched stands there as it stood."""

from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from typing import Any

import pytest
import tomli
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.files.support import BOATS, ROUTES, VOYAGES
from voyager.files.save_dates import dated
from voyager.files.save_rows import origins, same
from voyager.files.save_text import reads_the_same, rewritten

Data = dict[str, Any]
Draw = Callable[[Any], Any]
ROWS = ("place", "leg", "array", "heater")


def annotated(text: str) -> tuple[str, list[str]]:
    """The text with a comment above and behind each row, and the blocks of text that are one row each."""
    lines, blocks, within = [], list[list[str]](), False
    for number, line in enumerate(text.split("\n")):
        row = line.startswith("  {")
        if row or line.startswith("[["):
            lines.append(f"{'  ' if row else ''}# above {number}")
            blocks.append([lines[-1]])
            within = True
        elif not line.strip() or line.startswith(("[", "]")):
            within = False
        lines.append(line + f"  # behind {number}" if within and "#" not in line else line)
        if within:
            blocks[-1].append(lines[-1])
            within = not row
    return "\n".join(lines), ["\n".join(block) for block in blocks]


def rows_of(data: Data) -> list[Data]:
    return [row for key in data if key in ROWS for row in data[key]]


@dataclass
class Edited:
    """Data under random edits; ``untouched`` are numbers of the rows, in the order of the file, still as they were."""

    data: Data
    rows: dict[int, int] = field(default_factory=dict)
    untouched: set[int] = field(default_factory=set)

    @classmethod
    def of(cls, data: Data) -> "Edited":
        rows = {id(row): number for number, row in enumerate(rows_of(data))}
        return cls(data, rows, set(rows.values()))

    def touch(self, row: Data) -> None:
        self.untouched.discard(self.rows.get(id(row), -1))


VALUES = st.one_of(
    st.integers(-5, 500), st.floats(-200, 200, allow_nan=False).map(lambda x: round(x, 2)), st.booleans(),
    st.text("abzé \"'\\#[]{},=.\t", max_size=12), st.dates(date(2000, 1, 1), date(2099, 1, 1)),
    st.lists(st.lists(st.sampled_from([1, 2.5, -7.125, 90.0]), min_size=2, max_size=2), max_size=3),
    st.fixed_dictionaries({"high_water": st.datetimes(datetime(2020, 1, 1), datetime(2030, 1, 1)).map(
        lambda d: d.replace(microsecond=0, tzinfo=UTC)), "flood_kmh": st.integers(-3, 3)}),
)  # fmt: skip
KEYS = st.sampled_from(["speed_kmh", "nights", "tide", "via", "name", "from", "to", "depth_m", "note here", "tilt_deg"])


def edit_rows(draw: Draw, edited: Edited) -> None:
    kind = draw(st.sampled_from([key for key in edited.data if key in ROWS]))
    rows = edited.data[kind]
    at = draw(st.integers(0, len(rows) - 1))
    deed = draw(st.sampled_from(["change", "drop key", "delete", "move", "double", "new", "turn", "deeper"]))
    if deed == "change":
        edited.touch(rows[at])
        rows[at][draw(KEYS)] = draw(VALUES)
    elif deed == "drop key" and len(rows[at]) > 1:
        edited.touch(rows[at])
        del rows[at][draw(st.sampled_from(sorted(rows[at])))]
    elif deed == "delete" and len(rows) > 1:
        edited.touch(rows.pop(at))
    elif deed == "move":
        rows.insert(draw(st.integers(0, len(rows) - 1)), rows.pop(at))
    elif deed == "double":
        rows.insert(at, deepcopy(rows[at]))
    elif deed == "new":
        rows.insert(at, draw(st.dictionaries(KEYS, VALUES, min_size=1, max_size=4)))
    elif deed == "turn":
        rows.reverse()
    elif deed == "deeper":
        deep = [value for value in rows[at].values() if isinstance(value, list | dict) and value]
        if deep:
            edited.touch(rows[at])
            value = deep[0]
            value[next(iter(value)) if isinstance(value, dict) else 0] = draw(VALUES)


def edit_top(draw: Draw, edited: Edited) -> None:
    singles = [key for key, value in edited.data.items() if key not in ROWS]
    key = draw(st.sampled_from([*singles, "by", "sky", "weather"]))
    value = edited.data.get(key)
    if isinstance(value, dict) and value and draw(st.booleans()):
        value[draw(st.sampled_from([*value, "people", "standby_w"]))] = draw(VALUES)
    elif value is not None and draw(st.booleans()):
        del edited.data[key]
    elif not isinstance(value, dict):
        edited.data[key] = draw(VALUES)


@given(st.data())
@settings(max_examples=120, deadline=None)
def test_any_edit_reads_back_and_leaves_the_rest_alone(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from([*VOYAGES, *BOATS]))
    text, blocks = annotated((ROUTES / name).read_text("utf-8"))
    edited = Edited.of(tomli.loads(text))

    for _ in range(data.draw(st.integers(1, 6))):
        data.draw(st.sampled_from([edit_rows, edit_rows, edit_top]))(data.draw, edited)
    made, notes = rewritten(text, edited.data)
    assert same(tomli.loads(made), edited.data)
    for number in sorted(edited.untouched):
        assert blocks[number] in made
    assert not [note for note in notes if "could not" in note]


LAID_OUT = '''# the head of the file

boat = "b.toml" # hers
name = """two
lines # no comment"""
departs = 2027-03-01
by = "2027-05-01"

# where she goes
place = [ { name = "A", at = [1.0, 2.00] }, # first
  # the second
  { name = "B", at = [ 1.5,   # lat
                       2.5 ] } ]

[[leg]] # out
from = "A"
to = "B"
  [leg.tide] # of the estuary
  high_water = 2027-03-01 05:40:00Z
  flood_kmh = -3.0

# back
[[leg]]
"from" = "B"
to = 'A'
closed = [
  [2027-02-22, 2027-03-12], # winter
  ["2027-04-01", 2027-04-02], # spring
]
via = [[1.25, 2.25], [1.125, 2.125]]
# the end
'''


def changed(**top: Any) -> Data:
    return {**tomli.loads(LAID_OUT), **top}


def lines_changed(data: Data) -> tuple[list[str], list[str]]:
    """Lines that went and lines that came."""
    made, _ = rewritten(LAID_OUT, data)
    old, new = LAID_OUT.split("\n"), made.split("\n")
    return [line for line in old if line not in new], [line for line in new if line not in old]


def test_nothing_changed_is_the_same_text() -> None:
    assert rewritten(LAID_OUT, tomli.loads(LAID_OUT)) == (LAID_OUT, ())


@pytest.mark.parametrize("name", [*VOYAGES, *BOATS])
def test_the_demos_come_out_as_they_went_in(name: str) -> None:
    text = (ROUTES / name).read_text("utf-8")
    assert rewritten(text, tomli.loads(text)) == (text, ())


def test_a_value_keeps_the_comment_behind_it() -> None:
    assert lines_changed(changed(boat="c.toml")) == (['boat = "b.toml" # hers'], ['boat = "c.toml" # hers'])


def test_one_number_of_a_position_leaves_the_other_as_it_is_written() -> None:
    data = changed()
    data["place"][0]["at"][0] = 1.25
    assert lines_changed(data)[1] == ['place = [ { name = "A", at = [1.25, 2.00] }, # first']


def test_a_table_within_a_leg_is_changed_where_it_stands() -> None:
    data = changed()
    data["leg"][0]["tide"]["flood_kmh"] = 2
    assert lines_changed(data) == (["  flood_kmh = -3.0"], ["  flood_kmh = 2"])


def test_a_stoppage_taken_away_takes_its_comment_and_says_so() -> None:
    data = changed()
    del data["leg"][1]["closed"][0]
    made, notes = rewritten(LAID_OUT, data)
    assert "# winter" not in made
    assert "# spring" in made
    assert notes == ("no longer in the file, with what they stood by: # winter",)


def test_rows_turned_round_take_their_comments_along() -> None:
    data = changed()
    data["leg"].reverse()
    made, notes = rewritten(LAID_OUT, data)
    assert notes == ()
    assert made.index("# back") < made.index("# winter") < made.index("[[leg]] # out") < made.index("# of the estuary")


def test_a_leg_with_its_ends_swapped_is_still_that_leg() -> None:
    data = changed()
    data["leg"][1] |= {"from": "A", "to": "B"}
    made, _ = rewritten(LAID_OUT, data)
    assert '# back\n[[leg]]\n"from" = "A"\nto = \'B\'' in made.replace('to = "B"', "to = 'B'")
    assert "# spring" in made


def test_a_typed_date_is_put_as_the_file_puts_its_dates() -> None:
    data = changed(departs="2027-03-09", by="2027-06-01")
    data["leg"][0]["earliest"] = "2027-03-10"
    data["leg"][1]["closed"] = [["2027-02-23", "2027-03-12"], ["2027-04-01", "2027-04-03"]]
    made, _ = rewritten(LAID_OUT, data)
    assert "departs = 2027-03-09\n" in made
    assert 'by = "2027-06-01"\n' in made
    assert "earliest = 2027-03-10\n" in made
    assert "  [2027-02-23, 2027-03-12], # winter" in made
    assert '  ["2027-04-01", 2027-04-03], # spring' in made
    assert reads_the_same(tomli.loads(made), data)


def test_a_text_that_tells_no_date_stays_a_text() -> None:
    read = tomli.loads(rewritten(LAID_OUT, changed(departs="soon", name="2027-03-01"))[0])
    assert (read["departs"], read["name"]) == ("soon", "2027-03-01")


def test_an_instant_may_be_typed() -> None:
    assert dated({"tide": {"high_water": "2027-03-01T05:40:00Z"}}, {}) == {
        "tide": {"high_water": datetime(2027, 3, 1, 5, 40, tzinfo=UTC)}
    }


def test_a_new_value_stands_above_the_rows() -> None:
    text = (ROUTES / "autumn.toml").read_text("utf-8")
    made, _ = rewritten(text, {**tomli.loads(text), "sky": "good"})
    assert 'mooring_every_km = 10\nsky = "good"\n\nplace = [\n' in made


def test_a_new_row_is_written_as_the_others_are() -> None:
    for name, written in (
        ("autumn.toml", '  { from = "X", to = "Y" },\n'),
        ("spring.toml", '[[leg]]\nfrom = "X"\nto = "Y"\n'),
    ):
        text = (ROUTES / name).read_text("utf-8")
        data = tomli.loads(text)
        data["leg"].insert(3, {"from": "X", "to": "Y"})
        assert written in rewritten(text, data)[0]


def test_the_head_of_the_file_outlives_the_first_key() -> None:
    text = (ROUTES / "autumn.toml").read_text("utf-8")
    data = tomli.loads(text)
    del data["format"]
    made, notes = rewritten(text, data)
    assert made.startswith(text[: text.index("format")])
    assert notes == ()


def test_the_order_of_the_comfort_ladder_is_a_value() -> None:
    text = (ROUTES / "quillet.toml").read_text("utf-8")
    data = tomli.loads(text)
    steps = data["comfort"]
    new = {"hours_c": {"06:30-08:00": 12}, "otherwise_c": 4}
    data["comfort"] = {"plain": steps["plain"], "new": new, "cosy": steps["cosy"], "sparse": steps["sparse"]}
    made, _ = rewritten(text, data)
    assert list(tomli.loads(made)["comfort"]) == ["plain", "new", "cosy", "sparse"]
    assert '[comfort.new]\nhours_c = { "06:30-08:00" = 12 }\notherwise_c = 4\n' in made


def test_a_file_from_nothing_reads_back() -> None:
    for name in (*VOYAGES, *BOATS):
        data = tomli.loads((ROUTES / name).read_text("utf-8"))
        made, notes = rewritten("", data)
        assert (tomli.loads(made), notes) == (data, ())
    assert (
        'place = [\n  { name = "A", at = [1, 2] },\n]\n' in rewritten("", {"place": [{"name": "A", "at": [1, 2]}]})[0]
    )


def test_where_the_library_fails_the_key_is_written_anew_and_that_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("as a young library may")

    monkeypatch.setattr("voyager.files.save_text.edit_key", broken)
    data = changed(boat="c.toml")
    data["leg"][0]["nights"] = 2
    made, notes = rewritten(LAID_OUT, data)
    assert same(tomli.loads(made), data)
    assert "comments within leg could not all be kept" in notes
    assert "# winter" in notes[-1] or "# out" in notes[-1]


def test_an_edit_that_reads_back_wrong_is_not_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("voyager.files.save_text.edit_key", lambda *_: None)
    data = changed(boat="c.toml")
    assert same(tomli.loads(rewritten(LAID_OUT, data)[0]), data)


def test_what_toml_has_no_form_for_is_refused() -> None:
    with pytest.raises(ValueError, match="boat can't be written"):
        rewritten(LAID_OUT, changed(boat=None))


def test_true_is_no_one_and_a_date_no_text() -> None:
    assert not same(True, 1)
    assert not same(date(2027, 3, 1), "2027-03-01")
    assert same(24, 24.0)
    assert not same([1], [1, 2])


@given(st.lists(st.dictionaries(st.sampled_from("abc"), st.integers(0, 2), max_size=3), max_size=8), st.data())
def test_every_row_left_as_it_is_is_found_and_none_twice(old: list[Data], data: st.DataObject) -> None:
    order = data.draw(st.permutations(range(len(old))))[: data.draw(st.integers(0, len(old)))]
    found = origins(old, [old[was] for was in order])
    assert len(set(found)) == len(found)
    assert [old[was] for was in found if was is not None] == [old[was] for was in order]


A, B, C = {"from": "A", "to": "B", "km": 1}, {"from": "B", "to": "C", "km": 2, "locks": 3}, {"from": "C", "to": "D"}
ISLE, HAVEN = {"name": "Isle", "at": [1, 2], "kw": 3}, {"name": "Haven", "at": [3, 4], "kw": 5}


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ([A, B, C], [C, A, B], [2, 0, 1]),
        ([A, B, C], [A, {}, B, C], [0, None, 1, 2]),
        ([A, B, C], [A, A, B], [0, None, 1]),
        ([ISLE, HAVEN], [{"name": "Haven", "at": [9, 9]}, {"name": "Isle"}], [1, 0]),
        ([A, B, C], [C, {**B, "to": "X"}], [2, 1]),
        ([A, B], [{"from": "C", "to": "B", "km": 2, "locks": 3}, {"from": "B", "to": "A", "km": 1}], [1, 0]),
        ([A, B, C], [A, {"from": "X", "to": "Y", "depth": 9}, C], [0, 1, 2]),
        ([ISLE, HAVEN], [{"name": "Else"}, HAVEN], [0, 1]),
        ([A, C], [{"from": "X", "to": "Y"}, C, {"from": "P", "to": "Q"}, A], [None, 1, None, 0]),
    ],
    ids=[
        "moved",
        "new",
        "doubled",
        "by name",
        "by likeness, moved",
        "turned round",
        "by its place",
        "first",
        "strangers",
    ],
)
def test_which_row_a_row_was(old: list[Data], new: list[Data], found: list[int | None]) -> None:
    assert origins(old, new) == found


@given(st.data())
@settings(max_examples=60, deadline=None)
def test_any_edit_of_a_text_laid_out_by_hand_reads_back(data: st.DataObject) -> None:
    edited = Edited.of(tomli.loads(LAID_OUT))
    for _ in range(data.draw(st.integers(1, 6))):
        data.draw(st.sampled_from([edit_rows, edit_rows, edit_top]))(data.draw, edited)
    made, _ = rewritten(LAID_OUT, edited.data)
    assert reads_the_same(tomli.loads(made), edited.data)


def test_a_new_step_of_the_ladder_without_hours_stands_behind_the_others() -> None:
    text = (ROUTES / "quillet.toml").read_text("utf-8")
    data = tomli.loads(text)
    for step in ({"otherwise_c": 3}, {"high_water": date(2020, 1, 1), "deep": {"a": 1}}):
        data["comfort"]["last"] = step
        made, notes = rewritten(text, data)
        assert same(tomli.loads(made), data)
        assert list(tomli.loads(made)["comfort"])[-1] == "last"
        assert not notes
