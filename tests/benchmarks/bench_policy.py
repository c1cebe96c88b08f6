"""The policy's way back from the horizon on a large made-up river: ``python -m tests.benchmarks.bench_policy``.

The instance, in full: 120 moorings 3 km apart in a row and the destination at their end; 20 kWh of battery on 61
levels, a floor of 4 kWh, reserves of 3.0, 2.2 and 1.4 kWh for the voyage's step and the two below it, a plug at every
fifteenth mooring used by the rule only. Each morning from each mooring 30 actions: to each of the next 9 moorings at
three paces (1.2, 1.5 and 1.8 m/s, 95 W/(m/s)^3; held if the poor day's evening keeps floor and reserve) and staying at
three steps. The sun of a day is 5 + 2 sin(day / 9) kWh times a factor of the node, X factors evenly from 0.15 to 1.85,
less 4 % an hour under way; 0.5 kWh of hotel to the evening; nights take 0.9, 0.6 and 0.4 kWh. The poor day of class y
has the factor 0.15 + 0.1 y. Chances of nodes given the class, and of tomorrow's class given the node, fall as
exp(-4 d^2) with the distance d of their places between nought and one. Never costs 20 days.

The horizon of DESIGN is the days of the one-sky plan and 20; a longer one is shown beside it.
"""

import os
import sys
import time
from collections.abc import Callable

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tests.benchmarks.measure import row
from voyager.planner.bands import bands_of
from voyager.planner.decide import decide, evening_decide
from voyager.planner.policy import LEVELS, choose, solve
from voyager.planner.problem import Evening, Floats, Morning, Problem, Refuge

TOP, FLOOR, RESERVE, NIGHT = 20.0, 4.0, np.asarray([3.0, 2.2, 1.4]), np.asarray([0.9, 0.6, 0.4])
REACH, PACES_MPS, KM, DRAG = 9, np.asarray([1.2, 1.5, 1.8]), 3.0, 95.0
PLUG_EVERY, PLUG_KWH = 15, 12.0
SECONDS, DECIDE_MS, BANDS_S = 1.0, 2.5, 0.25
MEMBERS, ROWS = 1000, 2000


def instance(days: int = 80, stops: int = 120, classes: int = 5, nodes: int = 15, reach: int = REACH) -> Problem:
    """The river of the module's text."""
    factor = np.linspace(0.15, 1.85, nodes) if nodes > 1 else np.ones(1)
    poor = 0.15 + 0.1 * np.arange(classes)
    count = stops + 1
    return Problem(
        tuple(_morning(day, count, factor, poor, reach) for day in range(days)),
        tuple(_refuge(day, count, factor, poor) for day in range(days)),
        tuple(_evening(count, nodes) for _ in range(days)),
        count, count - 1, TOP, 0, False, 20.0,
        _rows(classes, nodes)[None], _rows(nodes, classes)[None], np.full(classes, 1 / classes),
    )  # fmt: skip


def _rows(many: int, few: int) -> Floats:
    """Chances (many, few) that lean to the like place, rows summing to one."""
    apart = np.linspace(0, 1, many)[:, None] - np.linspace(0, 1, few)
    weight = np.exp(-4 * apart**2)
    return np.asarray(weight / weight.sum(axis=1, keepdims=True))


def _sun_kwh(day: int) -> float:
    return 5.0 + 2.0 * float(np.sin(day / 9))


def _morning(day: int, count: int, factor: Floats, poor: Floats, reach: int) -> Morning:
    start, ahead, pace = (a.ravel() for a in np.meshgrid(np.arange(count - 1), np.arange(1, reach + 1), np.arange(3),
                                                         indexing="ij"))  # fmt: skip
    keep = start + ahead < count
    start, ahead, pace = start[keep], ahead[keep], pace[keep]
    hours = ahead * KM * 1e3 / PACES_MPS[pace] / 3600
    kwh = DRAG * PACES_MPS[pace] ** 3 * hours / 1e3
    rest, steps = np.repeat(np.arange(count), 3), np.tile(np.arange(3), count)
    zero = np.zeros(len(rest))
    start, end = np.append(start, rest), np.append(start + ahead, rest)
    step, pace = np.append(np.zeros(len(hours), dtype=int), steps), np.append(pace, zero.astype(int) - 1)
    hours, kwh = np.append(hours, zero), np.append(kwh, zero)
    order = np.argsort(start, kind="stable")
    start, end, step, pace, hours, kwh = (a[order] for a in (start, end, step, pace, hours, kwh))
    sun = _sun_kwh(day) * (1 - 0.04 * hours)
    add, poor_add = (f[:, None] * sun - kwh - 0.5 for f in (factor, poor))
    cap = TOP - 0.3 - 0.02 * np.arange(len(factor))[:, None] + np.minimum(0.0, 1 - kwh)
    plug = (end % PLUG_EVERY == 0) & (pace >= 0)
    need = FLOOR + np.where(plug, 0.0, RESERVE[step])
    least = np.maximum(need - poor_add, FLOOR + np.maximum(0.0, -poor_add))
    arrives = (end == count - 1) & (pace >= 0)
    cost = np.where(arrives, hours / 24, 1.0) + 0.003 * hours + 1e-4 * kwh + 0.5 * step
    whole = np.zeros(len(start), dtype=np.int64)
    poor_cap = np.broadcast_to(cap[:1], poor_add.shape)
    return Morning(
        start, end, whole, whole.astype(bool), step, pace, cost, arrives, np.round(add, 4), np.round(cap, 4), poor_add,
        poor_cap, poor_add, poor_cap, np.round(least, 4), np.full(len(start), np.inf), hours, hours, kwh,
    )  # fmt: skip


def _refuge(day: int, count: int, factor: Floats, poor: Floats) -> Refuge:
    at = np.arange(count)
    end = np.where(at % PLUG_EVERY == 0, -1, np.minimum(at + PLUG_EVERY - at % PLUG_EVERY, count - 1))
    km = np.abs(end - at) * KM
    end = np.where(km > REACH * KM, -1, end)
    kwh = DRAG * PACES_MPS[0] ** 2 * km / 3600
    sun = _sun_kwh(day) * np.ones(count)
    stay, go = factor[:, None] * sun - 0.3, factor[:, None] * sun - 0.3 - kwh
    low = poor[:, None] * sun - 0.3 - kwh
    numbers = (low, low + TOP, low, low + TOP)
    return Refuge(
        end, 1 + 0.003 * km, np.ones(count), go, np.full(go.shape, TOP), np.maximum(0, -low), FLOOR - low, stay,
        np.full(stay.shape, TOP), numbers, numbers, at,
    )  # fmt: skip


def _evening(count: int, nodes: int) -> Evening:
    night = np.broadcast_to(-NIGHT, (nodes, count, 3))
    plug = np.arange(count) % PLUG_EVERY == 0
    shore = np.full((nodes, count), PLUG_KWH)
    hold = np.broadcast_to(FLOOR + RESERVE, (count, 3))
    return Evening(hold, night, np.full(night.shape, TOP), plug, shore, np.full(shore.shape, TOP), 0.01)


def seconds(problem: Problem, times: int = 3, levels: int = LEVELS) -> float:
    """Least processor time of some runs."""
    return least_s(lambda: solve(problem, levels), times)


def least_s(work: Callable[[], object], times: int = 3) -> float:
    """Least processor time of some runs of anything."""
    runs = []
    for _ in range(times):
        started = time.process_time()
        work()
        runs.append(time.process_time() - started)
    return min(runs)


def days_of_one_sky() -> int:
    """Days that the plan of one class and one node takes down the river from 80 % of the battery."""
    policy = solve(instance(classes=1, nodes=1))
    day, stop, charge = 0, 0, 0.8 * TOP
    while stop != policy.problem.destination and day < policy.problem.days:
        acts, choice = policy.problem.mornings[day], choose(policy, day, stop, charge)
        if choice.action is None:
            raise SystemExit(f"nothing is held at mooring {stop} on day {day}")
        a = choice.action
        stop, charge = int(acts.end[a]), min(charge + float(acts.add[0, a]), float(acts.cap[0, a]))
        step, plugged = evening_decide(policy, day, np.asarray([stop]), np.asarray([charge]))
        evening, day = policy.problem.evenings[day], day + 1
        charge = min(TOP, charge + (PLUG_KWH if plugged[0] else float(evening.add[0, stop, step[0]])))
    return day


def growth(name: str, sizes: list[dict[str, int]]) -> None:
    """Time at 1, 2, 4 and 8 times one size, and the exponent of a power through them."""
    took = [seconds(instance(**size), 2) for size in sizes]
    slope = np.polyfit(np.log([1, 2, 4, 8]), np.log(took), 1)[0]
    print(f"{name:<58} " + "  ".join(f"{t:.3f}" for t in took) + f" s, exponent {slope:.2f}")


def show(what: str, problem: Problem) -> None:
    """One line for one instance."""
    size = f"{problem.days} days, {problem.classes} classes, {problem.nodes} nodes"
    print(row(f"{what}: {size}", seconds(problem), "s", SECONDS))


def show_reading() -> None:
    """Decisions of 1,000 members in one morning, and the card's bands."""
    policy, rng = solve(instance(days=40, stops=60, nodes=8)), np.random.default_rng(0)
    seen = rng.random(MEMBERS), rng.integers(0, 5, MEMBERS), rng.integers(0, 60, MEMBERS), rng.random(MEMBERS) * TOP
    rows = rng.integers(0, 40, ROWS), rng.integers(0, 60, ROWS), rng.integers(0, 5, ROWS)
    print(row(f"{MEMBERS} members decide", 1e3 * least_s(lambda: decide(policy, 20, *seen)), "ms", DECIDE_MS))
    print(row(f"bands of {ROWS} rows over 40 days", least_s(lambda: bands_of(policy, *rows)), "s", BANDS_S))


def main() -> None:
    """Measure and print; ``quick`` leaves the growth out."""
    whole, need = instance(), days_of_one_sky() + 20
    print(f"{whole.stops} stops, {len(whole.mornings[0].start)} actions a day, processor time of one core")
    show("days of the one-sky plan and 20", instance(days=need))
    show("the same, the nodes of real voyages", instance(days=need, nodes=8))
    show("longer", whole)
    show("longer, the nodes of real voyages", instance(nodes=8))
    show("longer, one sky", instance(classes=1, nodes=1))
    show_reading()
    if "quick" in sys.argv[1:]:
        return
    times = (1, 2, 4, 8)
    growth("days 10, 20, 40, 80", [{"days": 10 * k, "stops": 60} for k in times])
    growth("moorings 15, 30, 60, 120", [{"days": 20, "stops": 15 * k} for k in times])
    growth("actions a mooring 6, 12, 24, 48 and staying", [{"days": 20, "stops": 60, "reach": 2 * k} for k in times])


if __name__ == "__main__":
    main()
