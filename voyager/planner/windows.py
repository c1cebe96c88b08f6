"""When the boat may be under way, and when the evening's choice is made."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.route.calendar import Days
from voyager.route.voyage import Voyage
from voyager.sky.sun import SunTimes

Floats = NDArray[np.float64]
LATEST_EVENING_MIN = 22 * 60
BEFORE_SUNSET_H = 0.5


@dataclass(frozen=True)
class Windows:
    """Hours from the day's start (D,S): travel opens and closes (nan: no travel that day); ``evening`` a step."""

    open_h: Floats
    close_h: Floats
    evening: NDArray[np.int64]


def windows(voyage: Voyage, days: Days, sun: SunTimes) -> Windows:
    """Windows of all days at all stations. Daylight: sunrise, in the day, to half an hour before sunset.

    Where the sun never rises and nobody travels both have passed as the day starts: its evening is the first step.
    """
    start = days.starts_utc[:-1, None]
    rise, dusk = ((t - start) / np.timedelta64(3600, "s") for t in (sun.rise_utc, sun.set_utc))
    number = np.arange(len(days.dates))
    latest = np.broadcast_to(days.hours_from_start(number, LATEST_EVENING_MIN)[:, None], rise.shape)
    if voyage.travel_min is None:
        opens = np.where(sun.up_all_day, 0.0, np.maximum(rise, 0.0))
        closes = np.where(sun.up_all_day, latest, dusk - BEFORE_SUNSET_H)
    else:
        opens, closes = (np.broadcast_to(h[:, None], rise.shape) for h in _clock(voyage.travel_min, voyage, days))
    opens, closes = (np.where(closes > opens, value, np.nan) for value in (opens, closes))
    closed = np.where(np.isnan(closes), np.where(sun.down_all_day, 0.0, latest), np.minimum(closes, latest))
    evening = np.where(np.isnan(dusk), closed, np.fmax(dusk, np.where(np.isnan(closes), -np.inf, closes)))
    last = np.asarray(days.length_h)[:, None] - 1
    return Windows(opens, closes, np.clip(np.ceil(evening - 1e-9), 1, last).astype(np.int64))


def after(windows: Windows, hours: float) -> Windows:
    """The same on a first day of which ``hours`` have gone by: travel opens no earlier, if it does not close before."""
    opens, closes = windows.open_h.copy(), windows.close_h.copy()
    opens[0] = np.maximum(opens[0], hours)
    gone = ~(closes[0] > opens[0])
    opens[0, gone] = closes[0, gone] = np.nan
    return Windows(opens, closes, windows.evening)


def _clock(travel_min: tuple[int, int], voyage: Voyage, days: Days) -> tuple[Floats, Floats]:
    number = np.arange(len(days.dates))
    first = max(travel_min[0], voyage.day_starts_min)
    return days.hours_from_start(number, first), days.hours_from_start(number, travel_min[1])
