"""From an edit of a leg to its plans, in the running app with its real worker process.

``python -m tests.benchmarks.bench_edit [VOYAGE] [edits=20] [more=180] [seed=1] [legs=0]``: the app runs without a
terminal at 120x40 on a copy of the voyage (the demo of most legs). Each edit gives another speed, other nights or
another distance to a leg drawn at random, the legs' other values as the file has them or as earlier edits left them,
each tenth edit going back to the file's own. Time runs from the edit's message to the desk that shows the schedule of
one sky, and to the one with the odds of the first members beside it; the next edit follows when the last plan is
there (``settled``), or at once (``interrupting`` the last plan). Then ``more`` edits, each as soon as the schedule of
the one before is there, and the resident memory of both processes. ``legs``: the route there and back again until it
has so many legs.
"""

import asyncio
import os
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from tests.benchmarks.measure import row, voyages
from voyager.session.sketch.edits import set_leg
from voyager.session.sketch.state import Sketch
from voyager.tui.app import VoyagerApp
from voyager.tui.messages import Edited
from voyager.tui.themes import theme_name
from voyager.tui.worker import PlanWorker

SIZE = (120, 40)
PATIENCE_S, LOOK_EVERY_S = 120.0, 0.004
DRAFT_MS, ODDS_MS, MEMORY_MB = 300.0, 1000.0, 500.0
BACK_EVERY = 10


def asked(words: list[str]) -> tuple[Path, dict[str, int]]:
    """The voyage and the numbers of the command line."""
    numbers = {"edits": 20, "more": 180, "seed": 1, "legs": 0}
    paths = [Path(word) for word in words if "=" not in word]
    for word in words:
        name, sign, value = word.partition("=")
        if sign:
            numbers[name] = int(value)
    return (paths or voyages())[0], numbers


def edited(sketch: Sketch, own: Sketch, turn: int, dice: random.Random) -> Sketch:
    """Another sketch of the voyage ``own`` of the file."""
    at = dice.randrange(len(sketch.legs))
    key = dice.choice(("speed_kmh", "nights", "distance_km"))
    leg = own.legs[at]
    if key == "distance_km" and leg.get(key) is None:
        key = "speed_kmh"
    if key == "speed_kmh":
        value: Any = round(dice.uniform(5.0, 8.0), 2)
    elif key == "nights":
        value = 1 - min(1, int(sketch.legs[at].get("nights", 0)))
    else:
        value = round(float(leg.get(key)) * dice.uniform(0.96, 1.04), 2)
    return set_leg(own if turn % BACK_EVERY == 0 else sketch, at, key, value)


def lengthened(sketch: Sketch, legs: int) -> Sketch:
    """The route there and back again until it has so many legs; dates and tides left out."""
    left = ("earliest", "latest", "tide", "closed", "nights")
    plain = [{k: v for k, v in row.values.items() if k not in left} for row in sketch.legs]
    back = [{**one, "from": one["to"], "to": one["from"], "via": one.get("via", [])[::-1]} for one in plain[::-1]]
    back = [{**one, "current_kmh": -one.get("current_kmh", 0)} for one in back]
    rows, made = [], sketch
    for number in range(legs):
        turn, at = divmod(number, len(plain))
        made, fresh = made.fresh((plain, back)[turn % 2][at])
        rows.append(fresh)
    return made.with_rows("legs", rows)


async def until(ready: Callable[[], bool]) -> float:
    """The moment at which something holds."""
    end = time.perf_counter() + PATIENCE_S
    while not ready():
        if time.perf_counter() > end:
            raise TimeoutError("the plan did not come")
        await asyncio.sleep(LOOK_EVERY_S)
    return time.perf_counter()


def drafted(app: VoyagerApp) -> bool:
    """Whether the desk shows some plan of the sketch as it stands."""
    return not app.desk.former and app.desk.plan is not None


def with_odds(app: VoyagerApp) -> bool:
    """Whether it has odds."""
    return drafted(app) and app.desk.plan is not None and app.desk.plan["odds"] is not None


def settled(app: VoyagerApp) -> bool:
    """Whether nothing better is to come."""
    return drafted(app) and not app.desk.ticket


async def edit(app: VoyagerApp, sketch: Sketch, turn: int) -> float:
    """Post an edit; the moment of it."""
    await until(lambda: not app.desk.former)
    begun = time.perf_counter()
    app.post_message(Edited(sketch, f"edit {turn}"))
    await until(lambda: app.desk.sketch is sketch or app.desk.former)
    return begun


async def measured(app: VoyagerApp, own: Sketch, edits: int, dice: random.Random, wait: bool) -> list[list[float]]:
    """Seconds from each edit to the schedule and to the odds."""
    times = []
    for turn in range(edits):
        sketch = edited(app.desk.sketch, own, turn, dice)
        begun = await edit(app, sketch, turn)
        times.append([await until(lambda: drafted(app)) - begun, await until(lambda: with_odds(app)) - begun])
        if wait:
            await until(lambda: settled(app))
    return times


def resident_mb(pid: int) -> tuple[float, float]:
    """Memory of a process now and at its highest, MB; by the kernel's own account (Linux)."""
    said = dict(line.split(":", 1) for line in Path(f"/proc/{pid}/status").read_text("ascii").splitlines())
    now, most = (int(said[key].split()[0]) / 1024 for key in ("VmRSS", "VmHWM"))
    return now, most


def told(times: list[list[float]], what: str) -> None:
    """One line for the schedule, one for the odds."""
    for name, bound, column in (("schedule", DRAFT_MS, 0), ("odds of the first members", ODDS_MS, 1)):
        ms = sorted(1e3 * one[column] for one in times)
        p95 = ms[min(len(ms) - 1, int(0.95 * len(ms)))]
        print(row(f"{what}: {name}, median", median(ms), "ms", bound))
        print(f"    least {ms[0]:.0f}, p95 {p95:.0f}, most {ms[-1]:.0f} ms")


async def run(path: Path, numbers: dict[str, int]) -> None:
    """Open the app and edit."""
    worker = PlanWorker()
    worker.start()
    worker.open(str(path))
    app = VoyagerApp(str(path), worker, theme_name(None, os.environ), False)
    app.expect_first(worker.plan(str(path), None))
    dice = random.Random(numbers["seed"])
    async with app.run_test(size=SIZE):
        await until(lambda: app.desk.opened is not None and settled(app))
        own = app.desk.sketch
        if numbers["legs"]:
            own = lengthened(own, numbers["legs"])
            begun = await edit(app, own, 0)
            print(f"{len(own.legs)} legs: schedule after {await until(lambda: drafted(app)) - begun:.1f} s")
        for what, wait in (("settled", True), ("interrupting", False)):
            told(await measured(app, own, numbers["edits"], dice, wait), what)
        for turn in range(numbers["more"]):
            await edit(app, edited(app.desk.sketch, own, turn, dice), turn)
            await until(lambda: drafted(app))
        await until(lambda: settled(app))
        pids = [os.getpid(), worker.process.pid if worker.process is not None else None]
        memory = [resident_mb(pid) for pid in pids if pid is not None]
        print(row(f"memory of both after {2 * numbers['edits'] + numbers['more']} edits",
                  sum(now for now, _ in memory), "MB", MEMORY_MB))  # fmt: skip
        print("    app, worker: " + ", ".join(f"{now:.0f} (highest {most:.0f})" for now, most in memory))
    worker.stop()


def main() -> None:
    """Measure and print."""
    path, numbers = asked(sys.argv[1:])
    with tempfile.TemporaryDirectory() as folder:
        os.environ.update(XDG_STATE_HOME=folder, XDG_CONFIG_HOME=folder, TEXTUAL_ANIMATIONS="none")
        for file in path.parent.glob("*.toml"):
            shutil.copy(file, folder)
        asyncio.run(run(Path(folder) / path.name, numbers))


if __name__ == "__main__":
    main()
