"""Weather to panel power for many members: ``python -m tests.benchmarks.bench_panel_power [MEMBERS]``.

Ours: geometry, table and look-ups of all members. ModelChain: run for a few members on the same sunlit quarter-hours
and scaled to all of them, since a thousand runs take minutes. The bare pass multiplies two float64 arrays of the
same (member, day, hour, array). Bounds: DESIGN section 4.
"""

import sys
from collections.abc import Callable
from time import perf_counter
from typing import TypeVar

import numpy as np

from tests.benchmarks.measure import row
from tests.energy.modelchain import SubHours
from tests.energy.test_solar_pvlib import ARRAYS, DAYS, STARTS, by_month
from voyager.boat.arrays import PanelArray
from voyager.energy.solar import Mount, look_up, member_table, panel_table
from voyager.sky.hours import day_shape
from voyager.sky.sun import sun_times

T = TypeVar("T")
SAMPLE = 5
OVER_CHAIN, PASSES = 300.0, 3.0


def timed(work: Callable[[], T], times: int = 5) -> tuple[float, T]:
    """Least of several runs in seconds, and the result."""
    best, result = np.inf, work()
    for _ in range(times):
        start = perf_counter()
        result = work()
        best = min(best, perf_counter() - start)
    return best, result


def show_members(members: int) -> None:
    """The two ratios and the equality behind them."""
    rng = np.random.default_rng(9)
    clearness, change = rng.uniform(0.02, 0.8, (members, DAYS)), rng.normal(0, 3, (members, DAYS))
    air, wind = np.full((DAYS, 1, 25), 8.0), np.full((DAYS, 1), 4.0)
    heading = 35.0

    def build() -> tuple[object, object]:
        shape = day_shape(STARTS, np.full(DAYS, 24), 53.0, 5.0)
        return shape, member_table(ARRAYS, shape, air_c=air, wind_mps=wind, mounts=[Mount(0, (heading,), False)])

    table_s, (shape, table) = timed(build, 3)
    look_s, ours = timed(lambda: look_up(table, np.arange(DAYS), 0, clearness, change))
    hours = SubHours(STARTS, shape, 53.0, 5.0)

    def chain(member: int) -> np.ndarray:
        warmed = air[:, 0] + change[member][:, None]
        return hours.power_w(ARRAYS, heading, clearness[member], warmed, wind[:, 0])

    chain(0)
    start = perf_counter()
    theirs = [chain(member) for member in range(SAMPLE)]
    chain_s = (perf_counter() - start) / SAMPLE * members
    apart = [np.abs(by_month(ours[m]) / by_month(t) - 1) for m, t in enumerate(theirs)]
    print(f"{members} members x {DAYS} days x {len(ARRAYS)} arrays: table {table_s:.3f} s, look-ups {look_s:.4f} s;")
    print(f"ModelChain {chain_s:.1f} s ({SAMPLE} members, scaled). Most that a month differs, by array:")
    print("  " + ", ".join(f"{a.name} {x:.0e}" for a, x in zip(ARRAYS, np.max(apart, axis=(0, 1)), strict=True)))
    print("  (above a degree of sun and without a controller's limit below 1e-4: a test of the suite)")
    for what, seconds in (("table and look-ups", table_s + look_s), ("look-ups alone", look_s)):
        times = chain_s / seconds
        verdict = "holds" if times >= OVER_CHAIN else "MISSED"
        print(f"{'ModelChain / ' + what:<58} {times:8.0f} x    at least {OVER_CHAIN:.0f}  {verdict}")
    print(row("look-ups / bare float64 pass", look_s / bare_s(ours.shape, np.float64), "x", PASSES))
    single = look_s / bare_s(ours.shape, np.float32)
    print(f"  (the table and what is read are float32; over a bare float32 pass: {single:.1f} x)")


def bare_s(shape: tuple[int, ...], kind: type) -> float:
    """Time of one product of two arrays into a new one."""
    one, other = (np.random.default_rng(n).random(shape).astype(kind) for n in range(2))
    return timed(lambda: one * other)[0]


def show_plan() -> None:
    """The tables that a plan of 70 days needs: 8 stations, 70 mounts, 2 arrays, 2 kinds of sky."""
    days, stations, kinds = 70, 8, 2
    rng = np.random.default_rng(1)
    lat, lon = np.linspace(50, 58, stations), np.linspace(-8, 20, stations)
    starts = np.datetime64("2026-10-01T06:00:00") + np.arange(days + 1) * np.timedelta64(24, "h")
    dates = [d.item() for d in starts[:-1].astype("datetime64[D]")]
    times_s, _ = timed(lambda: sun_times(lat, lon, dates))
    shape_s, shape = timed(lambda: day_shape(starts, np.full(days, 24), lat, lon))
    headings = rng.uniform(0, 360, 60)
    mounts = [Mount(q % stations, (float(h),), False) for q, h in enumerate(headings[:30])]
    mounts += [Mount(q % stations, (float(h), float(h) + 180), True) for q, h in enumerate(headings[30:])]
    mounts += [Mount(q % stations, tuple(10.0 * np.arange(36)), True) for q in range(10)]
    sky = {
        "clearness": rng.uniform(0.1, 0.6, (days, stations, kinds)),
        "air_c": np.full((days, stations, 25, kinds), 8.0),
        "wind_mps": np.full((days, stations, kinds), 4.0),
    }
    arrays = [
        PanelArray("roof", 410, 9, moored_tilt_deg=30, moored_azimuth_deg=90, sunward=True),
        PanelArray("side", 180, 4, tilt_deg=10, azimuth_deg=90, controller_max_w=500),
    ]
    table_s, _ = timed(lambda: panel_table(arrays, shape, mounts=mounts, worst=[False, True], **sky))
    print(f"{days} days, {stations} stations, {len(mounts)} mounts, 2 arrays, {kinds} kinds of sky:")
    print(row("  sun times", times_s * 1000, "ms", 30))
    print(row("  day shape", shape_s * 1000, "ms", 60))
    print(row("  panel table", table_s * 1000, "ms", 250))


def main() -> None:
    """Measure and print."""
    show_members(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
    show_plan()


if __name__ == "__main__":
    main()
