"""What is wrong with the legs, by row, for the table's margin and the line under it. Pure."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from voyager.session.sketch.gaps import gaps
from voyager.session.sketch.state import Sketch

GAP, FAULT = "≠", "✗"


class Wrongs:
    """``signs`` and sentences by leg (from 0) of one sketch."""

    def __init__(self, sketch: Sketch | None = None, faults: Iterable[Mapping[str, Any]] = ()) -> None:
        self.gaps: dict[int, list[str]] = defaultdict(list)
        self.faults: dict[int, list[str]] = defaultdict(list)
        for index, sentence in gaps(sketch) if sketch is not None else ():
            self.gaps[index].append(sentence)
        for fault in faults:
            if fault.get("row") == "leg" and fault.get("number"):
                self.faults[int(fault["number"]) - 1].append(str(fault.get("text", "")))

    def sign(self, index: int) -> str:
        """``≠`` where a leg does not meet the one before, ``✗`` where something else is wrong, else a blank."""
        return GAP if index in self.gaps else FAULT if index in self.faults else " "

    def line(self, sketch: Sketch, index: int) -> str:
        """What is wrong with the leg, and the key that mends it; else the first gap of all."""
        if index in self.gaps:
            mend = mending(sketch, index)
            return f"{GAP} gap: {'; '.join(self.gaps[index])}" + (f"; Enter on From takes {mend}" if mend else "")
        if self.gaps:
            first = min(self.gaps)
            return f"{GAP} gap: {self.gaps[first][0]}"
        return ""


def mending(sketch: Sketch, index: int) -> str:
    """Where the leg before ends, if this one begins elsewhere; empty otherwise."""
    if not 0 < index < len(sketch.legs):
        return ""
    before = str(sketch.legs[index - 1].get("to") or "")
    return before if before != sketch.legs[index].get("from") else ""
