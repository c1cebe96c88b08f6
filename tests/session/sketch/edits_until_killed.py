"""A run that edits, and is killed: each step is told on stdout once its journal has it."""

import sys

from voyager.session.sketch.journal import Journal
from voyager.session.sketch.opened import opened
from voyager.session.sketch.state import Sketch, sketch_of


def edited(sketch: Sketch, step: int) -> Sketch:
    """The step-th edit: a value, a row more, an order, the boat, in turn."""
    if step % 4 == 0:
        return sketch.put_top("name", f"step {step}")
    if step % 4 == 1:
        sketch, row = sketch.fresh({"from": "Athy", "to": f"place {step}", "nights": step})
        return sketch.with_rows("legs", (*sketch.legs, row))
    if step % 4 == 2:
        return sketch.with_rows("legs", sketch.legs[::-1])
    return Sketch(**{**vars(sketch), "boat": {**sketch.boat, "name": f"step {step}"}})


def main(path: str) -> None:
    documents = opened(path)["documents"]
    journal, now = Journal.begin(path, documents), sketch_of(documents)
    print("begun", flush=True)
    for step in range(10**9):
        after = edited(now, step)
        journal.edit(now, after, f"step {step}")
        now = after
        sys.stdout.write(f"{step}\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main(sys.argv[1])
