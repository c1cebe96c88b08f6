"""Wall time and peak memory: of whole processes, alternating with a named peer so that noise meets both, and of work
within this one."""

import os
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import TypeVar

T = TypeVar("T")
ROOT = Path(__file__).parents[2]
BARE = (sys.executable, "-c", "pass")
PVLIB = (sys.executable, "-c", "import pvlib")


@dataclass(frozen=True)
class Cost:
    """Median and least wall time and highest resident memory of some runs of one command."""

    seconds: float
    peak_mb: float
    least: float


@dataclass(frozen=True)
class Times:
    """Median and least wall time of some runs of one piece of work."""

    seconds: float
    least: float


def voyager(*words: str) -> tuple[str, ...]:
    """The installed console script beside this interpreter, or the module where there is none."""
    script = Path(sys.executable).with_name("voyager")
    return (str(script), *words) if script.exists() else (sys.executable, "-m", "voyager.cli.main", *words)


def legs(path: Path) -> int:
    """How many legs a voyage file has; a boat file has none."""
    return len(tomllib.loads(path.read_text("utf-8-sig")).get("leg", ()))


def voyages() -> list[Path]:
    """The demo voyages, most legs first."""
    return sorted((path for path in (ROOT / "routes").glob("*.toml") if legs(path)), key=legs, reverse=True)


def costs(
    commands: Sequence[Sequence[str]], times: int, statuses: Sequence[int] = (0, 1), warm: bool = True
) -> list[Cost]:
    """Each command ``times`` times in turn, after one unmeasured round that warms the file cache."""
    rounds = [[_once(command, statuses) for command in commands] for _ in range(times + warm)][int(warm) :]
    return [_cost(runs) for runs in zip(*rounds, strict=True)]


def _cost(runs: Sequence[tuple[float, float]]) -> Cost:
    times, peaks = [run[0] for run in runs], [run[1] for run in runs]
    return Cost(median(times), max(peaks), min(times))


def repeated(work: Callable[[], T], times: int = 5) -> tuple[Times, T]:
    """Work in this process ``times`` times after one unmeasured run, and the last result."""
    result, took = work(), []
    for _ in range(times):
        started = time.perf_counter()
        result = work()
        took.append(time.perf_counter() - started)
    return Times(median(took), min(took)), result


def _once(command: Sequence[str], statuses: Sequence[int]) -> tuple[float, float]:
    started = time.perf_counter()
    child = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, cwd=ROOT)
    said = child.stderr.read() if child.stderr else b""
    _, status, usage = os.wait4(child.pid, 0)
    seconds = time.perf_counter() - started
    if os.waitstatus_to_exitcode(status) not in statuses:
        raise SystemExit(f"{' '.join(command)} failed: {said.decode(errors='replace')}")
    return seconds, usage.ru_maxrss / 1024


def row(what: str, value: float, unit: str, bound: float) -> str:
    """One line of the answer: the figure, its bound, and whether it holds."""
    return f"{what:<58} {value:8.2f} {unit:<4} bound {bound:6.1f}  {'holds' if value <= bound else 'MISSED'}"
