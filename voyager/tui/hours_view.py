"""One day hour by hour, drawn as lines of runs: strips of what flows, a ribbon of charge, warmth, and the figures
below. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from voyager.tui import ribbon, words
from voyager.tui.runs import Line, Run, length
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
LABEL, RIGHT = 10, 10
LEVELS = " ▁▂▃▄▅▆▇█"
FLOWS = (("sun", "solar", "bar"), ("shore", "shore", "plain"), ("motor", "propulsion", "plain"),
         ("hotel", "hotel", "plain"), ("heating", "heating", "plain"), ("loss", "loss", "plain"),
         ("spilt", "spilled", "muted"), ("unserved", "unserved", "low"))  # fmt: skip
ALWAYS = ("sun", "motor", "hotel", "heating", "loss")
UNDERWAY, WAITING, FAST = "▸", "║", "·"
COLD_K = 0.55
"""So far below the setpoint a cabin is marked as cold; half a degree is within the figures shown."""


@dataclass(frozen=True)
class HoursView:
    """One day of a plan with its hours (25 at most), and how to show them."""

    plan: Row
    day: Row
    hours: Sequence[Row]
    units: Units = PLAIN

    @property
    def zone(self) -> str:
        """The voyage's time zone."""
        return str(self.plan["voyage"]["time_zone"])

    @property
    def capacity_kwh(self) -> float:
        """The battery's."""
        return float(self.plan["boat"]["capacity_kwh"])

    def clocks(self) -> list[str]:
        """The clock hour at which each hour begins, ``08``."""
        ends = [words.clock(hour["ends_utc"], self.zone)[:2] for hour in self.hours]
        return [f"{(int(end) - 1) % 24:02d}" for end in ends]


def draw(view: HoursView, width: int, height: int) -> list[Line]:
    """Strips first, as high a ribbon as leaves them on the screen, the table of figures last."""
    cells = max(1, (width - LABEL - RIGHT) // max(len(view.hours), 24))
    strips = [*_clock(view, cells), *_way(view, cells), *_flows(view, cells)]
    warm = [*_warmth(view, cells), *_care(view, width)]
    head = [_head(view, width)]
    free = height - len(head) - len(strips) - len(warm) - 1
    charge = [_charge_words(view, width), *ribbon.draw(_charges(view), _floors(view), view.capacity_kwh, cells,
                                                        max(3, min(8, free)), LABEL)]  # fmt: skip
    return [*head, *strips, *charge, *warm, [], *table(view)]


def _head(view: HoursView, width: int) -> Line:
    day = view.day
    mark = words.MARKS[day["mark"]][1]
    line: Line = [Run("◂", "accent", "day(-1)"), Run(f" {words.day_heading(day)} ", "bold")]
    line.append(Run("▸", "accent", "day(1)"))
    sky = "" if not day["sky_class"] else f" · {day['sky_class']}"
    way = words.stretch(day["from"], day["mooring"], 40)
    text = f" {mark}, {words.reason(day)}{sky} · {way}"
    line.append(Run(words.cut(text, max(0, width - length(line) - 2))))
    return [*line, Run(" " * max(0, width - length(line) - 2)), Run(" ×", "accent", "close")]


def _label(text: str, part: str = "muted") -> Run:
    return Run(f"{text:<{LABEL}}", part)


def _spaced(texts: Sequence[str], cells: int, room: int) -> str:
    """Every text where there is room for it, else every second or third one; each takes ``room`` columns."""
    step = -(-room // cells)
    return "".join(f"{text:<{step * cells}}" for text in texts[::step])


def _clock(view: HoursView, cells: int) -> list[Line]:
    past = words.clock(view.hours[0]["ends_utc"], view.zone)[2:] if view.hours else ":00"
    return [[_label("from" if past == ":00" else f"from h{past}"), Run(_spaced(view.clocks(), cells, 3), "muted")]]


def _way(view: HoursView, cells: int) -> list[Line]:
    """Under way, waiting or made fast, whatever takes the most of each hour."""
    line: Line = [_label("way")]
    for hour in view.hours:
        sign = sign_of(hour)
        line.append(Run(sign * cells, "accent" if sign != FAST else "muted"))
    away, wait = (sum(hour[key] for hour in view.hours) for key in ("underway_h", "waiting_h"))
    told = f"{away:5.1f} h" if wait < 0.05 else f" {away:.1f}+{wait:.1f} h"
    return [[*line, Run(told if away + wait >= 0.05 else "")]]


def sign_of(hour: Row) -> str:
    """What an hour is mostly spent with."""
    away, wait = hour["underway_h"], hour["waiting_h"]
    if max(away, wait) < 0.05:
        return FAST
    return UNDERWAY if away >= wait else WAITING


def _flows(view: HoursView, cells: int) -> list[Line]:
    """The strips on one scale; what is nowhere is left out, unless one would look for it."""
    most = max((hour[f"{key}_kwh"] for hour in view.hours for _, key, _ in FLOWS), default=0.0)
    rows = []
    for name, key, part in FLOWS:
        values = [hour[f"{key}_kwh"] for hour in view.hours]
        if name in ALWAYS or sum(values) > 5e-4:
            bars = "".join(level(value, most) * cells for value in values)
            total = words.figure(view.day[f"{key}_kwh"], 2)
            rows.append([_label(name), Run(bars, part), Run(f"{total:>6} kWh")])
    return rows


def level(value: float, most: float) -> str:
    """A block for a share of the most; next to nothing still shows."""
    if value <= 5e-4 or most <= 0:
        return " "
    return LEVELS[max(1, min(8, round(8 * value / most)))]


def _charges(view: HoursView) -> list[float]:
    return [hour["charge_kwh"] for hour in view.hours]


def _floors(view: HoursView) -> list[float]:
    return [hour["floor_kwh"] for hour in view.hours]


def _charge_words(view: HoursView, width: int) -> Line:
    day, full = view.day, view.capacity_kwh
    start, low, evening, end, floor = (
        words.percent_words(day[key], full)
        for key in ("charge_start_kwh", "charge_low_kwh", "charge_evening_kwh", "charge_end_kwh", "floor_kwh")
    )
    text = f"{start} → ▾ {low} {_lowest(view)}, evening {evening}, next {end}, ╌ floor {floor}"
    return [_label("charge", "bold"), Run(words.cut(text, width - LABEL))]


def _lowest(view: HoursView) -> str:
    """When the charge is lowest."""
    charges = _charges(view)
    if not charges or view.day["charge_start_kwh"] <= min(charges) + 1e-9:
        return "then"
    return f"at {words.clock(view.hours[charges.index(min(charges))]['ends_utc'], view.zone)}"


def _warmth(view: HoursView, cells: int) -> list[Line]:
    """Cabin air as each hour ends with its setpoint while warmth is asked for, and the air outside."""

    def shown(celsius: float | None) -> str:
        return words.degrees(celsius, view.units)

    cabin = [shown(hour["cabin_c"]) + ("!" if cold(hour) else "") for hour in view.hours]
    asked = [shown(hour["setpoint_c"]) if hour["asked"] else words.NONE for hour in view.hours]
    outside = [shown(hour["outside_c"]) for hour in view.hours]
    unit = view.units.temperature
    low = view.day["cabin_low_c"]
    end = "" if low is None else f"low {shown(low)}"
    rows = [(f"cabin {unit}", cabin, end, "bold"), ("air asked", asked, "", "muted"), ("outside", outside, "", "muted")]
    room = 1 + max(len(text) for _, texts, _, _ in rows for text in texts or [""])
    return [
        [_label(name, part), Run(f"{_spaced(texts, cells, room):<{cells * len(view.hours)}}"), Run(f"  {end}")]
        for name, texts, end, part in rows
    ]


def cold(hour: Row) -> bool:
    """Whether warmth that is asked for is not there."""
    return bool(hour["asked"] and hour["cabin_c"] < hour["setpoint_c"] - COLD_K)


def _care(view: HoursView, width: int) -> list[Line]:
    """The cautions that this day leans on, by name."""
    names = [words.caution_words(code) for code in view.day["cautions"]]
    return [[Run(words.cut(f"! {', '.join(names)} (i reads them)", width), "care")]] if names else []


COLUMNS = (("sun", "solar_kwh"), ("shore", "shore_kwh"), ("motor", "propulsion_kwh"), ("hotel", "hotel_kwh"),
           ("heat", "heating_kwh"), ("loss", "loss_kwh"), ("spilt", "spilled_kwh"))  # fmt: skip


def table(view: HoursView) -> list[Line]:
    """Every hour in figures: kWh in the hour, charge and temperatures as it ends, their sums last."""
    unit = view.units.temperature
    names = "".join(f"{name:>6}" for name, _ in COLUMNS)
    lines: list[Line] = [[Run(f"from  kWh{names[3:]}     %  {unit} asked  out", "bold")]]
    for clock, hour in zip(view.clocks(), view.hours, strict=True):
        lines.append([Run(f"{clock} {sign_of(hour)}  ", "muted"), Run(_figures(view, hour))])
    sums = "".join(f"{view.day[key]:6.2f}" for _, key in COLUMNS)
    return [*lines, [Run("sum   ", "bold"), Run(sums, "bold")]]


def _figures(view: HoursView, hour: Row) -> str:
    flows = "".join(f"{hour[key]:6.2f}" if hour[key] > 5e-3 else f"{words.NONE:>6}" for _, key in COLUMNS)
    warm = [words.degrees(hour[key], view.units, 1) for key in ("cabin_c", "setpoint_c", "outside_c")]
    warm[1] = warm[1] if hour["asked"] else words.NONE
    flag = "!" if cold(hour) else " "
    percent = words.percent_words(hour["charge_kwh"], view.capacity_kwh)
    return f"{flows} {percent:>5}{warm[0]:>5}{flag}{warm[1]:>5}{warm[2]:>5}"
