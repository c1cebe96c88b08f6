"""Whole process of ``voyager plan`` against ``python -c "import pvlib"``: ``python -m tests.benchmarks.bench_plan``.

Optional: how many times (5), and a voyage file (else every demo voyage). Bounds: DESIGN section 4, which asks for a
voyage of 30 legs without members; every demo is printed with its legs.
"""

import sys
from pathlib import Path

from tests.benchmarks.measure import PVLIB, Cost, costs, legs, row, voyager, voyages

TIMES_PVLIB = 2.5
PEAK_MB = 400.0


def show(path: Path, pvlib: Cost, plan: Cost) -> None:
    """Two lines for one voyage."""
    print(f"{path.name}, {legs(path)} legs: plan {plan.seconds:.2f} s, import pvlib {pvlib.seconds:.2f} s")
    print(row("  voyager plan --members 0 / import pvlib", plan.seconds / pvlib.seconds, "x", TIMES_PVLIB))
    print(row("  highest resident memory", plan.peak_mb, "MB", PEAK_MB))


def main() -> None:
    """Measure and print."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    for path in [Path(word) for word in sys.argv[2:]] or voyages():
        show(path, *costs([PVLIB, voyager("plan", str(path), "--members", "0", "--json")], times))


if __name__ == "__main__":
    main()
