"""The strip of what is planned for: departure, sky, aim, by, comfort, each opened by its letter, Enter or mouse."""

from textual import events
from textual.app import ComposeResult, RenderResult
from textual.containers import Horizontal
from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from voyager.tui.actions import bindings
from voyager.tui.desk import CHOICE_NAMES, Desk
from voyager.tui.messages import Chosen
from voyager.tui.words import cut


class Choice(Widget, can_focus=True):
    """A label, its letter underlined, above the value chosen."""

    BINDINGS = bindings("choice")
    value: reactive[str] = reactive("")
    changed: reactive[bool] = reactive(False)

    def __init__(self, key: str) -> None:
        super().__init__(id=f"choice-{key}")
        self.key = key

    def render(self) -> RenderResult:
        label, room = CHOICE_NAMES[self.key], self.size.width
        mark = " *" if self.changed else ""
        value = cut(self.value, room - 2)
        return Content.assemble(
            (label[0], "bold underline $accent"), (label[1:], "$text-muted"), (mark, "bold $accent"),
            "\n", (value, "bold"), (" ▾", "$text-muted"),
        )  # fmt: skip

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_open()

    def action_open(self) -> None:
        self.post_message(Chosen(self.key))


class ChoiceStrip(Horizontal):
    """All choices; ``*`` beside those that differ from the file."""

    def compose(self) -> ComposeResult:
        for key in CHOICE_NAMES:
            yield Choice(key)

    def show(self, desk: Desk) -> None:
        """Take the values from the desk."""
        for choice in self.query(Choice):
            choice.value = desk.choice_words(choice.key)
            choice.changed = desk.changed(choice.key)
