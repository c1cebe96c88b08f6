"""The policy against fixed lists, foresight and its own value: ``python -m tests.benchmarks.bench_rivals``.

Optional: voyage files (else every demo voyage), ``members=1000 seers=120 seed=1 parts=lists,seers,value``. Bounds:
DESIGN section 4. The instance is the voyage file and its boat as they stand, the built-in climate, the skies of the
seed; the policy is that of ``voyager plan``, five classes and eight nodes over the days of the one-sky plan and 20.
What the rivals may do is told in ``rivals``, ``foresight`` and ``chains`` beside this file.

Lists, over twice the policy's days: the mooring at or before each day's target at the slowest pace that gets there,
targets from an eightieth of the way to the whole of it or 120 km apart in steps of 2 %, and every sixth of these with
4, 8 and 12 rests put in evenly; the schedules of the three skies, with and without their days of waiting for the sea,
at their own paces and at the slowest, each with 0 to 20 rests in steps of two. Every list goes through the first 200
members; one that has gone below the floor there more often than the policy in all is out, the others go through all of
them, the fastest first, until no faster one as safe can be left.
"""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tests.benchmarks.chains import on_chain, on_skies, value_at
from tests.benchmarks.foresight import BARE, RESERVE, Seer, seers
from tests.benchmarks.measure import voyages
from tests.benchmarks.rivals import (
    SKIES,
    DayList,
    Outcome,
    Waters,
    arrival_days,
    by_list,
    even_days,
    fastest_as_safe,
    longer_waters,
    one_sky,
    one_sky_days,
    outcome,
    with_rests,
)
from voyager.files.voyage_file import load_voyage
from voyager.planner.many import Followed, follow_many
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.skies import skies_of, some
from voyager.sky.draws import Skies

SOONER_PERCENT, BEHIND_PERCENT, GAP_PERCENT = 15.0, 12.0, 3.0
HELD_BELOW_PERCENT, SPRING_BELOW_PERCENT = 1.0, 3.0
AUTUMN_MONTH = 10
SCREEN, MORE_MEAN_DAYS = 200, 0.5
FINENESS, MOST_KM, RESTS = 1.02, 120.0, range(0, 21, 2)
CHAIN_MEMBERS, CHAIN_SEEDS = 2000, (1, 2, 3)
Words = dict[str, str]


def lists_of(found: Outlook, here: Waters) -> Iterator[DayList]:
    """Every list that is tried."""
    km = found.frame.route.moorings[-1].km
    count = int(np.log(min(km, MOST_KM) / (km / 80)) / np.log(FINENESS))
    grid = km / 80 * FINENESS ** np.arange(count + 1)
    for number, each in enumerate(np.round(grid, 2)):
        even = even_days(here, float(each))
        yield from (with_rests(even, rests) for rests in ((0, 4, 8, 12) if number % 6 == 0 else (0,)))
    for sky in SKIES:
        one = one_sky(found.frame, sky, len(found.frame.days.dates))
        kinds = [one_sky_days(one, keep_sea=sea, own_pace=own) for sea in (True, False) for own in (True, False)]
        yield from (with_rests(days, rests) for days in kinds for rests in RESTS)


def against_lists(found: Outlook, policy: Outcome, members: int, seed: int) -> None:
    """The fastest list that is as safe as the policy over the same skies."""
    horizon = 2 * found.policy.problem.days
    here = longer_waters(found.frame, horizon)
    skies = skies_of(here.frame, members, seed, horizon)
    few, most = some(skies, 0, SCREEN), policy.below * members
    tried = list({days.items: days for days in lists_of(found, here)}.values())
    screened = [(by_list(here, days, few), days) for days in tried]
    left = [pair for pair in screened if pair[0].below * len(few.factor) <= most]
    whole: list[Outcome] = []
    for first, days in sorted(left, key=lambda pair: pair[0].mean_days):
        best = fastest_as_safe(policy, whole)
        if best is not None and first.mean_days > best.mean_days + MORE_MEAN_DAYS:
            break
        whole.append(by_list(here, days, skies))
    best = fastest_as_safe(policy, whole)
    print(f"  {len(tried)} lists, {len(left)} not out after {len(few.factor)} members, {len(whole)} through all")
    print(_told(policy))
    if best is None:
        print("  no list is as safe: null; the least risky that arrives:")
        print(_told(min((one for one in whole if not one.never), key=lambda one: one.below, default=policy)))
        return
    print(_told(best))
    _figure("policy sooner than the fastest list as safe", 100 * (1 - policy.mean_days / best.mean_days),
            SOONER_PERCENT if _bound(found) else None, least=True)  # fmt: skip
    quick = min((pair[0] for pair in screened), key=lambda one: one.mean_days)
    print("  the fastest of all, whatever it risks, " + str(len(few.factor)) + " members:")
    print(_told(quick))


def _bound(found: Outlook) -> bool:
    """Whether the voyage is the one that the bounds are for."""
    return found.frame.voyage.departs.month == AUTUMN_MONTH


def _told(one: Outcome) -> str:
    name = one.name if len(one.name) < 50 else one.name[:49]
    return f"    {name:<50} mean {one.mean_days:6.2f} d, median {one.median_days:6.2f}, below {100 * one.below:5.2f} %"


def _figure(what: str, value: float, bound: float | None, *, least: bool = False) -> None:
    """One line: a percentage, its bound where it has one, whether it holds."""
    if bound is None:
        print(f"  {what:<62} {value:7.3f} %  reported")
        return
    holds, sign = (value >= bound, ">=") if least else (value <= bound, "<=")
    print(f"  {what:<62} {value:7.3f} %  {sign} {bound:g} %: {'holds' if holds else 'MISSED'}")


def against_foresight(found: Outlook, policy: Outcome, skies: Skies) -> None:
    """Mean days of the policy over those of members that knew their weather."""
    own = policy.days[: len(skies.factor)]
    for keeps in (RESERVE, BARE):
        knew = list(seers(found, skies, keeps))
        days = np.asarray([arrival_days(one.followed)[0] for one in knew])
        ratio = own.mean() / days.mean()
        error = float((own - ratio * days).std(ddof=1)) / len(days) ** 0.5 / float(days.mean())
        print(
            f"    foresight ({keeps}): {len(days)} members, mean {days.mean():.2f} d, policy {own.mean():.2f} d, "
            f"sooner by {(own - days).min():.2f} to {(own - days).max():.2f} d; {_dips(knew)}"
        )
        bound = BEHIND_PERCENT if _bound(found) else None
        _figure(f"policy behind foresight ({keeps}), se {100 * error:.2f} %", 100 * (ratio - 1), bound)


def _dips(knew: list[Seer]) -> str:
    below = sum(bool(one.followed.voyages.below[0]) for one in knew)
    return f"{below} dip below the floor as sailed, by {max(one.dip_kwh for one in knew):.2f} kWh at most"


def against_value(found: Outlook, skies: Skies) -> None:
    """Costs on the chain and on the skies beside the policy's own value."""
    voyage, battery = found.frame.voyage, found.frame.vessel.battery
    start = battery.capacity_kwh * voyage.charge_at_start_percent / 100
    value = value_at(found.policy, start)
    for seed in CHAIN_SEEDS:
        costs = on_chain(found.policy, start, CHAIN_MEMBERS, seed)
        error = float(costs.std(ddof=1)) / len(costs) ** 0.5
        off = abs(costs.mean() - value)
        inside = "yes" if off <= 3 * error else f"no, by {100 * off / value:.5f} % of the value"
        print(f"    chain, seed {seed}, {len(costs)} members: mean {costs.mean():.5f}, value {value:.5f}, "
              f"se {error:.5f}; within three: {inside}")  # fmt: skip
    costs, _ = on_skies(found.frame, found.built, found.policy, skies)
    print(f"    skies, {len(costs)} members: mean {costs.mean():.3f} (se {costs.std(ddof=1) / len(costs) ** 0.5:.3f})")
    _figure("cost in drawn skies over the value", 100 * abs(costs.mean() / value - 1), GAP_PERCENT)


def guarantee(name: str, followed: Followed) -> None:
    """Days that were promised and went below the floor, members that ever did."""
    _figure(f"held days below the floor ({followed.held_below} of {followed.held_days})",
            100 * followed.held_below / followed.held_days, HELD_BELOW_PERCENT)  # fmt: skip
    below = 100 * float(followed.voyages.below.mean())
    _figure("members ever below the floor", below, SPRING_BELOW_PERCENT if name == "spring" else None)


def show(path: Path, words: Words) -> None:
    """All figures of one voyage."""
    members, seed = int(words.get("members", 1000)), int(words.get("seed", 1))
    parts = words.get("parts", "lists,seers,value").split(",")
    loaded = load_voyage(str(path))
    found = look_many(loaded.vessel, loaded.voyage).many
    problem, frame = found.policy.problem, found.frame
    skies = skies_of(frame, members, seed, problem.days)
    followed = follow_many(frame, found.built, found.policy, skies)
    policy = outcome("policy", followed)
    start = frame.voyage
    print(
        f"{path.name}: {len(start.legs)} legs, {frame.route.moorings[-1].km:.0f} km, {len(frame.route.moorings)} "
        f"moorings, leaves {start.departs} at {start.charge_at_start_percent:g} %, {problem.days} days looked at, "
        f"{sum(len(acts.start) for acts in problem.mornings)} actions, {members} members, seed {seed}"
    )
    guarantee(path.stem, followed)
    if "lists" in parts:
        against_lists(found, policy, members, seed)
    if "seers" in parts:
        against_foresight(found, policy, some(skies, 0, int(words.get("seers", 120))))
    if "value" in parts:
        against_value(found, skies)


def main() -> None:
    """Measure and print."""
    words = dict(word.split("=", 1) for word in sys.argv[1:] if "=" in word)
    for path in [Path(word) for word in sys.argv[1:] if "=" not in word] or voyages():
        show(path, words)


if __name__ == "__main__":
    main()
