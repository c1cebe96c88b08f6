"""Start-up of the light commands over a bare interpreter: ``python -m tests.benchmarks.bench_startup [TIMES]``.

Bounds: DESIGN section 4. Figures are differences and ratios within one run; milliseconds alone say little.
"""

import sys
from pathlib import Path

from tests.benchmarks.measure import BARE, PVLIB, costs, row, voyager, voyages

HELP_OVER_BARE_MS = 60.0
CHECK_MS = 300.0


def demo() -> Path:
    """The demo voyage with the most legs."""
    if not (found := voyages()):
        raise SystemExit("no demo voyage in routes/")
    return found[0]


def main() -> None:
    """Measure and print."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    bare, pvlib, helped, checked = costs([BARE, PVLIB, voyager("--help"), voyager("check", str(demo()))], times)
    print(f"bare interpreter {1e3 * bare.seconds:.0f} ms, import pvlib {1e3 * pvlib.seconds:.0f} ms, median of {times}")
    print(row("voyager --help over a bare interpreter", 1e3 * (helped.seconds - bare.seconds), "ms", HELP_OVER_BARE_MS))
    print(row(f"voyager check {demo().name}", 1e3 * checked.seconds, "ms", CHECK_MS))


if __name__ == "__main__":
    main()
