"""The pane "planned against actual": the days of the log against their plans, as charts and figures."""

from collections.abc import Mapping
from typing import Any, ClassVar

from rich.style import Style
from textual.timer import Timer

from voyager.tui import actual_view, words
from voyager.tui.actions import ACTIONS, bindings, key_names, key_of
from voyager.tui.actual_chart import PARTS
from voyager.tui.actual_view import ActualView
from voyager.tui.desk import Desk
from voyager.tui.messages import Asked, Stepped
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.sheet import Sheet
from voyager.tui.widgets.title import WHEEL

NAME = "actual"
ACTUAL = "voyager.session.actual:actual"
WAIT_S, TURN_S, SLOW_TURNS = 0.3, 0.25, 2
LOST = "the planner's process ended before the days were told; close this and open it again"
READING = "holding the days of the log against their plans …"
INKS = (*PARTS, "planned", "logged")
HINT = (
    f"{key_of('actual-back')} {key_of('actual-on')} day · {key_of('actual-up')} {key_of('actual-down')} scroll · "
    f"{key_of('actual-read')} all · {key_of('actual-close')} closes"
)


class ActualPane(Sheet):
    """``result``: the answer for ``asked_of``, the sketch that was asked about; ``why``: the sentence instead of it.
    ``date``: the day pointed at, ISO; the last of the log until one is. ``steps``: through the days, asked for
    before the answer came."""

    BINDINGS = bindings("actual")
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"actual--{part}" for part in INKS}

    def __init__(self) -> None:
        super().__init__(NAME)
        self.desk: Desk | None = None
        self.result: Mapping[str, Any] | None = None
        self.asked_of: Any = None
        self.why = ""
        self.date = ""
        self.steps: list[int] = []
        self.wait: Timer | None = None
        self.spin: Timer | None = None
        self.turns = 0
        self.share = 0.0

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; the day stays, of another voyage nothing does."""
        if self.desk is not None and self.desk.path != desk.path:
            self.result, self.why, self.date, self.asked_of = None, "", "", None
        self.desk = desk
        self._entitle()
        self._want()
        self.redraw()

    def point(self, what: str, index: int) -> None:
        """Go with the cursor, where the log has its day."""
        days = () if self.desk is None else self.desk.days
        if what == "day" and index < len(days):
            self.date = days[index]["date"]
            self.redraw()

    def logged(self) -> None:
        """The log holds other entries: ask anew."""
        self.asked_of = None
        self._want()

    # what is asked

    def _want(self) -> None:
        """Ask, a moment from now, where the answer is not of the sketch as it stands."""
        desk = self.desk
        if desk is None or desk.opened is None or not self.display or self.asked_of is desk.sketch:
            return
        if self.asked_of is None:
            self._ask()
        elif self.wait is None:
            self.wait = self.set_timer(WAIT_S, self._ask)

    def _ask(self) -> None:
        self.wait = None
        if self.desk is None:
            return
        self.asked_of = self.desk.sketch
        self.turns, self.share = 0, 0.0
        if self.spin is None:
            self.spin = self.set_interval(TURN_S, self._turn)
        self.post_message(Asked(NAME, ACTUAL, self.desk.path, self.desk.sketch.documents(), watch=True))

    def progress(self, name: str, share: float, text: str) -> None:
        """How far the answer is."""
        self.share = share

    def answer(self, name: str, body: Any) -> None:
        """The days were held against their plans; keys pressed before have their turn."""
        self._came(body, "")
        steps, self.steps = self.steps, []
        for by in steps:
            self.action_day(by)

    def refused(self, name: str, why: str) -> None:
        """They can't be: the sentence is said in place, what was shown before stays below it."""
        self._came(self.result, why)

    def lost(self) -> None:
        """The process that was asked ended: what was shown stays, opening it anew asks again; not at once, for it may
        have been this question that ended it."""
        if self.spin is not None:
            self._came(self.result, LOST)

    def _came(self, result: Mapping[str, Any] | None, why: str) -> None:
        self.result, self.why = result, why
        if self.spin is not None:
            self.spin.stop()
            self.spin = None
        self._entitle()
        self.redraw()

    def _turn(self) -> None:
        self.turns += 1
        if self.turns >= SLOW_TURNS:
            self._entitle()
            self.redraw()

    def _entitle(self) -> None:
        turning = self.spin is not None and self.turns >= SLOW_TURNS
        wheel = f" {WHEEL[self.turns % len(WHEEL)]} {100 * self.share:.0f}%" if turning else ""
        self.border_title = f" Planned against actual{wheel}: {HINT} "

    def on_hide(self) -> None:
        if self.why == LOST:
            self.asked_of = None

    def on_show(self) -> None:
        self._want()
        super().on_show()

    # drawing

    @property
    def view(self) -> ActualView | None:
        """What there is to draw."""
        if self.result is None or self.desk is None or not self.result["days"]:
            return None
        days = self.result["days"]
        at = next((at for at, day in enumerate(days) if day["date"] == self.date), len(days) - 1)
        return ActualView(self.result, at, self.desk.units)

    def draw(self, width: int, height: int) -> list[Line]:
        view = self.view
        said: list[Line] = [[Run(text, "lead")] for text in words.wrapped(f"✗ {self.why}", width)] if self.why else []
        if view is not None:
            return [*said, *actual_view.draw(view, width, height - len(said))]
        if self.why:
            return [*said, [], *([Run(text)] for text in words.wrapped(how(), width))]
        return [[Run(text)] for text in words.wrapped(READING, width)]

    def page(self) -> list[tuple[str, str]]:
        """Every day and all that the parts mean."""
        view = self.view
        return [] if view is None else actual_view.page(view)

    def _ink(self, part: str) -> Style:
        if part not in INKS:
            return super()._ink(part)
        return self.rich_style + self.get_component_rich_style(f"actual--{part}", partial=True)

    # what the user does

    def action_day(self, by: int) -> None:
        """The day before or after."""
        view = self.view
        if view is None and self.spin is not None:
            self.steps.append(by)
        elif view is not None:
            self.action_stand(max(0, min(len(view.days) - 1, view.at + by)))

    def action_stand(self, index: int) -> None:
        """One of the days of the log."""
        view = self.view
        if view is None or self.desk is None or not 0 <= index < len(view.days):
            return
        self.date = view.days[index]["date"]
        self.redraw()
        listed = next((day["day"] for day in self.desk.days if day["date"] == self.date), None)
        if listed is not None:
            self.post_message(Stepped(listed))


def how() -> str:
    """How a log comes to be."""
    keys = {action.id: key_names(action) for action in ACTIONS if action.id in {"note", "log"}}
    add = keys.get("note", "voyager log VOYAGE --add")
    brought = f"; the log's page ({keys['log']}) brings in a file" if "log" in keys else "; --import brings in a file"
    return f"{add} notes a reading in a line, such as: 14:00 Kingston 61% sun 3.2 in 17 out 4{brought}."
