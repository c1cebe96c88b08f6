"""Edits of every part of a sketch that bears on a plan: places, legs, tides, stoppages, travel, sky, forecast, boat."""

from collections.abc import Callable
from copy import deepcopy
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np

Dice = np.random.Generator
Data = dict[str, Any]


def edited(data: Data, dice: Dice) -> tuple[str, Data]:
    """Another sketch, one part of which was edited, and the name of that part."""
    made = deepcopy(data)
    name = str(dice.choice(list(EDITS)))
    EDITS[name](made, dice)
    return name, made


def _one(rows: list[Any], dice: Dice) -> Any:
    return rows[int(dice.integers(len(rows)))]


def _departs(data: Data) -> date:
    value = data["voyage"]["departs"]
    return date.fromisoformat(value) if isinstance(value, str) else value


def _day(data: Data, dice: Dice, within: int = 12) -> date:
    return _departs(data) + timedelta(days=int(dice.integers(within)))


def _put(*choices: tuple[str, tuple[Any, ...]]) -> Callable[[Any, Dice], None]:
    """Put one of the keys to one of its values; None takes it away."""

    def put(row: Any, dice: Dice) -> None:
        key, values = choices[int(dice.integers(len(choices)))]
        value = values[int(dice.integers(len(values)))]
        row.pop(key, None)
        if value is not None:
            row[key] = value

    return put


_place = _put(
    ("shore_kw", (None, 1.5, 3.6)), ("heading_deg", (None, 20, 110)), ("shade_percent", (None, 30)),
    ("height_m", (None, 120)), ("moor", (None, True)), ("shore_price_per_kwh", (None, 0.4)),
)  # fmt: skip
_leg = _put(
    ("current_kmh", (None, -0.5, 0.6)), ("shade_percent", (None, 40)), ("depth_m", (None, 1.6)),
    ("limit_kmh", (None, 6)), ("lock_min", (None, 35)), ("bridges", (None, 2)), ("tunnel_km", (None, 0.8)),
    ("wind_kmh", (None, 12, 26)), ("moor_anywhere", (None, True, False)), ("fit_to_go", (None, 0.4)),
    ("wind_max_kmh", (None, 22)),
)  # fmt: skip
_travel = _put(
    ("travel", (None, "daylight", ["09:00", "15:00"])), ("day_starts", (None, "06:30", "09:00")),
    ("heating_reserve_nights", (None, 2)), ("forecast_skill", (None, 0.4)), ("aim", (None, "soonest", "calmest")),
    ("shore_power", (None, "any", "never")), ("sky", (None, "good", "cautious")),
)  # fmt: skip
_hull = _put(("underway_extra_w", (None, 90)), ("sea_margin_percent", (None, 35)), ("motor_max_w", (None, 5000)))
_battery = _put(("capacity_kwh", (14, 26, 40)), ("reserve_percent", (None, 10, 25)), ("ceiling_percent", (None, 90)))
_array = _put(
    ("panels", (3, 6, 9)), ("tilt_deg", (None, 10)), ("moored_tilt_deg", (None, 40)), ("loss_percent", (None, 20)),
)  # fmt: skip
_aboard = _put(("ua_w_per_k", (50, 110)), ("people", (None, 1, 4)), ("window_m2", (None, 5)))


def _moved(data: Data, dice: Dice) -> None:
    """A place a little to the side."""
    place = _one(data["voyage"]["place"], dice)
    place["at"] = [round(float(part) + float(dice.uniform(-0.01, 0.01)), 4) for part in place["at"]]


def _tide(data: Data, dice: Dice) -> None:
    leg, day = _one(data["voyage"]["leg"], dice), _day(data, dice)
    high = datetime(day.year, day.month, day.day, int(dice.integers(24)), tzinfo=UTC)
    leg["tide"] = {"high_water": high, "flood_kmh": round(float(dice.uniform(-2, 2)), 1)}


def _stopped(data: Data, dice: Dice) -> None:
    leg, first = _one(data["voyage"]["leg"], dice), _day(data, dice, 20)
    leg["closed"] = [[first, first + timedelta(days=int(dice.integers(4)))]]


def _hours(data: Data, dice: Dice) -> None:
    leg = _one(data["voyage"]["leg"], dice)
    leg |= {"locks": 2, "open_hours": ["09:30", "16:00"], "closed_days": [str(dice.choice(["mon", "wed", "sun"]))]}


def _told(data: Data, dice: Dice) -> None:
    rows = {_day(data, dice, 5): None for _ in range(int(dice.integers(3)))}
    data["voyage"]["forecast"] = [
        {"date": day, "oktas": int(dice.integers(9)), "air_c": int(dice.integers(-2, 14)), "wind_kmh": 15}
        for day in rows
    ]


EDITS: dict[str, Callable[[Data, Dice], None]] = {
    "place": lambda data, dice: _place(_one(data["voyage"]["place"], dice), dice),
    "position": _moved,
    "leg": lambda data, dice: _leg(_one(data["voyage"]["leg"], dice), dice),
    "tide": _tide,
    "stoppage": _stopped,
    "hours": _hours,
    "travel": lambda data, dice: _travel(data["voyage"], dice),
    "forecast": _told,
    "hull": lambda data, dice: _hull(data["boat"]["hull"], dice),
    "battery": lambda data, dice: _battery(data["boat"]["battery"], dice),
    "array": lambda data, dice: _array(_one(data["boat"]["array"], dice), dice),
    "cabin": lambda data, dice: _aboard(data["boat"].setdefault("cabin", {}), dice),
}
