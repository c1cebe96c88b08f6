"""A table of measurements as it was read: what every fit takes."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.fits.result import Floats, LeftOut


@dataclass(frozen=True)
class Measured:
    """The rows of one file that can be used, in the file's order; ``n`` of them.

    ``rows``: rows of data in the file, those left out included. ``columns``: by name; numbers as float64 (n,), nan
    where the cell is empty; texts as a tuple of n, "" where it is. Yes and no are 1 and 0. Speeds are in m/s whatever
    the file has (``speed_mps``, ``wind_mps``). ``date`` is text, ``2026-11-28``. A column the file lacks is not in it.
    ``time_s`` (n,): seconds since 1970 in UTC, never falling; None where the file has no ``time``. ``line`` (n,): the
    line of the file where the row stands, the header being 1. ``left_out``: rows that are there twice. ``notes``:
    sentences on what was passed over.
    """

    file: str
    rows: int
    columns: Mapping[str, Floats | tuple[str, ...]]
    time_s: Floats | None
    line: NDArray[np.int64]
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()

    def __len__(self) -> int:
        return int(self.line.size)

    def __contains__(self, name: str) -> bool:
        return name in self.columns

    def numbers(self, name: str) -> Floats:
        """The column ``name`` (n,); all nan where the file lacks it."""
        values = self.columns.get(name)
        return values if isinstance(values, np.ndarray) else np.full(len(self), np.nan)

    def texts(self, name: str) -> tuple[str, ...]:
        """The column ``name``, n texts; all empty where the file lacks it."""
        values = self.columns.get(name)
        return values if isinstance(values, tuple) else ("",) * len(self)
