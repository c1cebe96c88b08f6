"""Holds a weather file's light against the sun, its noon, nights and seasons, and its place against the voyage's."""

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import NDArray

from voyager.files.printable import printable
from voyager.files.weather_readings import refuse
from voyager.sky.clearness import EARTH_RADIUS_KM
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.measured import day_of_year
from voyager.sky.record import Record
from voyager.sky.sun import DAY_S, SOLAR_DAY_S_PER_DEG, ephemeris, unix_s

Floats = NDArray[np.float64]

HOURS_OFF, HOURS_DOUBTED = 1.5, 0.75
"""By how much a file's noon may miss the sun's: beyond the first refused, beyond the second noted."""
DEEP_SIN = float(np.sin(np.radians(-6.0)))
"""Civil twilight has ended: what is measured then is no sun."""
NIGHT_SHARE = 0.01
FULL_CLEARNESS, FULL_SHARE = 1.0, 0.1
SEASON_LAT_DEG, SEASON_DAYS, SEASON_CORRELATION = 15.0, 300, -0.1
HEMISPHERE_LAT_DEG = 5.0
FAR_KM = 500.0
NEAR_DAYS = 15
"""How far in the year a day of the file may lie from a day of the voyage to count as its season."""
YEAR_ENOUGH_DAYS = 360


def check_sun(record: Record, file: str) -> tuple[str, ...]:
    """Notes on a file whose light fits the sun over its place; Problems in one sentence where it can't be."""
    sine = _sine(record)
    off = _noon_off_h(record.ghi_w_m2, np.maximum(sine, 0.0), record)
    if abs(off) >= HOURS_OFF:
        mend = "write its offset in every time" if record.kind == "CSV" else "its time zone is wrong"
        raise refuse(file, f"its sun stands highest {_late(off)} than over {_where(record)}; {mend}")
    _check_seasons(record, file)
    _check_night(record, sine, file)
    if abs(off) < HOURS_DOUBTED:
        return ()
    doubt = "times should name the start of each hour, without summer time"
    return (f"{printable(record.name)}: its sun stands highest {_late(off)} than over {_where(record)}; {doubt}",)


def _late(hours: float) -> str:
    return f"{abs(hours):.1f} h {'later' if hours > 0 else 'earlier'}"


def _where(record: Record) -> str:
    north, east = "N" if record.lat >= 0 else "S", "E" if record.lon >= 0 else "W"
    return f"{abs(record.lat):.1f}°{north} {abs(record.lon):.1f}°{east}"


def _angle(record: Record) -> tuple[Floats, Floats]:
    """Sine of declination and hour angle [rad] in the middle of each hour."""
    middle = unix_s(record.times_utc) + 1800.0
    table = ephemeris(int(middle[0] // DAY_S), int(middle[-1] // DAY_S))
    declination, ahead = table.at(middle)
    turn = (middle + ahead + SOLAR_DAY_S_PER_DEG * record.lon) / DAY_S
    return declination, 2 * np.pi * (turn % 1.0 - 0.5)


def _sine(record: Record) -> Floats:
    """Sine of the sun's altitude in the middle of each hour (N,)."""
    declination, angle = _angle(record)
    phi = np.radians(record.lat)
    return np.asarray(np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.cos(angle))


def _noon_off_h(light: Floats, sun: Floats, record: Record) -> float:
    """Hours by which the file's noon is late: the difference in phase of the first harmonic of the day."""
    turn = np.exp(2j * np.pi * unix_s(record.times_utc) / DAY_S)
    ours, theirs = complex(np.sum(light * turn)), complex(np.sum(sun * turn))
    if abs(ours) < 1e-9 * max(float(light.sum()), 1.0) or theirs == 0:
        return 0.0
    return float(np.angle(ours / theirs)) * 24 / (2 * np.pi)


def _check_night(record: Record, sine: Floats, file: str) -> None:
    share = float(record.ghi_w_m2[sine < DEEP_SIN].sum() / max(record.ghi_w_m2.sum(), 1e-9))
    if share > NIGHT_SHARE:
        what = f"{100 * share:.0f} % of its sun shines while it is night over {_where(record)}"
        raise refuse(file, f"{what}; the times are wrong, or the sensor's offset must be taken off")


def _check_seasons(record: Record, file: str) -> None:
    """Sun beyond what reaches the air, or summer and winter exchanged."""
    sums = record.days.ghi_kwh_m2
    h0 = extraterrestrial_kwh_m2(record.lat, record.days.day_of_year)
    seasons = abs(record.lat) > SEASON_LAT_DEG and len(sums) >= SEASON_DAYS
    if seasons and _follows(sums, h0) < SEASON_CORRELATION:
        raise refuse(file, f"its summer is the winter over {_where(record)}; the latitude's sign or the file is wrong")
    if float(np.mean(sums > FULL_CLEARNESS * h0 + 0.1)) > FULL_SHARE:
        what = f"has more sun than reaches the air over {_where(record)} on many days"
        raise refuse(file, f"{what}; check the unit of ghi_w_m2 (W/m², means over the hour), the place and the season")


def _follows(sums: Floats, h0: Floats) -> float:
    return float(np.corrcoef(sums, h0)[0, 1]) if sums.std() > 0 and h0.std() > 0 else 1.0


def misfit(record: Record, at: tuple[float, float], first: date, days: int) -> str | None:
    """Why a sound file can't stand for a voyage of ``days`` from ``first`` at a place, None where it can."""
    lat = at[0]
    if record.lat * lat < 0 and min(abs(record.lat), abs(lat)) > HEMISPHERE_LAT_DEG:
        what = f"{printable(record.name)} lies at {_where(record)}, the voyage in the other hemisphere"
        return f"{what}; name a file of its own half of the earth"
    held = record.days.dates
    if len(held) >= YEAR_ENOUGH_DAYS:
        return None
    if len(held) < days:
        wanted = f"the voyage takes about {days}; it must hold as many in its season, or a year"
        return f"{printable(record.name)} holds {len(held)} whole days, {wanted}"
    wanted_days = day_of_year(np.datetime64(first, "D") + np.arange(days))
    apart = np.abs((wanted_days[:, None] - day_of_year(held)[None, :] + 182.5) % 365.25 - 182.5).min(axis=1)
    if apart.max() > NEAR_DAYS:
        season = f"{held[0]} to {held[-1]}, another season than the voyage's from {first}"
        return f"{printable(record.name)} holds {season}; give that season, or a year"
    return None


def fit_notes(record: Record, at: tuple[float, float]) -> Sequence[str]:
    """What is worth a word about a file that fits."""
    notes = []
    if (away := distance_km((record.lat, record.lon), at)) > FAR_KM:
        notes.append(f"{printable(record.name)} is {away:.0f} km away from the voyage, at {_where(record)}")
    if record.typical:
        notes.append(f"{printable(record.name)} is a typical year: real years differ more, and dark spells last longer")
    return notes


def distance_km(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Great-circle distance of two positions on the mean sphere."""
    (p, x), (q, y) = np.radians(a), np.radians(b)
    chord = np.sin((q - p) / 2) ** 2 + np.cos(p) * np.cos(q) * np.sin((y - x) / 2) ** 2
    return float(2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(min(max(chord, 0.0), 1.0))))
