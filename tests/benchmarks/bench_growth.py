"""How plan and its parts grow: ``python -m tests.benchmarks.bench_growth [TIMES] [days|members|moorings ...]``.

Each size is worked TIMES (3) times after one unmeasured run; median and least are printed, and the exponent of a power
fitted through the least times of all sizes, against what grows (its own figures stand in the line). The exponent over
the last step beside it tells a fixed start from true growth. Linear means 1.1 at most. One thread, five classes, eight
nodes, 61 levels, seed 1. The policy alone on made-up problems: ``bench_policy``.

- days: the *canal* is the spring demo to Berkhamsted (its first five legs, 55 km), so that all its moorings are reached
  within days and the rest of the horizon is alike; frame, problems and policy over 40, 80, 160, 320 days. ``plan``: the
  same canal as a file with 1,000 members, its horizon stretched to those days by asking the planner for more spare days
  (it adds 20). Odds: the winter demo with 110 nights asked at Chioggia, followed for 15, 30, 60, 120 days by 1,000
  members, none of whom arrives.
- members: 250 to 8,000 through the spring demo as it stands: ``plan`` as a whole, and draws and run alone.
- moorings x actions: the spring demo with moorings every 12, 6, 3, 1.5 km, against all actions of all mornings.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from tests.benchmarks.bench_odds import SEED, first_days
from tests.benchmarks.measure import ROOT, Times, repeated
from voyager.boat.vessel import Vessel
from voyager.files.voyage_file import load_voyage
from voyager.planner import outlook
from voyager.planner.actions import Built, build_problems
from voyager.planner.frame import Frame, build_frame
from voyager.planner.many import follow_many
from voyager.planner.outlook import Outlook, look_many
from voyager.planner.policy import solve
from voyager.planner.scope import many_skies_scope, one_sky_scope
from voyager.planner.skies import skies_of
from voyager.route.voyage import Voyage
from voyager.session.odds import followed
from voyager.session.plan import plan

LINEAR = 1.1
DEMOS = ROOT / "routes"
DAYS, FOLLOWED_DAYS = (40, 80, 160, 320), (15, 30, 60, 120)
MEMBERS, MANY = 1000, (250, 500, 1000, 2000, 4000, 8000)
EVERY_KM = (12.0, 6.0, 3.0, 1.5)
CANAL_LEGS, NIGHTS = 5, 110


def told(what: str, unit: str, sizes: list[float], took: list[Times]) -> None:
    """Sizes, times and exponents of one part."""
    least = np.log([one.least for one in took])
    fitted = float(np.polyfit(np.log(sizes), least, 1)[0])
    last = float((least[-1] - least[-2]) / np.log(sizes[-1] / sizes[-2]))
    print(f"{what}: {unit} " + ", ".join(f"{size:.0f}" for size in sizes))
    print("  median " + ", ".join(f"{t.seconds:.3f}" for t in took) + " s; least "
          + ", ".join(f"{t.least:.3f}" for t in took) + " s")  # fmt: skip
    verdict = "holds" if fitted <= LINEAR else "MISSED"
    print(f"  exponent {fitted:.2f}, over the last step {last:.2f}  bound {LINEAR}  {verdict}")


def boat_and_voyage(path: str | Path) -> tuple[Vessel, Voyage]:
    """Of a voyage file."""
    both = load_voyage(path)
    return both.vessel, both.voyage


def both_problems(frame: Frame) -> list[Built]:
    """The problems of one sky and of many, as ``plan`` makes them."""
    return build_problems(frame, [one_sky_scope(frame), many_skies_scope(frame)])


def parts(frames: list[Callable[[], Frame]], times: int) -> tuple[list[int], dict[str, list[Times]]]:
    """Actions of all mornings, and times of frame, problems and policy, at each size."""
    took: dict[str, list[Times]] = {"frame": [], "problems": [], "policy": []}
    actions = []
    for make in frames:
        made, frame = repeated(make, times)
        built_in, built = repeated(lambda frame=frame: both_problems(frame), times)
        solved, _ = repeated(lambda built=built: solve(built[1].problem), times)
        for name, one in zip(took, (made, built_in, solved), strict=True):
            took[name].append(one)
        actions.append(sum(len(acts.start) for acts in built[1].problem.mornings))
    return actions, took


@contextmanager
def written(change: Callable[[str], str]) -> Iterator[str]:
    """The spring demo with its boat as a changed file of its own."""
    with tempfile.TemporaryDirectory() as directory:
        for name in ("spring.toml", "quillet.toml"):
            text = (DEMOS / name).read_text("utf-8")
            (Path(directory) / name).write_text(change(text) if name == "spring.toml" else text, "utf-8")
        yield str(Path(directory) / "spring.toml")


def to_berkhamsted(text: str) -> str:
    """The first legs of the file alone; places that no leg touches are left out with their legs."""
    head, *legs = text.split("[[leg]]")
    names = ("Brentford", "Bull's Bridge", "Uxbridge", "Rickmansworth", "Apsley", "Berkhamsted")
    kept = [f'"{name}"' for name in names]
    lines = [line for line in head.splitlines() if not line.startswith("  { name") or any(n in line for n in kept)]
    return "[[leg]]".join(["\n".join(lines) + "\n", *legs[:CANAL_LEGS]])


def canal_days(times: int) -> None:
    """Frame, problems and policy of the canal over longer and longer horizons."""
    with written(to_berkhamsted) as path:
        vessel, voyage = boat_and_voyage(path)
        frames = [lambda d=d: build_frame(vessel, voyage, d, many=True) for d in DAYS]
        actions, took = parts(frames, times)
        print(f"canal to Berkhamsted: actions of all mornings {actions}")
        for name, one in took.items():
            told(f"{name}, days", "days", list(map(float, DAYS)), one)
        plan_days(path, times)


def plan_days(path: str, times: int) -> None:
    """The whole plan of the canal over the same horizons."""
    ready = len(outlook.look_many(*boat_and_voyage(path)).one.schedule.days)
    took = []
    for days in DAYS:
        with patch.object(outlook, "SPARE_DAYS", days - ready):
            took.append(repeated(lambda: plan(path, members=MEMBERS, seed=SEED), times)[0])
    told(f"plan, {MEMBERS} members, days", "days", list(map(float, DAYS)), took)


def odds_days(times: int) -> None:
    """A run in which nobody arrives, followed for longer and longer."""
    vessel, voyage = boat_and_voyage(DEMOS / "winter.toml")
    legs = tuple(replace(leg, nights=NIGHTS) if leg.nights > 20 else leg for leg in voyage.legs)
    found = look_many(vessel, replace(voyage, legs=legs)).many
    cut = [first_days(found, days) for days in FOLLOWED_DAYS]
    took = [repeated(lambda part=part: through(part, MEMBERS), times)[0] for part in cut]
    told(f"odds, {MEMBERS} members lying at Chioggia, days", "days", list(map(float, FOLLOWED_DAYS)), took)


def through(found: Outlook, members: int) -> object:
    """Draws and run of one block."""
    skies = skies_of(found.frame, members, SEED, found.built.problem.days)
    return follow_many(found.frame, found.built, found.policy, skies)


def by_days(times: int) -> None:
    """Growth in days."""
    canal_days(times)
    odds_days(times)


def by_members(times: int) -> None:
    """Growth in members."""
    path = str(DEMOS / "spring.toml")
    whole = [repeated(lambda m=m: plan(path, members=m, seed=SEED), times)[0] for m in MANY]
    told("plan of spring.toml, members", "members", list(map(float, MANY)), whole)
    found = look_many(*boat_and_voyage(DEMOS / "spring.toml")).many
    alone = [repeated(lambda m=m: followed(found, m, SEED), times)[0] for m in MANY]
    told("draws and run of spring.toml, members", "members", list(map(float, MANY)), alone)


def by_moorings(times: int) -> None:
    """Growth in moorings x actions."""
    vessel, voyage = boat_and_voyage(DEMOS / "spring.toml")
    sizes = [replace(voyage, mooring_every_km=km) for km in EVERY_KM]
    days = look_many(vessel, voyage).many.built.problem.days
    frames = [lambda v=v: build_frame(vessel, v, days, many=True) for v in sizes]
    count, took = parts(frames, times)
    moorings = [len(make().route.moorings) for make in frames]
    print(f"spring.toml over {days} days, moorings every {EVERY_KM} km: {moorings} moorings")
    for name, one in took.items():
        told(f"{name}, moorings x actions", "actions of all mornings", list(map(float, count)), one)
    whole = []
    for km in EVERY_KM:
        with written(lambda text, km=km: text.replace("mooring_every_km = 3", f"mooring_every_km = {km}")) as path:
            whole.append(repeated(lambda: plan(path, members=MEMBERS, seed=SEED), times)[0])
    told(f"plan, {MEMBERS} members, moorings x actions", "actions of all mornings", list(map(float, count)), whole)


def main() -> None:
    """Measure and print."""
    words = sys.argv[1:]
    times = int(words.pop(0)) if words and words[0].isdigit() else 3
    ways = {"days": by_days, "members": by_members, "moorings": by_moorings}
    print(f"{times} runs each; OPENBLAS_NUM_THREADS={os.environ['OPENBLAS_NUM_THREADS']}")
    for name in words or ways:
        ways[name](times)


if __name__ == "__main__":
    main()
