"""Adds entries to a log for as long as it lives, and prints the number of each once the log has it."""

import sys
from datetime import UTC, datetime, timedelta

from voyager.files.log import Log
from voyager.logbook.entries import Entry

FIRST = datetime(2027, 3, 2, 8, tzinfo=UTC)


def main(path: str, name: str) -> None:
    """Every fifth time three entries at once."""
    with Log(path, create=True) as log:
        for number in range(1_000_000):
            time = FIRST + timedelta(seconds=number)
            batch = [
                Entry(time, charge_kwh=number / 1000, note=f"{name} {number}") for _ in range(1 + 2 * (number % 5 == 4))
            ]
            idents = log.add(batch)
            sys.stdout.write("".join(f"{ident} {name} {number}\n" for ident in idents))
            sys.stdout.flush()


if __name__ == "__main__":
    main(*sys.argv[1:])
