"""The help: every key by the place where it is heard, that of the moment first; typing leaves what fits."""

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Input

from voyager.tui.actions import ACTIONS, SCOPES, bindings, key_of, keys_of
from voyager.tui.key_names import key_words
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.lines import Lines
from voyager.tui.words import wrapped

Section = list[tuple[str, str]]
SIGNS: Section = [
    ("title", "Signs"),
    ("plain", "▸ under way   · rest   ▴ charge: waiting for sun   ╧ shore: on a plug"),
    ("plain", "!2  two cautions lean on that day       ✗  not held, or short"),
    ("plain", "=6  a speed fixed by you or the file    *  a choice other than the file's"),
    ("plain", "┃   days of the leg under the cursor"),
    ("plain", "A bar ends at next morning's charge, │ the day's lowest, ╎ the floor"),
    ("plain", "This morning: ▁ dark  ▂ dull  ▄ mixed  ▆ fair  █ bright, each a fifth of such days"),
    ("plain", "░ stay   → go on to   ← go back to   ┃ the plan's charge   ▸ the plan's sky"),
    ("plain", "+ kWh in: solar, shore   − kWh out: propulsion, hotel, heating, loss"),
]
CAUTION = ("caution", "! Not for navigation. Follow makers' instructions and local codes.")
KEYS, WIDEST = 18, 84


class HelpField(Input):
    """What is looked for."""

    BINDINGS = bindings("help")

    def action_close(self) -> None:
        screen = self.screen
        if isinstance(screen, HelpScreen):
            screen.leave(None)

    def action_scroll_by(self, lines: int) -> None:
        self.screen.query_one(HelpPage).scroll_relative(y=lines, animate=False)


class HelpPage(VerticalScroll, can_focus=False):
    """The scrolling part."""


class HelpScreen(CardScreen[None]):
    """``here``: the scopes whose keys were heard when it was opened, the nearest first."""

    def __init__(self, here: Sequence[str] = ()) -> None:
        super().__init__()
        self.here = here

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -page"):
            yield HelpField(compact=True, select_on_focus=False, placeholder="type to find")
            with HelpPage():
                yield Lines(id="help-lines")

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title, card.border_subtitle = "Help", f"↑ ↓ scroll, {key_of('help-close')} closes"
        self.query_one("#help-lines", Lines).show(help_lines(self.here, width=self._room))

    @property
    def _room(self) -> int:
        """Columns for a line: of the card without its borders and the bar."""
        return max(KEYS + 20, min(WIDEST, self.size.width * 24 // 25) - 5)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self.query_one("#help-lines", Lines).show(help_lines(self.here, event.value, self._room))
        self.query_one(HelpPage).scroll_home(animate=False)


def help_lines(here: Sequence[str] = (), sought: str = "", width: int = 999) -> Section:
    """The help, out of the list of actions; only those with every word sought."""
    first = [*here, *(["app"] if "app" not in here else [])]
    sections = [_section(scope) for scope in first]
    sections += [SIGNS, *(_section(scope) for scope in SCOPES if scope not in first)]
    wanted = sought.lower().split()
    kept = [part for part in (_fitting(section, wanted) for section in sections) if part]
    lines = [line for part in kept for row in (*part, ("plain", "")) for line in _wrapped(row, width)]
    return [*(lines or [("plain", "Nothing of that name."), ("plain", "")]), CAUTION]


def _wrapped(row: tuple[str, str], width: int) -> Section:
    """A long line goes on below its words, clear of the keys."""
    kind, text = row
    if len(text) <= width or text in {sign for _, sign in SIGNS}:
        return [row]
    first, *more = wrapped(text[KEYS + 1 :], width - KEYS - 1)
    return [(kind, text[: KEYS + 1] + first), *((kind, " " * (KEYS + 1) + line) for line in more)]


def _section(scope: str) -> Section:
    rows = [
        (", ".join(map(key_words, keys_of(action))) or "–", action.help) for action in ACTIONS if action.scope == scope
    ]
    return [("title", SCOPES[scope]), *(("plain", f"{keys:<{KEYS}} {words}") for keys, words in rows)]


def _fitting(section: Section, wanted: list[str]) -> Section:
    title, *rows = section
    kept = [row for row in rows if all(word in f"{title[1]} {row[1]}".lower() for word in wanted)]
    return [title, *kept] if kept else []
