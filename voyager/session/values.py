"""Instants and energies as plans tell them."""

import numpy as np

from voyager.planner.frame import Frame

Json = dict[str, object]


def utc(moment: np.datetime64) -> str:
    """An instant as ``2027-03-04T07:15:00Z``."""
    return f"{np.datetime_as_string(moment, unit='s')}Z"


def after(zero: np.datetime64, hours: float) -> str:
    """The instant so many hours after another, to the second."""
    return utc(zero.astype("datetime64[s]") + np.timedelta64(round(hours * 3600), "s"))


def instant(frame: Frame, day: int, hours: float) -> str:
    """The instant so many hours after the start of a day, to the minute."""
    return utc(frame.days.starts_utc[day] + np.timedelta64(round(hours * 60) * 60, "s"))


def kwh(value: float) -> float:
    """An energy to a millionth, so that a day's balance still closes; never minus nought."""
    return round(float(value), 7) + 0.0
