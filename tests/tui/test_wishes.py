"""Wishes and their history."""

from hypothesis import given
from hypothesis import strategies as st

from voyager.tui.wishes import History, Wishes, leg_key

KEYS = st.sampled_from(["sky", "aim", leg_key(1, "speed_kmh"), leg_key(2, "nights")])
MOVES = st.lists(st.one_of(st.tuples(KEYS, st.integers(0, 3)), st.sampled_from(["undo", "redo"])), max_size=30)


def test_changes_are_plain_and_nested_by_leg():
    wishes = Wishes().put("sky", "good", "cautious").put(leg_key(3, "speed_kmh"), None, 6.0)
    wishes = wishes.put(leg_key(3, "nights"), 2, 0)
    assert wishes.changes() == {"sky": "good", "legs": {3: {"speed_kmh": None, "nights": 2}}}


def test_the_files_own_value_is_no_change():
    wishes = Wishes().put("sky", "good", "cautious")
    assert wishes.put("sky", "cautious", "cautious") == Wishes()


@given(MOVES)
def test_undo_and_redo_walk_one_line_of_states(moves):
    history, line, at = History(), [Wishes()], 0
    for move in moves:
        if move == "undo":
            history, at = history.undo(), max(0, at - 1)
        elif move == "redo":
            history, at = history.redo(), min(len(line) - 1, at + 1)
        else:
            wishes = line[at].put(move[0], move[1], 0)
            if wishes != line[at]:
                line, at = [*line[: at + 1], wishes], at + 1
            history = history.add(wishes, "")
        assert history.now == line[at]
