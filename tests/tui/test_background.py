"""What terminals answer to the background question, and what is made of it."""

import os
import pty
import termios
import threading

import pytest

from voyager.errors import InputError
from voyager.tui import background, themes
from voyager.tui.inorder import ReplySieve


@pytest.mark.parametrize(("answer", "light"), [
    (b"\x1b]11;rgb:0000/0000/0000\x1b\\", False), (b"\x1b]11;rgb:ffff/ffff/ffff\x07", True),
    (b"\x1b]11;rgb:fd/f6/e3\x07", True), (b"\x1b]11;rgba:1e1e/1e1e/2e2e/ffff\x1b\\", False),
    (b"x\x1b]11;rgb:0000/2b2b/3636\x1b\\y", False),
])  # fmt: skip
def test_answers(answer, light):
    assert (background.lightness(answer) >= 0.5) is light


@pytest.mark.parametrize("answer", [b"", b"\x1b]11;?\x1b\\", b"\x1b]11;rgb:zz/00/00\x07", b"\x1b]10;rgb:ff/ff/ff\x07"])
def test_no_answers(answer):
    assert background.lightness(answer) is None


def test_luma_of_rec_601():
    assert background.lightness(b"\x1b]11;rgb:ffff/0000/0000\x07") == pytest.approx(0.299)
    assert background.lightness(b"\x1b]11;rgb:00/ff/00\x07") == pytest.approx(0.587)


@pytest.mark.parametrize(("reply", "want"), [(b"\x1b]11;rgb:ffff/ffff/ffff\x1b\\", True), (None, None)])
def test_a_terminal_is_asked_and_may_be_silent(reply, want, monkeypatch):
    ours, theirs = pty.openpty()

    def terminal() -> None:
        if b"]11;?" in os.read(ours, 64) and reply is not None:
            os.write(ours, reply)

    thread = threading.Thread(target=terminal, daemon=True)
    thread.start()
    before = termios.tcgetattr(theirs)
    with os.fdopen(theirs, closefd=False) as terminals_end:
        monkeypatch.setattr("sys.stdin", terminals_end)
        monkeypatch.setattr("sys.stderr", terminals_end)
        monkeypatch.setenv("TERM", "xterm-256color")
        monkeypatch.setattr(background, "TIMEOUT_S", 2.0 if reply else 0.05)
        with background.Question() as question:
            assert termios.tcgetattr(theirs) != before
            light, late = question.answer()
    assert (None if light is None else light > 0.5, late) == (want, reply is None)
    assert termios.tcgetattr(theirs) == before
    for descriptor in (ours, theirs):
        os.close(descriptor)


def test_a_terminal_is_left_as_it_was_when_nothing_waits_for_its_answer(monkeypatch):
    ours, theirs = pty.openpty()
    before = termios.tcgetattr(theirs)
    with os.fdopen(theirs, closefd=False) as terminals_end:
        monkeypatch.setattr("sys.stdin", terminals_end)
        monkeypatch.setattr("sys.stderr", terminals_end)
        monkeypatch.setenv("TERM", "xterm-256color")
        with background.Question():
            pass
    assert termios.tcgetattr(theirs) == before
    for descriptor in (ours, theirs):
        os.close(descriptor)


def test_no_terminal_is_asked_nothing(monkeypatch):
    with open(os.devnull) as nothing:
        monkeypatch.setattr("sys.stdin", nothing)
        with background.Question() as question:
            assert question.answer() == (None, False)


def keys(text: str):
    names = {"\\": "backslash", "\a": "ctrl+g"}
    return [(names.get(sign, sign), None if sign == "\a" else sign) for sign in text]


@pytest.mark.parametrize("end", ["\\", "\a"])
def test_a_late_answer_is_sieved_out_of_the_keys(end):
    sieve = ReplySieve(armed=True)
    kept = [key for key, sign in keys("u]11;rgb:1c1c/1c1c/1c1c" + end + "d]") if not sieve.drops(key, sign)]
    assert kept == ["u", "d", "]"]


def test_keys_pass_an_unarmed_sieve_and_a_broken_answer_lets_go():
    assert not any(ReplySieve(armed=False).drops(key, sign) for key, sign in keys("]11;rgb:ff\\"))
    sieve = ReplySieve(armed=True)
    assert [sieve.drops(key, sign) for key, sign in keys("]s")] == [True, False]


@pytest.mark.parametrize(("lightness", "environ", "name"), [
    (0.1, {"TERM": "xterm-256color"}, "voyager-dark"), (0.9, {"TERM": "xterm-256color"}, "voyager-light"),
    (None, {"TERM": "xterm-256color"}, "voyager-dark"), (0.9, {"TERM": "linux"}, "ansi-light"),
    (0.1, {"TERM": "xterm", "COLORTERM": "truecolor"}, "voyager-dark"), (0.1, {"TERM": "xterm"}, "ansi-dark"),
    (0.9, {"TERM": "xterm-256color", "NO_COLOR": "1"}, "ansi-light"),
    (0.9, {"TERM": "xterm-256color", "VOYAGER_LOOK": "dark"}, "voyager-dark"),
    (None, {"TERM": "linux", "VOYAGER_LOOK": "16-light"}, "ansi-light"),
])  # fmt: skip
def test_the_look_to_start_with(lightness, environ, name):
    assert themes.theme_name(lightness, environ) == name


def test_an_unknown_look_is_refused():
    with pytest.raises(InputError, match="pink: there is no such look; use dark, light, 16-dark, 16-light"):
        themes.theme_name(None, {"VOYAGER_LOOK": "pink"})


def contrast(one: str, other: str) -> float:
    """WCAG 2.1 contrast ratio of two #rrggbb colours."""

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("theme", themes.OURS.values(), ids=lambda theme: theme.name)
@pytest.mark.parametrize("part", ["foreground", "accent", "warning", "error"])
def test_text_stands_out_from_its_ground_as_wcag_aa_asks(theme, part):
    for ground in (theme.background, theme.panel):
        assert contrast(getattr(theme, part), ground) >= 4.5
