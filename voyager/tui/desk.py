"""What the screens stand on: the sketch with its history, the last plan and what it answers. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Any

from voyager.report.words import long_date
from voyager.session.sketch.history import History, begun, same
from voyager.session.sketch.state import Sketch, sketch_of
from voyager.tui import words
from voyager.tui.leg_rows import LegRow, LegRows, bare, capacity_kwh, comforts
from voyager.tui.packed import unpacked
from voyager.tui.past import listed
from voyager.tui.units import Units

Value = str | float | int | None
Plan = Mapping[str, Any]

CHOICE_NAMES = {"departs": "Departs", "sky": "Sky", "aim": "Aim", "by": "By", "comfort": "Comfort"}
DEFAULTS = {"sky": "cautious", "aim": "soonest"}
COMPUTING = "This is being computed: the voyage is sailed through many skies, the plan read at every berth."


@dataclass(frozen=True)
class Desk:
    """Never changed in place.

    ``opened``: what was found when the files were read (files, writable, ...), None before. ``plan`` answers
    ``plan_sketch``; ``draft``: a better one of the same sketch is still to come. ``finished``: the last plan with all
    its odds. ``baseline``: the plan that is compared with until dismissed. ``ticket`` of the planning under way, 0 for
    none. ``trouble``: why the last edit could not be planned. ``faults``: what is wrong with the sketch as it stands.
    ``stamp``: of the files as they were last read or written. ``onward``: the plan is to go on from the log's last
    reading.
    """

    path: str
    history: History = field(default_factory=History)
    opened: Mapping[str, Any] | None = None
    plan: Plan | None = None
    plan_sketch: Sketch | None = None
    draft: bool = False
    finished: Plan | None = None
    baseline: Plan | None = None
    ticket: int = 0
    trouble: str | None = None
    faults: Sequence[Mapping[str, Any]] = ()
    stamp: Mapping[str, Any] = field(default_factory=dict)
    units: Units = field(default_factory=Units)
    ascii: bool = False
    onward: bool = False
    rows: LegRows = field(default_factory=LegRows, compare=False, repr=False)

    # what there is

    @property
    def sketch(self) -> Sketch:
        """The voyage and boat as they are now edited."""
        return self.history.now

    @property
    def unsaved(self) -> bool:
        """Whether leaving now would lose something."""
        return self.history.unsaved

    @property
    def boat_changed(self) -> bool:
        """Whether the boat's values are other than its file's."""
        saved = self.history.saved
        return (self.sketch.boat, self.sketch.remarks) != (saved.boat, saved.remarks)

    @cached_property
    def shown(self) -> Plan | None:
        """What there is to show: the last plan, else names alone; None before the files were read."""
        if self.plan is not None:
            return self.plan
        return None if self.opened is None else {**bare(self.sketch, self.path), "legs": self.leg_rows()}

    @cached_property
    def former(self) -> bool:
        """Whether the plan shown does not answer the sketch as it stands, or goes on from where it should not."""
        if self.plan is None:
            return False
        answers = self.plan_sketch is not None and same(self.plan_sketch, self.sketch)
        return not answers or bool(self.plan.get("log")) != self.onward

    @property
    def former_words(self) -> str:
        """For the headings of what is not the last word."""
        return " (former plan)" if self.former else " (provisional)" if self.draft else ""

    @property
    def odds_note(self) -> str:
        """Why there are no odds and no card."""
        if self.plan is None:
            return "planning …" if self.shown else "reading the voyage …"
        if self.ticket:
            return COMPUTING
        return "The odds of this plan were not computed."

    @property
    def name(self) -> str:
        """The voyage and its boat."""
        names = bare(self.sketch, self.path)
        return " · ".join(name for name in (names["voyage"]["name"], names["boat"]["name"]) if name)

    @property
    def capacity_kwh(self) -> float:
        """The battery's, as planned with, else as the boat's values say; 0 where they don't."""
        return float(self.plan["boat"]["capacity_kwh"]) if self.plan else capacity_kwh(self.sketch.boat)

    @cached_property
    def days(self) -> Sequence[Mapping[str, Any]]:
        """The plan's days, those past before them where it goes on from the log: see ``tui.past``."""
        return listed(self.plan)

    def mornings(self) -> list[int]:
        """Numbers of the days that are listed or on the plan's card."""
        return sorted({day["day"] for day in self.days} | set((self.plan or {"card": {}})["card"]))

    def card(self, day: int) -> Sequence[Mapping[str, Any]]:
        """The card's rows of one day."""
        return () if self.plan is None else unpacked(self.plan, day)

    def leg_rows(self) -> list[LegRow]:
        """The legs of the sketch, each with the plan's figures where they still answer it."""
        return self._leg_rows

    @cached_property
    def _leg_rows(self) -> list[LegRow]:
        return self.rows.of(self.sketch, self.plan, self.plan_sketch)

    # choices

    def value(self, key: str) -> Value:
        """A key of the voyage's top table as it stands, a date as text; its default where the file has none."""
        return _effective(self.sketch, key)

    def changed(self, key: str) -> bool:
        """Whether a key of the top table differs from the file's."""
        return self.value(key) != _effective(self.history.saved, key)

    def choice_words(self, key: str) -> str:
        """A choice's value as the strip shows it."""
        value = self.value(key)
        if value is None or self.opened is None:
            return words.NONE
        try:
            return long_date(str(value)) if key in {"departs", "by"} else str(value)
        except ValueError:
            return str(value)

    def options(self, key: str) -> list[tuple[str, str]]:
        """The values a choice may take, each with a word on it."""
        if key != "comfort":
            return list(words.CHOICES[key].items())
        steps = comforts(self.sketch.boat)
        ends = {0: "warmest", len(steps) - 1: "frost guard only"}
        return [(step, ends.get(place, "")) for place, step in enumerate(steps)]

    # edits

    def edited(self, sketch: Sketch, label: str) -> "Desk":
        """With one more edit; the last finished plan is kept to compare with, unless one is kept already.

        A provisional plan is never kept: what the better plan of the same sketch moves is no effect of the edit.
        """
        history = self.history.add(sketch, label)
        if history is self.history:
            return self
        kept = self.baseline or self.finished
        return replace(self, history=history, baseline=kept)

    def choose(self, key: str, value: Value, with_it: Mapping[str, Value] | None = None) -> "Desk":
        """With a key of the top table changed, and others ``with_it`` in the same step; a date as ISO text."""
        wanted = {**(with_it or {}), key: value}
        if all(self.value(one) == new for one, new in wanted.items()):
            return self
        sketch = self.sketch
        for one, new in wanted.items():
            sketch = _put(sketch, self.history.saved, one, new)
        return self.edited(sketch, CHOICE_NAMES[key].lower())

    def shifted(self, days: int) -> "Desk":
        """Departing some days later."""
        try:
            later = date.fromisoformat(str(self.value("departs"))) + timedelta(days=days)
        except (ValueError, OverflowError):
            return self
        return self.choose("departs", later.isoformat())

    # what is read

    def read(self, opened: Mapping[str, Any]) -> "Desk":
        """With the files as they were read; nothing of what stood here before stays."""
        rest = {key: value for key, value in opened.items() if key not in {"documents", "outline"}}
        history = begun(sketch_of(opened["documents"]))
        return Desk(
            self.path, history, rest, ticket=self.ticket, faults=tuple(opened.get("problems", ())),
            stamp=opened.get("stamp", {}), units=self.units, ascii=self.ascii,
        )  # fmt: skip


def _effective(sketch: Sketch, key: str) -> Value:
    own = sketch.top.get(key)
    if own is None and key == "comfort":
        return comforts(sketch.boat)[0]
    value: Value = own.isoformat() if isinstance(own, date) else own
    return DEFAULTS.get(key) if value is None else value


def _put(sketch: Sketch, saved: Sketch, key: str, value: Value) -> Sketch:
    """The file's own writing where the value is the file's; a date as the file writes its dates."""
    if value == _effective(saved, key):
        return sketch.put_top(key, saved.top.get(key))
    dates = isinstance(value, str) and key in {"departs", "by"} and isinstance(sketch.top.get("departs"), date)
    return sketch.put_top(key, date.fromisoformat(str(value)) if dates else value)
