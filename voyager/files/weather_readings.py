"""What a reader takes from a weather file, whatever its format, and how it refuses one."""

import os
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.errors import Problem, Problems
from voyager.files.printable import printable

Floats = NDArray[np.float64]
NEEDED = ("time", "ghi_w_m2", "air_c")
KNOWN = (*NEEDED, "wind_mps", "dhi_w_m2", "dni_w_m2")


@dataclass(frozen=True)
class Readings:
    """Rows (n,) of a file: UTC start of each, columns under our names (nan: missing), the file's line of each."""

    file: str
    kind: str
    lat: float
    lon: float
    height_m: float | None
    times_utc: NDArray[np.datetime64]
    columns: dict[str, Floats]
    lines: NDArray[np.int64]

    @property
    def name(self) -> str:
        """The file's name without its directories."""
        return os.path.basename(self.file)


def parted(text: str, head: int) -> tuple[list[str], list[str], NDArray[np.int64]]:
    """The first ``head`` lines, the lines after them that are not blank, and the numbers of those."""
    lines = text.split("\n")
    kept = [n for n in range(head, len(lines)) if lines[n].strip()]
    return lines[:head], [lines[n] for n in kept], np.array(kept, dtype=np.int64) + 1


def check_widths(rows: list[str], lines: NDArray[np.int64], wanted: int, file: str, mend: str) -> None:
    """Raises Problems at the first row with other than ``wanted`` values; ``mend`` says so, with {} for the number."""
    for row, line in zip(rows, lines, strict=True):
        if (count := row.count(",") + 1) != wanted:
            raise at_line(file, line, "", f"has {count} values, {mend.format(wanted)}")


def at_line(file: str, line: int, column: str, text: str) -> Problems:
    """The refusal of a file at one of its lines."""
    return Problems([Problem(printable(file), int(line), column, printable(text))])


def refuse(file: str, text: str) -> Problems:
    """The refusal of a file as a whole."""
    return at_line(file, 1, "", text)
