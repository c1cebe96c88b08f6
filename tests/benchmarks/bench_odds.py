"""The policy followed through many skies: ``python -m tests.benchmarks.bench_odds [MEMBERS] [TIMES]``.

1,000 members over 60 days in which nobody arrives, so that every member lives all of them, on one thread, seed 1:

- lying: the winter demo with 60 nights asked at Chioggia instead of 26;
- travelling: the autumn demo's route there and back again, the way back mirrored (streams, locks, fitness to go; as
  many nights asked at the end of a leg going back as at its other end going out), all else as in its file;
- for comparison the autumn demo as it stands, whose members arrive on the way: less is lived, and it says how much.

The policy is that of ``plan`` over its whole horizon, of which 60 days are followed. Bound: DESIGN section 4, in
seconds; ``python -c "import pvlib"`` beside it says how fast the machine is. Memory: the most that Python and numpy
held for the run itself (tracemalloc, a run of its own that is not timed), and the highest resident memory of this
process.
"""

import os
import resource
import sys
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from tests.benchmarks.measure import PVLIB, ROOT, Cost, Times, costs, repeated, row
from voyager.files.voyage_file import load_voyage
from voyager.planner.actions import Built
from voyager.planner.many import Followed, follow_many
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.skies import skies_of
from voyager.route.line import build_route, reversed_route
from voyager.route.place import Place
from voyager.route.voyage import Voyage

MEMBERS, DAYS, SEED = 1000, 60, 1
SECONDS = 0.3
NIGHTS = 60
AGAIN = " again"
BY_DAY = ("mornings", "refuges", "evenings", "chance", "follow")


@dataclass(frozen=True)
class Instance:
    """A voyage planned for many skies and how many days of it are followed."""

    name: str
    found: Outlook
    days: int


def planned(name: str, change: Callable[[Voyage], Voyage], days: int | None) -> Outlook:
    """The many-skies outlook of a changed demo, cut to its first days where ``days`` are given."""
    loaded = load_voyage(ROOT / "routes" / name)
    found = look_many(loaded.vessel, change(loaded.voyage)).many
    return found if days is None else first_days(found, days)


def first_days(found: Outlook, days: int) -> Outlook:
    """The same policy, of which only the first days are followed."""
    built: Built = found.built
    problem = replace(built.problem, **{name: getattr(built.problem, name)[:days] for name in BY_DAY})
    return replace(found, built=replace(built, problem=problem), policy=replace(found.policy, problem=problem))


def longer_stay(voyage: Voyage) -> Voyage:
    """More nights wherever many are asked."""
    return replace(voyage, legs=tuple(replace(leg, nights=NIGHTS) if leg.nights > 20 else leg for leg in voyage.legs))


def there_and_back(voyage: Voyage) -> Voyage:
    """The route and its mirror image after it; places of the way back get names of their own."""
    turn = voyage.legs[-1].end
    back = reversed_route(build_route(voyage)).legs
    names = [{"start": _again(leg.start, turn), "end": _again(leg.end, turn)} for leg in back]
    legs = [replace(m, nights=leg.nights, **n) for m, leg, n in zip(back, voyage.legs[::-1], names, strict=True)]
    places: list[Place] = [replace(p, name=p.name + AGAIN) for p in voyage.places[::-1] if p.name != turn]
    return replace(voyage, places=(*voyage.places, *places), legs=(*voyage.legs, *legs))


def _again(name: str, turn: str) -> str:
    return name if name == turn else name + AGAIN


def instances() -> Iterator[Instance]:
    """The three of the module's text, one in memory at a time."""
    yield Instance(f"winter.toml, {NIGHTS} nights at Chioggia", planned("winter.toml", longer_stay, DAYS), DAYS)
    yield Instance("autumn.toml, there and back", planned("autumn.toml", there_and_back, DAYS), DAYS)
    found = planned("autumn.toml", lambda voyage: voyage, None)
    yield Instance("autumn.toml as it stands", found, found.built.problem.days)


def described(found: Outlook, whole_days: int) -> str:
    """The size of a problem in one line."""
    p = found.built.problem
    actions = sum(len(acts.start) for acts in p.mornings[:whole_days])
    route, levels = found.frame.route, len(found.policy.levels_kwh)
    return (
        f"{len(route.legs)} legs, {float(route.start_km[-1]):.0f} km, {len(route.moorings)} moorings, {p.stops} stops, "
        f"{actions / whole_days:.0f} actions a morning, {p.classes} classes, {p.nodes} nodes, {levels} levels"
    )


def lived_days(through: Followed, days: int) -> int:
    """Days that all members live before they have arrived, the day of arrival with them."""
    arrived = through.voyages.arrive_day
    return int((arrived[arrived >= 0] + 1).sum()) + days * int((arrived < 0).sum())


def show(instance: Instance, members: int, times: int, peer: Cost) -> None:
    """Time and memory of one instance."""
    found, days = instance.found, instance.days

    def drawn() -> object:
        return skies_of(found.frame, members, SEED, days)

    skies = skies_of(found.frame, members, SEED, days)
    alone, through = repeated(lambda: follow_many(found.frame, found.built, found.policy, skies), times)
    draws, _ = repeated(drawn, times)
    both = Times(alone.seconds + draws.seconds, alone.least + draws.least)
    lived = lived_days(through, days)
    arrived = int((through.voyages.arrive_day >= 0).sum())
    print(f"{instance.name}: {members} members x {days} days, {arrived} arrive in them, {lived} member-days lived")
    print(f"  {described(found, days)}, seed {SEED}, OPENBLAS_NUM_THREADS={os.environ['OPENBLAS_NUM_THREADS']}")
    for what, took in (("followed", alone), ("draws and followed", both)):
        print(row(f"  {what}, median of {times}", took.seconds, "s", SECONDS))
        ratios = f"{took.seconds / peer.seconds:.2f} x by median, {took.least / peer.least:.2f} x by least"
        print(f"    least {took.least:.3f} s, {1e6 * took.least / lived:.1f} us a member-day; / import pvlib: {ratios}")
    print(f"  most memory held by draws and run: {held_mb(found, members, days):.0f} MB (tracemalloc)")


def held_mb(found: Outlook, members: int, days: int) -> float:
    """Most memory that draws and run hold at once, MB."""
    tracemalloc.start()
    follow_many(found.frame, found.built, found.policy, skies_of(found.frame, members, SEED, days))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / 2**20


def main() -> None:
    """Measure and print."""
    numbers = [int(word) for word in sys.argv[1:]]
    members, times = (*numbers, *(MEMBERS, 7)[len(numbers) :])
    (peer,) = costs([PVLIB], min(times, 5))
    print(f"import pvlib: median {peer.seconds:.2f} s, least {peer.least:.2f} s")
    for instance in instances():
        show(instance, members, times, peer)
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"highest resident memory of this whole process, three plans with it: {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
