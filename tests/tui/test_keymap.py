"""The key file against the list of actions."""

import re

import pytest
import tomli

from voyager.tui.actions import ACTIONS, UNBOUND
from voyager.tui.key_names import key_name, key_words
from voyager.tui.keymap import SCOPES, USUAL, checked, heard, keymap, template


@pytest.mark.parametrize(
    ("written", "name", "read"),
    [
        ("ctrl+s", "ctrl+s", "^s"), ("^S", "ctrl+s", "^s"), ("S", "S", "S"), ("?", "question_mark", "?"),
        ("+", "plus", "+"), ("esc", "escape", "Esc"), ("PgDn", "pagedown", "PgDn"), ("F5", "f5", "F5"),
        ("Alt-Up", "alt+up", "alt+↑"), (" ", "space", "Space"), ("slash", "slash", "/"), ("alt+y", "alt+y", "alt+y"), 
        ("alt+Y", "alt+shift+y", "alt+shift+y"),
        ("ctrl+shift+left", "ctrl+shift+left", "shift+^←"), ("shift+ctrl+left", "ctrl+shift+left", "shift+^←"),
    ],
)  # fmt: skip
def test_keys_as_people_write_them(written: str, name: str, read: str) -> None:
    assert key_name(written) == name
    assert key_words(name) == read


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("ctrl+i", "can't be told from Tab"), ("ctrl+m", "can't be told from Enter"), ("ctrl+[", "from Esc"),
        ("alt+[", "the start of other keys"), ("cmd+s", "no terminal sends"), ("ctrl+1", "no terminal is sure"),
        ("ctrl+shift+s", "take ctrl+s"), ("shift+s", "is written as S"), ("pagedwn", "did you mean pagedown?"),
        ("hello", "there is no key"), ("alt+/", "no terminal is sure"), ("alt+O", "other keys"),
        ("alt+f3", "no terminal is sure"), ("ctrl+enter", "no terminal is sure"), ("", "there is no key"),
    ],
)  # fmt: skip
def test_keys_that_are_none_or_can_not_be_sent(written: str, why: str) -> None:
    with pytest.raises(ValueError, match=re.escape(why)):
        key_name(written)


def test_the_usual_keys_are_keys_that_terminals_send() -> None:
    for ident, keys in USUAL.items():
        assert [key_name(key) for key in keys] == list(keys), ident


@pytest.mark.parametrize(
    ("written", "sent"),
    [
        ("alt+Y", "\x1bY"), ("alt+y", "\x1by"), ("ctrl+alt+up", "\x1b[1;7A"), ("shift+alt+up", "\x1b[1;4A"),
        ("ctrl+shift+left", "\x1b[1;6D"), ("f5", "\x1b[15~"), ("ctrl+w", "\x17"), ("?", "?"), ("alt+f5", "\x1b[15;3~"),
    ],
)  # fmt: skip
def test_what_terminals_send_has_these_names(written: str, sent: str) -> None:
    """The sequences of xterm (XTerm Control Sequences, PC-Style Function Keys), from memory."""
    from textual._xterm_parser import XTermParser

    parser = XTermParser()
    came = [event.key for event in [*parser.feed(sent), *parser.feed("")] if hasattr(event, "key")]
    assert came == [key_name(written)]


def test_textual_knows_the_names_of_signs_by_the_same_names() -> None:
    from textual.keys import _character_to_key

    for code in range(0x21, 0x7F):
        assert key_name(chr(code)) == _character_to_key(chr(code))


def test_the_usual_keys_clash_nowhere() -> None:
    assert checked({ident: list(keys) for ident, keys in USUAL.items()}) == (USUAL, [])


def test_sound_lines_hold_beside_unsound_ones() -> None:
    own, faults = checked({"sav": "x", "save": "ctrl+w", "undo": ["z", "ctrl+i"], "redo": 3, "aim": True, "by": ""})
    assert own == {"save": ("ctrl+w",), "by": ()}
    assert [fault.partition(":")[0] for fault in faults] == ["sav", "undo", "redo", "aim"]
    assert "save may be meant" in faults[0]
    assert all(fault.endswith(".") for fault in faults)


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        ({"save": "q"}, "save: q is that of quit"),
        ({"leg-split": "plus"}, "leg-split: + is that of more"),
        ({"grid-first": "f2"}, "grid-first: F2 is that of type"),
        ({"days-up": "e"}, "days-up: e is that of evening"),
        ({"values": "ctrl+x"}, "values: ^x is that of leg-remove"),
        ({"save": "ctrl+w", "open": "ctrl+w"}, "open: ^w is that of save"),
        ({"pick-up": "enter"}, "pick-up: Enter is that of pick-take"),
    ],
)
def test_clashes_are_found_where_keys_are_heard_together(lines: dict[str, str], fault: str) -> None:
    own, faults = checked(lines)
    assert len(faults) == 1
    assert faults[0].startswith(fault)
    assert len(own) == len(lines) - 1


def test_keys_may_change_places_and_be_used_where_others_are_not_heard() -> None:
    own, faults = checked({"undo": "r", "redo": "u", "pick-up": "k", "hours-back": "comma", "leg-before": "left"})
    assert not faults
    assert own["undo"] == ("r",)


def test_a_line_that_leans_on_an_unsound_one_falls_with_it() -> None:
    own, faults = checked({"save": "q", "quit": "ctrl+i"})
    assert own == {}
    assert len(faults) == 2


@pytest.mark.parametrize("lines", [{"quit": "", "interrupt": []}, {"read-close": ""}, {"cell-drop": []}])
def test_there_is_always_a_way_out(lines: dict[str, object]) -> None:
    own, faults = checked(lines)
    assert len(faults) == 1
    assert "there must be a key to leave by" in faults[0]
    assert len(own) == len(lines) - 1


def test_no_key_is_a_key_that_nothing_sends() -> None:
    made = keymap({"save": (), "undo": ("z", "x")})
    assert made["undo"] == "z,x"
    assert made["save"].startswith(UNBOUND)


def test_the_file_to_edit_holds_every_action_and_changes_nothing() -> None:
    text = template()
    assert tomli.loads(text) == {}
    lines = [line[2:] for line in text.splitlines() if line.startswith("# ") and " = " in line]
    found = tomli.loads("\n".join(lines[1:]))
    assert list(found) == [action.id for scope in SCOPES for action in ACTIONS if action.scope == scope]
    assert checked(found) == (dict.fromkeys(found) and {ident: USUAL[ident] for ident in found}, [])


def test_every_scope_is_heard() -> None:
    assert {one for scope in SCOPES for one in heard(scope)} == set(SCOPES)
