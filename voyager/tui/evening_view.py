"""The evening card drawn as lines of runs. No Textual here."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from voyager.report.evening import Say, evening_parts
from voyager.tui import words
from voyager.tui.runs import Line, Run, length
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
LABEL = 10
AT_SEA = "Under way through this night: there is no evening at a berth."


@dataclass(frozen=True)
class EveningView:
    """One evening (None: spent on the water) of a plan, with its day."""

    plan: Row
    day: Row
    evening: Row | None
    units: Units = PLAIN

    @property
    def say(self) -> Say:
        """How the sentences say times, warmth, speeds and charges."""
        full, units = float(self.plan["boat"]["capacity_kwh"]), self.units
        return Say(
            str(self.plan["voyage"]["time_zone"]),
            lambda celsius: f"{words.degrees(celsius, units)} {units.temperature}",
            lambda kmh: f"{units.speed_of(kmh):.0f} {units.speed}",
            lambda kwh: words.percent_words(kwh, full),
        )


def draw(view: EveningView, width: int, height: int) -> list[Line]:
    """Each part under its name at the left, a blank line between them where ``height`` has room."""
    head = _head(view, width)
    if view.evening is None:
        return [head, [], [Run(AT_SEA)]]
    parts = [_part(name, told, width) for name, told in evening_parts(view.evening, view.say)]
    parts.append(_care(view, width))
    parts = [part for part in parts if part]
    if 1 + sum(len(part) for part in parts) + len(parts) <= height:
        parts = [[[], *part] for part in parts]
    return [head, *(line for part in parts for line in part)]


def _head(view: EveningView, width: int) -> Line:
    line: Line = [Run("◂", "accent", "day(-1)"), Run(f" {words.day_heading(view.day)} ", "bold")]
    line.append(Run("▸", "accent", "day(1)"))
    evening = view.evening
    text = "" if evening is None else f" {evening['mooring']} · made fast {_span(view, evening)}"
    line.append(Run(words.cut(text, max(0, width - length(line) - 2))))
    return [*line, Run(" " * max(0, width - length(line) - 2)), Run(" ×", "accent", "close")]


def _span(view: EveningView, evening: Row) -> str:
    say = view.say
    return f"{say.clock(evening['made_fast_utc'])} to {say.clock(evening['until_utc'])} tomorrow"


def _part(name: str, told: list[str], width: int) -> list[Line]:
    lines: list[Line] = []
    for at, sentence in enumerate(told):
        for text in words.wrapped(sentence, width - LABEL):
            lines.append([Run(f"{name if not lines else '':<{LABEL}}", "bold"), Run(text, "plain" if at else "lead")])
    return lines


def _care(view: EveningView, width: int) -> list[Line]:
    """The whole text of every caution that bears on the night."""
    codes = [] if view.evening is None else view.evening["cautions"]
    told = {item["code"]: item["text"] for item in view.plan.get("cautions", ()) if item["day"] == view.day["day"]}
    lines: list[Line] = []
    for code in (code for code in codes if code in told):
        for at, text in enumerate(words.wrapped(told[code], width - LABEL - 2)):
            name = "Take care" if not lines else ""
            lines.append([Run(f"{name:<{LABEL}}", "bold"), Run(f"{' ' if at else '!'} {text}", "care")])
    return lines
