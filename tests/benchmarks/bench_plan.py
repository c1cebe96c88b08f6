"""Whole process of ``voyager plan`` against ``python -c "import pvlib"``: ``python -m tests.benchmarks.bench_plan``.

Optional: how many times (5), and a voyage file (else every demo voyage). Without members and with 1,000, seed 1, JSON
thrown away; one thread for everybody's linear algebra (OPENBLAS_NUM_THREADS=1 unless it is set). Bounds: DESIGN section
4, which asks for a voyage of 30 legs; every demo is printed with its legs. For information only, once each: ``plan
--depart`` of 15 departures, a day apart, from the voyage's own on.
"""

import os
import sys
import tomllib
from datetime import date, timedelta
from pathlib import Path

from tests.benchmarks.measure import PVLIB, Cost, costs, legs, row, voyager, voyages

TIMES_PVLIB = {0: 2.5, 1000: 4.0}
PEAK_MB = 400.0
DEPARTURES = 15


def show(path: Path, pvlib: Cost, plans: dict[int, Cost]) -> None:
    """A few lines for one voyage."""
    print(f"{path.name}, {legs(path)} legs; import pvlib median {pvlib.seconds:.2f} s, least {pvlib.least:.2f} s")
    for members, plan in plans.items():
        ratio, least = plan.seconds / pvlib.seconds, plan.least / pvlib.least
        print(
            f"  plan --members {members}: median {plan.seconds:.2f} s, least {plan.least:.2f} s, {least:.2f} x by least"
        )
        print(row("    median / median of import pvlib", ratio, "x", TIMES_PVLIB[members]))
        print(row("    highest resident memory", plan.peak_mb, "MB", PEAK_MB))


def show_departures(path: Path) -> None:
    """Wall time and memory of comparing departures."""
    first = tomllib.loads(path.read_text("utf-8-sig"))["departs"]
    first = first if isinstance(first, date) else date.fromisoformat(str(first))
    span = f"{first}..{first + timedelta(DEPARTURES - 1)}"
    (took,) = costs([voyager("plan", str(path), "--depart", span, "--json")], 1, warm=False)
    each = took.seconds / DEPARTURES
    print(f"  plan --depart {span}: {took.seconds:.1f} s, {each:.2f} s a departure, {took.peak_mb:.0f} MB")


def main() -> None:
    """Measure and print."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    print(f"{times} runs each, alternating; OPENBLAS_NUM_THREADS={os.environ['OPENBLAS_NUM_THREADS']}")
    for path in [Path(word) for word in sys.argv[2:]] or voyages():
        commands = [voyager("plan", str(path), "--members", str(members), "--json") for members in TIMES_PVLIB]
        pvlib, *plans = costs([PVLIB, *commands], times)
        show(path, pvlib, dict(zip(TIMES_PVLIB, plans, strict=True)))
        show_departures(path)


if __name__ == "__main__":
    main()
