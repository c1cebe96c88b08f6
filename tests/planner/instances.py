"""Small decision problems in whole kilowatt-hours, where linear interpolation between charge levels is exact.

Costs are whole parts of 64, so that sums are exact too and near ties are ties.
"""

import numpy as np
from hypothesis import strategies as st

from voyager.planner.problem import Evening, Morning, Problem, Refuge

STEP_KWH = 1.0
PARTS = 64
NOTHING = 10_000
MOST_STOPS, MOST_DAYS, MOST_PACES, MOST_STEPS, MOST_KWH = 6, 6, 3, 3, 10
FIELDS = (
    "start", "end", "days", "lands", "step", "pace", "cost", "arrives", "add", "cap", "poor_add", "poor_cap",
    "poor_low_add", "poor_low_cap", "from_kwh", "below_kwh", "arrive_h", "hours", "kwh",
)  # fmt: skip
BY_SKY = ("add", "cap", "poor_add", "poor_cap", "poor_low_add", "poor_low_cap", "from_kwh")
INTS, BOOLS = ("start", "end", "days", "step", "pace"), ("lands", "arrives")


def levels(problem: Problem) -> int:
    """Charge levels that fall on every whole kilowatt-hour from empty to the top."""
    return round(problem.top_kwh / STEP_KWH) + 1


def morning(rows: list[dict[str, float]]) -> Morning:
    """Actions sorted by start as the policy wants them; what a row leaves out is nought."""
    rows = sorted(rows, key=lambda row: row["start"])
    kinds = dict.fromkeys(INTS, np.int64) | dict.fromkeys(BOOLS, np.bool_)
    arrays = {name: np.asarray([row.get(name, 0) for row in rows], dtype=kinds.get(name, float)) for name in FIELDS}
    return Morning(**arrays | {name: arrays[name][None] for name in BY_SKY})


@st.composite
def _action(draw: st.DrawFn, start: int, end: int, pace: int, steps: tuple[int, int], top: int) -> dict[str, float]:
    """Going or staying (pace -1), held from some charge on, at times only below another."""
    add = draw(st.integers(-5, 3))
    return {
        "start": start,
        "end": end,
        "pace": pace,
        "step": draw(st.integers(*steps)),
        "cost": draw(st.integers(0, 2 * PARTS)) / PARTS,
        "add": add,
        "cap": draw(st.integers(0, top)),
        "from_kwh": draw(st.sampled_from([0, 1, 2, 3, 5, NOTHING])),
        "below_kwh": draw(st.sampled_from([NOTHING, NOTHING, top - 1])),
    }


@st.composite
def _morning(draw: st.DrawFn, stops: int, day: int, days: int, steps: tuple[int, int], top: int) -> Morning:
    rows = []
    for start in range(stops):
        rows += [draw(_action(start, start, -1, steps, top)) for _ in range(draw(st.integers(0, 2)))]
        for end in range(start + 1, min(stops, start + 3)):
            for pace in range(draw(st.integers(0, MOST_PACES))):
                row = draw(_action(start, end, pace, steps, top))
                if day + 1 < days and draw(st.integers(0, 2)) == 0:
                    row |= {"days": 1, "lands": draw(st.integers(0, 1))}
                rows.append(row)
    if not rows:
        rows = [draw(_action(0, 0, -1, steps, top))]
    return morning(rows)


@st.composite
def _numbers(draw: st.DrawFn, low: int, high: int, shape: tuple[int, ...]) -> np.ndarray:
    count = int(np.prod(shape))
    return np.asarray(draw(st.lists(st.integers(low, high), min_size=count, max_size=count)), float).reshape(shape)


@st.composite
def _refuge(draw: st.DrawFn, stops: int, top: int) -> Refuge:
    zeros = np.zeros((1, stops))
    end = np.asarray([draw(st.integers(-1, stops - 1)) for _ in range(stops)], dtype=np.int64)
    return Refuge(
        end,
        draw(_numbers(0, PARTS, (stops,))) / PARTS,
        draw(_numbers(0, PARTS, (stops,))) / PARTS,
        draw(_numbers(-4, 1, (1, stops))),
        draw(_numbers(0, top, (1, stops))),
        draw(_numbers(0, 3, (1, stops))),
        draw(_numbers(1, 6, (1, stops))),
        draw(_numbers(-2, 2, (1, stops))),
        draw(_numbers(0, top, (1, stops))),
        (zeros, zeros, zeros, zeros),
        (zeros, zeros, zeros, zeros),
        np.asarray([min(t + draw(st.integers(0, 1)), stops - 1) for t in range(stops)], dtype=np.int64),
    )


@st.composite
def _evening(draw: st.DrawFn, stops: int, steps: int, top: int) -> Evening:
    """Warmer steps ask for more."""
    hold = np.sort(draw(_numbers(0, top + 2, (stops, steps))), axis=1)[:, ::-1]
    return Evening(
        np.ascontiguousarray(hold),
        draw(_numbers(-4, 1, (1, stops, steps))),
        draw(_numbers(0, top, (1, stops, steps))),
        np.asarray([draw(st.booleans()) for _ in range(stops)]),
        draw(_numbers(0, 6, (1, stops))),
        draw(_numbers(top - 3, top, (1, stops))),
        draw(st.integers(0, PARTS)) / PARTS,
    )


@st.composite
def problems(draw: st.DrawFn, most_days: int = MOST_DAYS, most_stops: int = MOST_STOPS) -> Problem:
    """Up to 6 stops, 6 days, 3 paces and 3 steps, with plugs, refuges, nights asked for and passages of two days."""
    stops, days = draw(st.integers(2, most_stops)), draw(st.integers(1, most_days))
    steps, top = draw(st.integers(1, MOST_STEPS)), draw(st.integers(4, MOST_KWH))
    wanted = draw(st.integers(0, steps - 1))
    forced = draw(st.integers(-1, stops - 2))
    mornings = [draw(_morning(stops, day, days, (wanted, steps - 1), top)) for day in range(days)]
    return Problem(
        tuple(_asked(one, forced) if draw(st.booleans()) else one for one in mornings),
        tuple(draw(_refuge(stops, top)) for _ in range(days)),
        tuple(draw(_evening(stops, steps, top)) for _ in range(days)),
        stops,
        stops - 1,
        float(top),
        wanted,
        draw(st.booleans()),
        draw(st.integers(2, 40)) / 2,
    )


def _asked(one: Morning, stop: int) -> Morning:
    """A night asked for at ``stop``: it can only be left by staying on, which ends at the stop behind it."""
    rows = [{name: np.atleast_2d(getattr(one, name))[0, k] for name in FIELDS} for k in range(len(one.start))]
    kept = [row for row in rows if row["start"] != stop or row["pace"] < 0]
    return morning([row | {"end": stop + 1} if row["start"] == stop else row for row in kept]) if kept else one
