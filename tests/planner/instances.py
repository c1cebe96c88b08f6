"""Small decision problems in whole kilowatt-hours, where linear interpolation between charge levels is exact.

Costs are whole parts of 64, so that sums are exact too and near ties are ties.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from hypothesis import strategies as st

from voyager.planner.problem import Evening, Morning, Problem, Refuge

STEP_KWH = 1.0
PARTS = 64
NOTHING = 10_000
MOST_STOPS, MOST_DAYS, MOST_PACES, MOST_STEPS, MOST_KWH = 6, 6, 3, 3, 10
Row = dict[str, Any]
PLAIN = (
    "start", "end", "days", "lands", "step", "pace", "cost", "arrives", "below_kwh", "arrive_h", "hours", "kwh",
)  # fmt: skip
BY_SKY = ("add", "cap", "poor_add", "poor_cap", "poor_low_add", "poor_low_cap", "from_kwh")
FITS = (0.25, 0.5, 1.0, 1.0)
INTS, BOOLS = ("start", "end", "days", "step", "pace"), ("lands", "arrives")


def levels(problem: Problem) -> int:
    """Charge levels that fall on every whole kilowatt-hour from empty to the top."""
    return round(problem.top_kwh / STEP_KWH) + 1


def morning(rows: list[Row]) -> Morning:
    """Actions sorted by start as the policy wants them; what a row leaves out is nought, its ``fit`` one."""
    rows = sorted(rows, key=lambda row: row["start"])
    kinds = dict.fromkeys(INTS, np.int64) | dict.fromkeys(BOOLS, np.bool_)
    arrays = {name: np.asarray([row.get(name, 0) for row in rows], dtype=kinds.get(name, float)) for name in PLAIN}
    for name in BY_SKY:
        columns = np.broadcast_arrays(*(np.atleast_1d(np.asarray(row.get(name, 0.0), dtype=float)) for row in rows))
        arrays[name] = np.stack(columns, axis=1)
    return Morning(**arrays, fit=np.asarray([row.get("fit", 1.0) for row in rows]))


@dataclass(frozen=True)
class Size:
    """What an instance is made of: comfort steps from the voyage's on, ``top`` kWh, Y classes and X nodes, a sea."""

    steps: tuple[int, int]
    top: int
    classes: int = 1
    nodes: int = 1
    sea: bool = False


@st.composite
def _action(draw: st.DrawFn, start: int, end: int, pace: int, size: Size) -> Row:
    """Going or staying (pace -1), held from some charge on, at times only below another."""
    thresholds = st.sampled_from([0, 1, 2, 3, 5, NOTHING])
    return {
        "start": start,
        "end": end,
        "pace": pace,
        "step": draw(st.integers(*size.steps)),
        "cost": draw(st.integers(0, 2 * PARTS)) / PARTS,
        "add": [draw(st.integers(-5, 3)) for _ in range(size.nodes)],
        "cap": [draw(st.integers(0, size.top)) for _ in range(size.nodes)],
        "from_kwh": [draw(thresholds) for _ in range(size.classes)],
        "below_kwh": draw(st.sampled_from([NOTHING, NOTHING, size.top - 1])),
        "fit": draw(st.sampled_from(FITS)) if size.sea and pace >= 0 else 1.0,
    }


@st.composite
def _morning(draw: st.DrawFn, stops: int, day: int, days: int, size: Size) -> Morning:
    rows = []
    for start in range(stops):
        rows += [draw(_action(start, start, -1, size)) for _ in range(draw(st.integers(0, 2)))]
        for end in range(start + 1, min(stops, start + 3)):
            for pace in range(draw(st.integers(0, MOST_PACES))):
                row = draw(_action(start, end, pace, size))
                if day + 1 < days and draw(st.integers(0, 2)) == 0:
                    row |= {"days": 1, "lands": draw(st.integers(0, 1))}
                rows.append(row)
    if not rows:
        rows = [draw(_action(0, 0, -1, size))]
    return morning(rows)


@st.composite
def _numbers(draw: st.DrawFn, low: int, high: int, shape: tuple[int, ...]) -> np.ndarray:
    count = int(np.prod(shape))
    return np.asarray(draw(st.lists(st.integers(low, high), min_size=count, max_size=count)), float).reshape(shape)


@st.composite
def _refuge(draw: st.DrawFn, stops: int, size: Size) -> Refuge:
    classes, nodes, top = (size.classes, stops), (size.nodes, stops), size.top
    zeros = np.zeros(classes)
    fits = FITS if size.sea else (1.0,)
    end = np.asarray([draw(st.integers(-1, stops - 1)) for _ in range(stops)], dtype=np.int64)
    return Refuge(
        end,
        draw(_numbers(0, PARTS, (stops,))) / PARTS,
        draw(_numbers(0, PARTS, (stops,))) / PARTS,
        draw(_numbers(-4, 1, nodes)),
        draw(_numbers(0, top, nodes)),
        draw(_numbers(0, 3, classes)),
        draw(_numbers(1, 6, classes)),
        draw(_numbers(-2, 2, nodes)),
        draw(_numbers(0, top, nodes)),
        (zeros, zeros, zeros, zeros),
        (zeros, zeros, zeros, zeros),
        np.asarray([min(t + draw(st.integers(0, 1)), stops - 1) for t in range(stops)], dtype=np.int64),
        np.asarray([draw(st.sampled_from(fits)) for _ in range(stops)]),
    )


@st.composite
def _evening(draw: st.DrawFn, stops: int, steps: int, size: Size) -> Evening:
    """Warmer steps ask for more."""
    top, maps = size.top, (size.nodes, stops, steps)
    hold = np.sort(draw(_numbers(0, top + 2, (stops, steps))), axis=1)[:, ::-1]
    return Evening(
        np.ascontiguousarray(hold),
        draw(_numbers(-4, 1, maps)),
        draw(_numbers(0, top, maps)),
        np.asarray([draw(st.booleans()) for _ in range(stops)]),
        draw(_numbers(0, 6, maps[:2])),
        draw(_numbers(top - 3, top, maps[:2])),
        draw(st.integers(0, PARTS)) / PARTS,
    )


@st.composite
def _chances(draw: st.DrawFn, shape: tuple[int, ...]) -> np.ndarray:
    """Some of them nought, none rare: a few thousand draws see them all."""
    weight = draw(_numbers(0, 4, shape))
    weight[..., 0] += weight.sum(axis=-1) == 0
    return np.asarray(weight / weight.sum(axis=-1, keepdims=True))


@st.composite
def problems(
    draw: st.DrawFn,
    most_days: int = MOST_DAYS,
    most_stops: int = MOST_STOPS,
    classes: int = 1,
    nodes: int = 1,
    sea: bool = False,
) -> Problem:
    """Up to 6 stops, 6 days, 3 paces and 3 steps, with plugs, refuges, nights asked for and passages of two days."""
    stops, days = draw(st.integers(2, most_stops)), draw(st.integers(1, most_days))
    steps, top = draw(st.integers(1, MOST_STEPS)), draw(st.integers(4, MOST_KWH))
    wanted = draw(st.integers(0, steps - 1))
    size = Size((wanted, steps - 1), top, classes, nodes, sea)
    forced = draw(st.integers(-1, stops - 2))
    mornings = [draw(_morning(stops, day, days, size)) for day in range(days)]
    return Problem(
        tuple(_asked(one, forced) if draw(st.booleans()) else one for one in mornings),
        tuple(draw(_refuge(stops, size)) for _ in range(days)),
        tuple(draw(_evening(stops, steps, size)) for _ in range(days)),
        stops,
        stops - 1,
        float(top),
        wanted,
        draw(st.booleans()),
        draw(st.integers(2, 40)) / 2,
        draw(_chances((days, classes, nodes))),
        draw(_chances((days, nodes, classes))),
        draw(_chances((classes,))),
    )


def rows_of(one: Morning) -> list[Row]:
    """A morning taken apart into its actions."""
    plain = [{name: getattr(one, name)[k] for name in (*PLAIN, "fit")} for k in range(len(one.start))]
    return [row | {name: getattr(one, name)[:, k] for name in BY_SKY} for k, row in enumerate(plain)]


def _asked(one: Morning, stop: int) -> Morning:
    """A night asked for at ``stop``: it can only be left by staying on, which ends at the stop behind it."""
    kept = [row for row in rows_of(one) if row["start"] != stop or row["pace"] < 0]
    return morning([row | {"end": stop + 1} if row["start"] == stop else row for row in kept]) if kept else one


def evening_step(evening: Evening, stop: int, charge_kwh: float, wanted: int) -> tuple[int, bool]:
    """The rule of the evening for one stop: (step, plugged in)."""
    hold = evening.hold_kwh[stop]
    if charge_kwh >= hold[wanted] - 1e-9:
        return wanted, False
    if evening.plug[stop]:
        return wanted, True
    for step in range(wanted, len(hold)):
        if charge_kwh >= hold[step] - 1e-9:
            return step, False
    return len(hold) - 1, False
