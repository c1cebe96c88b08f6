"""Planned against actual drawn as lines of runs: charts, the figures of one day, sums and drift. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Any

from voyager.report.words import counted, long_date, short_date
from voyager.tui import actual_chart as chart
from voyager.tui import words
from voyager.tui.actual_chart import PARTS, signed
from voyager.tui.runs import Line, Run, beside, length
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
ACROSS_FROM, BESIDE_FROM, RIGHT = 71, 100, 42
FLOWS = (("sun", "solar"), ("shore", "shore"), ("motor", "propulsion"), ("heating", "heating"), ("hotel", "hotel"))
MEANING = {
    "sky": "sun and outside air other than planned",
    "hull": "propulsion other than the model's for the way and time made",
    "cabin": "heating other than the model's in the air that was",
    "hotel": "hotel load, and all that nothing measured explains",
    "habit": "other way, pace, plug or warmth than planned",
}
NONE_SPLIT = "No day can be held against its plan yet: note the charge each morning."
NO_DRIFT = "Nothing yet: it takes two days of measured energies with the charge at both ends."


@dataclass(frozen=True)
class ActualView:
    """The object of ``session.actual``, the index of the day pointed at, and how to show it."""

    result: Row
    at: int
    units: Units = PLAIN

    @property
    def days(self) -> Sequence[Row]:
        """All of them."""
        days: Sequence[Row] = self.result["days"]
        return days

    @property
    def day(self) -> Row:
        """The one pointed at."""
        return self.days[self.at]


def draw(view: ActualView, width: int, height: int) -> list[Line]:
    """Charts first, the figures beside them where there is room, else below; sums and drift last."""
    wide = width >= BESIDE_FROM
    head = [_head(view, width)]
    notes = _notes(view, RIGHT if wide else width)
    below = [*_totals(view, width), *drift(view, width)]
    if not wide:
        narrow = width < ACROSS_FROM
        figures = [*_down(view), *_flows_down(view)] if narrow else [*_across(view), *_flows_across(view)]
        charts = _charts(view, width, height - len(figures) - 1)
        return [*head, *charts, *figures, *notes, [], *below]
    left = width - RIGHT - 2
    charts = _charts(view, left, max(16, height - len(below) - 2))
    right = [*_down(view), [], *_flows_down(view), *notes]
    return [*head, *beside(charts, right, left + 2), [], *below]


def _head(view: ActualView, width: int) -> Line:
    day = view.day
    line: Line = [Run("◂", "accent", "day(-1)"), Run(f" {words.day_heading(day)} ", "bold")]
    line.append(Run("▸", "accent", "day(1)"))
    line.append(Run(words.cut(f" {_verdict(day)}", max(0, width - length(line) - 2))))
    return [*line, Run(" " * max(0, width - length(line) - 2)), Run(" ×", "accent", "close")]


def _verdict(day: Row) -> str:
    """The day in a clause."""
    difference = day["difference_kwh"]
    if difference is None:
        return "can't be held against its plan"
    most = max(PARTS, key=lambda name: abs(day[f"{name}_kwh"]))
    what = f"{most} {signed(day[f'{most}_kwh'], 1)}"
    if abs(difference) < 0.05:
        return "as planned" if abs(day[f"{most}_kwh"]) < 0.05 else f"as planned in sum, {what} against the rest"
    return f"{abs(difference):.1f} kWh {'more' if difference > 0 else 'less'} than planned, most by {what}"


def _charts(view: ActualView, width: int, height: int) -> list[Line]:
    """Both over the same columns, as high as there is room for, the charge three lines and the split four at least."""
    shown = chart.span(view.days, view.at, width)
    legend, sums = chart.legend(width), chart.sums(shown)
    free = height - len(legend) - len(sums) - 2
    high = max(3, min(10, free // 2))
    rows = max(4, min(14, free - high))
    charge = chart.charge(shown, float(view.result["capacity_kwh"]), high)
    return [*charge, chart.dates(shown), *chart.bars(shown, view.days, rows), *sums, *legend]


# the day


def adding(values: Sequence[float], decimals: int = 2) -> list[float]:
    """Values rounded so that they add up to their rounded sum."""
    ends = [0.0, *(round(total, decimals) for total in accumulate(values))]
    return [round(after - before, decimals) + 0.0 for before, after in pairwise(ends)]


def _steps(day: Row) -> list[tuple[str, str, float]]:
    """Part, name and kWh from the planned change of the charge to the logged one; none where it can't be split."""
    if day["difference_kwh"] is None:
        return []
    values = adding([day["planned"]["change_kwh"], *(day[f"{name}_kwh"] for name in PARTS)])
    names = [("bold", "planned"), *((name, name) for name in PARTS)]
    rows = [(part, name, value) for (part, name), value in zip(names, values, strict=True)]
    return [*rows, ("bold", "logged", round(sum(values), 2) + 0.0)]


def _across(view: ActualView) -> list[Line]:
    """Change of the charge, planned plus the parts is logged, in two lines."""
    steps = _steps(view.day)
    if not steps:
        return []
    names: Line = [Run(f"{'kWh':<8}", "muted")]
    figures: Line = [Run(f"{'charge':<8}", "bold")]
    for number, (part, name, value) in enumerate(steps):
        label = f"{PARTS[name]} {name}" if name in PARTS else f"= {name}" if number else name
        ink = part if part == "bold" else "plain"
        names.append(Run(f"{label:>9}", ink))
        figures.append(Run(f"{signed(value):>9}", ink))
    return [names, figures]


def _down(view: ActualView) -> list[Line]:
    """The same a line each."""
    steps = _steps(view.day)
    lines: list[Line] = [[Run("Change of the charge, kWh", "bold")]]
    for part, name, value in steps:
        letter = Run(PARTS[name] * 2, name) if name in PARTS else Run("= " if name == "logged" else "  ")
        rule = "bold" if part == "bold" else "plain"
        lines.append([letter, Run(f" {name:<10}", rule), Run(f"{signed(value):>8}", rule)])
    return lines if steps else [*lines, [Run("can't be told for this day")]]


def _energies(view: ActualView) -> list[tuple[str, str, str]]:
    """Name, planned and logged: energies in kWh, the way in the units chosen; the sun is that which was taken."""
    day, units = view.day, view.units
    planned, actual = day["planned"] or {}, day["actual"]
    rows = list[tuple[str, str, str]]()
    for name, key in FLOWS:
        meant = planned.get(f"{key}_kwh")
        if key == "solar" and meant is not None:
            meant -= planned["spilled_kwh"]
        rows.append((name, _figure(meant), _figure(actual[f"{key}_kwh"])))
    return [*rows, (units.length, _way(planned, units), _way(actual, units))]


def _way(side: Row, units: Units) -> str:
    start, end = side.get("start_km"), side.get("end_km")
    return words.NONE if start is None or end is None else f"{units.length_of(end - start):.1f}"


def _figure(value: float | None) -> str:
    return words.NONE if value is None else f"{value:.2f}"


def _flows_across(view: ActualView) -> list[Line]:
    rows = _energies(view)
    heads = "".join(f"{name:>9}" for name, _, _ in rows)
    lines = [("bold", "planned", [one[1] for one in rows]), ("bold", "logged", [one[2] for one in rows])]
    return [
        [Run(f"{'kWh':<8}{heads}", "muted")],
        *([Run(f"{name:<8}", part), Run("".join(f"{text:>9}" for text in texts))] for part, name, texts in lines),
    ]


def _flows_down(view: ActualView) -> list[Line]:
    head = [Run(f"{'kWh':<12}{'planned':>9}{'logged':>9}", "bold")]
    return [head, *([Run(f"{name:<12}", "muted"), Run(f"{meant:>9}{was:>9}")] for name, meant, was in _energies(view))]


def _notes(view: ActualView, width: int) -> list[Line]:
    """What is to be known of the day, last whose plan it is held against."""
    planned = view.day["planned"]
    made = None if planned is None else planned["made_utc"]
    against = "the plan of the files as they stand" if made is None else f"the plan of {long_date(made[:10])}"
    return [
        [Run(("- " if at == 0 else "  ") + text)]
        for note in [*view.day["notes"], *([] if planned is None else [f"held against {against}"])]
        for at, text in enumerate(words.wrapped(note, width - 2))
    ]


# all days


def _totals(view: ActualView, width: int) -> list[Line]:
    """Sums of the days that are split, and what was measured beside what was planned of it."""
    totals = view.result["totals"]
    if not totals["days"]:
        return _told("Together", "bold", NONE_SPLIT, width)
    parts = ", ".join(f"{name} {signed(totals[f'{name}_kwh'], 1)}" for name in PARTS)
    whole = signed(totals["difference_kwh"], 1)
    lines = _told("Together", "bold", f"{whole} kWh in {counted(totals['days'], 'day', 'days')}: {parts}", width)
    names = {key: name for name, key in FLOWS}
    measured = [
        f"{names[key]} {one['actual_kwh']:.1f} of {one['planned_kwh']:.1f}"
        for key, one in totals["energies"].items() if one["days"]
    ]  # fmt: skip
    return [*lines, *(_told("Measured", "bold", f"kWh of planned: {', '.join(measured)}", width) if measured else [])]


def drift(view: ActualView, width: int) -> list[Line]:
    """What the log says of the boat file, the values that it speaks against first, with the test that would tell."""
    rows = sorted(view.result["drift"], key=lambda one: not one["pointed"])
    lines: list[Line] = [] if rows else _told("Boat file", "bold", NO_DRIFT, width)
    for one in rows:
        test = "" if one["test"] in one["text"] else f" Test: {one['test']}."
        text = f"{'! ' if one['pointed'] else ''}{one['text'].rstrip()}{test}"
        lines += _told("" if lines else "Boat file", "bold", text, width, "care" if one["pointed"] else "plain")
    return [*lines, *(line for note in view.result["notes"] for line in _told("", "plain", note, width))]


def _told(name: str, part: str, text: str, width: int, ink: str = "plain") -> list[Line]:
    return [
        [Run(f"{name if at == 0 else '':<11}", part), Run(line, ink)]
        for at, line in enumerate(words.wrapped(text, width - 11))
    ]


def page(view: ActualView) -> list[tuple[str, str]]:
    """All that there is to read: every day with its notes, what the parts mean, drift."""
    lines = [("title", "What the parts mean, in kWh of charge; + where more was left than planned")]
    lines += [("plain", f"{PARTS[name]} {name}: {text}") for name, text in MEANING.items()]
    for day in view.days:
        lines += [("title", f"Day {day['day']}, {' '.join(short_date(day['date']).split())}: {_verdict(day)}")]
        if steps := _steps(day):
            lines.append(("plain", ", ".join(f"{name} {signed(value)}" for _, name, value in steps)))
        lines += [("plain", f"- {note}") for note in day["notes"]]
    lines.append(("title", "What the log says of the boat file"))
    rows = drift(view, 10_000)
    return [*lines, *(("caution" if row[1].part == "care" else "plain", row[1].text) for row in rows)]
