"""Five hundred legs through a pty: key to repaint while scrolling and while editing, with the planner at work.

``python -m tests.benchmarks.bench_legs`` prints milliseconds.
"""

import os
import statistics
import tempfile
import time
from pathlib import Path

from tests.benchmarks.bench_screen import OURS, Terminal, percentile
from voyager.session.demo import demo_path

LEGS = 500
KEYS = 60
UP, DOWN = b"\x1b[A", b"\x1b[B"


def voyage(folder: Path) -> Path:
    """A chain of places on a meridian, up and down it, and the demo's boat."""
    boat = Path(demo_path()).parent / "quillet.toml"
    (folder / "quillet.toml").write_text(boat.read_text())
    rows = ['name = "many"', 'boat = "quillet.toml"', "departs = 2027-05-01", "place = ["]
    rows += [f'  {{ name = "Mile {at}", at = [{51.0 + 0.02 * at:.2f}, -1.0] }},' for at in range(LEGS + 1)]
    rows += ["]", "leg = ["]
    rows += [f'  {{ from = "Mile {at}", to = "Mile {at + 1}", distance_km = 2.3 }},' for at in range(LEGS)]
    file = folder / "many.toml"
    file.write_text("\n".join([*rows, "]", ""]))
    return file


def scroll(terminal: Terminal) -> list[float]:
    """Seconds from a cursor key to the repaint that names the leg now under it."""
    times = []
    for at in range(2, KEYS + 2):
        times.append(terminal.press(DOWN, f"Leg {at}: ".encode()))
        time.sleep(0.02)
    return times


def edit(terminal: Terminal) -> list[float]:
    """Seconds from the Enter that takes a typed speed to the repaint that shows it."""
    times = []
    for at in range(KEYS):
        figure = f"{4 + at % 3}.{at % 10}"
        os.write(terminal.fd, figure.encode())
        time.sleep(0.1)
        terminal.drain(0.02)
        times.append(terminal.press(b"\r", f"={figure}".encode()))
        time.sleep(0.05)
    return times


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as folder:
        terminal = Terminal(OURS.format(path=str(voyage(Path(folder)))))
        terminal.wait(lambda seen: b"Mile 3" in seen)
        time.sleep(3.0)
        terminal.drain(0.05)
        for name, times in (("scroll", scroll(terminal)), ("edit", edit(terminal))):
            print(f"{LEGS} legs, {name}: median {statistics.median(times) * 1e3:.0f} ms,"
                  f" p95 {percentile(times, 0.95) * 1e3:.0f} ms")  # fmt: skip
        terminal.close()


if __name__ == "__main__":
    main()
