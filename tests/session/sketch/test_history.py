"""Undo and redo without limit, and what counts as saved."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from voyager.session.sketch.history import History, begun, same, taken_up
from voyager.session.sketch.state import Row, Sketch, sketch_of

LEGS = [{"from": "A", "to": "B"}, {"from": "B", "to": "C"}]
FILES = {"voyage": {"sky": "good", "leg": LEGS}, "boat": {"name": "Sedge"}}
KEYS = st.sampled_from(["sky", "aim", "by"])
MOVES = st.lists(st.one_of(st.tuples(KEYS, st.integers(0, 3)), st.sampled_from(["undo", "redo", "save"])), max_size=40)


@given(MOVES)
def test_undo_and_redo_walk_one_line_of_states(moves):
    history = begun(sketch_of(FILES))
    line, at, saved = [history.now], 0, history.now
    for move in moves:
        if move == "undo":
            history, at = history.undo(), max(0, at - 1)
        elif move == "redo":
            history, at = history.redo(), min(len(line) - 1, at + 1)
        elif move == "save":
            history, saved = history.written(history.now), line[at]
        else:
            sketch = line[at].put_top(*move)
            if sketch.top != line[at].top:
                line, at = [*line[: at + 1], sketch], at + 1
            history = history.add(sketch, str(move))
        assert history.now.top == line[at].top
        assert history.unsaved == (line[at].top != saved.top)
        assert [step.sketch.top for step in history.back] == [sketch.top for sketch in line[at + 1 :]]


def test_every_step_can_be_taken_back():
    history = begun(Sketch())
    for number in range(1000):
        history = history.add(history.now.put_top("n", number), f"step {number}")
    for number in reversed(range(1000)):
        assert history.taken[-1].label == f"step {number}"
        history = history.undo()
    assert history.now == Sketch()
    assert len(history.back) == 1000


def test_an_edit_that_says_the_same_is_no_step():
    history = begun(sketch_of(FILES))
    assert history.add(sketch_of(FILES), "nothing") is history
    assert not history.add(sketch_of(FILES), "nothing").unsaved


def test_rows_made_anew_with_the_same_values_are_the_same():
    sketch = sketch_of(FILES)
    made, row = sketch.with_rows("legs", sketch.legs[:1]).fresh(FILES["voyage"]["leg"][1])
    again = made.with_rows("legs", (*made.legs, row))
    assert again.legs[1].ident != sketch.legs[1].ident
    assert same(again, sketch)
    assert not same(again.with_rows("legs", again.legs[::-1]), sketch)
    assert not same(replace(sketch, boat={"name": "Quill"}), sketch)
    assert not same(sketch.with_rows("places", [Row(9, {"name": "A"})]), sketch)


def test_edits_left_by_a_crash_come_back_with_undo_and_redo():
    base = sketch_of(FILES)
    one, two = base.put_top("sky", "middling"), base.put_top("sky", "cautious")
    history = taken_up(base, [(one, "sky")], [(two, "sky again")])
    assert (history.now, history.unsaved) == (one, True)
    assert history.redo().now == two
    assert history.undo().now == base
    assert not history.undo().unsaved


def test_saving_an_earlier_state_leaves_the_later_one_unsaved():
    history = begun(Sketch())
    one = history.now.put_top("sky", "good")
    history = history.add(one, "sky").add(one.put_top("aim", "calmest"), "aim").written(one)
    assert history.unsaved
    assert not history.undo().unsaved


def test_another_place_of_the_file_is_taken_over_by_every_step():
    history = begun(Sketch(top={"boat": "a.toml"})).add(Sketch(top={"boat": "a.toml", "sky": "good"}), "sky").undo()
    moved = history.moved({"boat": "../a.toml"})
    assert [moved.now.top, moved.redo().now.top, moved.saved.top] == [
        {"boat": "../a.toml"}, {"boat": "../a.toml", "sky": "good"}, {"boat": "../a.toml"}]  # fmt: skip
    assert history.moved({}) is history
    assert isinstance(moved, History)
