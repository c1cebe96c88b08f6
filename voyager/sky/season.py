"""Place of a day between mid-months and between the middles of the four seasons."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

YEAR_DAYS = 365.25
MONTH_FIRST = np.array([1, 32, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366], dtype=float)
"""Day of the year of the firsts of the months and of the next January (13,)."""
MID_MONTH = (MONTH_FIRST[:-1] + MONTH_FIRST[1:] - 1) / 2
"""Day of the year of the twelve mid-months (12,)."""
_KNOTS = np.concatenate([MID_MONTH[-1:] - 365, MID_MONTH, MID_MONTH[:1] + 365])


def month_position(day_of_year: ArrayLike) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """Indices 0-11 of the mid-months before and after a day and the weight of the later one, each of its shape."""
    day = np.asarray(day_of_year, dtype=float)
    position = np.interp(day, _KNOTS, np.arange(14.0))
    before = np.minimum(np.floor(position), 12.0)
    index = before.astype(np.int64)
    return (index - 1) % 12, index % 12, np.asarray(position - before)


def seasonal(values: ArrayLike, day_of_year: ArrayLike, lat_deg: ArrayLike = 45.0) -> NDArray[np.float64]:
    """Linear between mid-season values (winter, spring, summer, autumn on the last axis), day and latitude broadcast.

    Middles are mid-January, mid-April, mid-July, mid-October; south of the equator half a year later.
    """
    later = np.where(np.asarray(lat_deg, dtype=float) < 0, YEAR_DAYS / 2, 0.0)
    phase = ((np.asarray(day_of_year, dtype=float) - MID_MONTH[0] + later) / (YEAR_DAYS / 4)) % 4.0
    before = np.minimum(np.floor(phase), 3.0).astype(np.int64)
    table = np.asarray(values, dtype=float)
    rows = np.broadcast_to(table, (*np.broadcast_shapes(table.shape[:-1], before.shape), 4))
    first = np.take_along_axis(rows, _last(before, rows), axis=-1)[..., 0]
    second = np.take_along_axis(rows, _last((before + 1) % 4, rows), axis=-1)[..., 0]
    return np.asarray(first + (phase - before) * (second - first))


def _last(index: NDArray[np.int64], rows: NDArray[np.float64]) -> NDArray[np.int64]:
    return np.broadcast_to(index, rows.shape[:-1])[..., None]
