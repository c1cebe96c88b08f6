"""What a hand forecast says of the days ahead: scores of clearness with their spread, air and wind.

A forecast for the k-th day ahead holds with a skill that falls by day; what it leaves open is the climate's.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.clearness import score
from voyager.sky.extra import daily_hours, declination_rad

Floats = NDArray[np.float64]

OKTAS = 8
CLOUD_COEFFICIENT, CLOUD_EXPONENT = 0.75, 3.4
"""Kasten & Czeplak 1980, Solar Energy 24:177, from ten years of hourly values at Hamburg."""
SKILL_KEPT = 0.93
"""Part of the skill that is left after each further day: common practice, no source."""
MAX_SCORE = 3.0
"""A forecast brighter or darker than the 740th day says no more than that."""
HAURWITZ_W_M2, HAURWITZ_DEPTH = 1098.0, 0.059
_STEPS = 96


class Row(Protocol):
    """One day's forecast: ``oktas`` or ``ghi_kwh_m2``, and perhaps air and wind."""

    @property
    def date(self) -> date: ...
    @property
    def oktas(self) -> float | None: ...
    @property
    def ghi_kwh_m2(self) -> float | None: ...
    @property
    def air_c(self) -> float | None: ...
    @property
    def wind_mps(self) -> float | None: ...


@dataclass(frozen=True)
class Known:
    """By day (D,), nan where nothing is forecast: mean and spread of the clearness score, air_c, wind_mps."""

    mean: Floats
    spread: Floats
    air_c: Floats
    wind_mps: Floats


def okta_clearness_ratio(oktas: ArrayLike) -> Floats:
    """Global irradiation over that of a clear sky [-] under a cloud cover in eighths, any shape.

    G/G0 = 1 - 0.75·(N/8)^3.4, Kasten & Czeplak 1980, Solar Energy 24:177; for 0 to 8 eighths, one quarter at 8.
    """
    cover = np.asarray(oktas, dtype=float) / OKTAS
    return np.asarray(1.0 - CLOUD_COEFFICIENT * cover**CLOUD_EXPONENT)


def forecast_skill(days_ahead: ArrayLike, skill: float) -> Floats:
    """Correlation [-] of a forecast for the k-th day (k = 1 is the first) with what comes, any shape."""
    return np.asarray(skill * SKILL_KEPT ** (np.asarray(days_ahead, dtype=float) - 1))


def clear_day_kwh_m2(lat_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Irradiation of a cloudless day on the horizontal [kWh/m²], latitude and day broadcast; polar night 0.

    Haurwitz 1945, Journal of Meteorology 2:154: 1098·cos z·exp(-0.059/cos z) W/m², summed over quarter-hours.
    It wants no turbidity and no library. Against Ineichen & Perez with monthly turbidity it is 4 % brighter in the
    middle, at most 10 % darker; in turbid air under a low winter sun up to 45 % brighter: an upper bound, no forecast.
    """
    lat, day = np.broadcast_arrays(np.asarray(lat_deg, dtype=float), np.asarray(day_of_year, dtype=float))
    delta, phi = declination_rad(day)[..., None], np.radians(lat)[..., None]
    angle = 2 * np.pi * ((np.arange(_STEPS) + 0.5) / _STEPS - 0.5)
    cosine = np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.cos(angle)
    above = np.maximum(cosine, 1e-4)
    light = np.where(cosine > 0, HAURWITZ_W_M2 * above * np.exp(-HAURWITZ_DEPTH / above), 0.0)
    return np.asarray(np.where(daily_hours(lat, declination_rad(day)) > 0, light.mean(axis=-1) * 24 / 1000, 0.0))


def known(
    forecast: Sequence[Row],
    dates: Sequence[date],
    table: ArrayLike,
    extra_kwh_m2: ArrayLike,
    clear_kwh_m2: ArrayLike,
    skill: float,
) -> Known:
    """What ``forecast`` says of ``dates`` (D,), the first of them one day ahead; rows of other dates are ignored.

    ``table`` (D, 16) quantiles of clearness, ``extra_kwh_m2`` and ``clear_kwh_m2`` (D,) extraterrestrial and clear-sky
    irradiation. The score z of day k is N(m, 1 - ρ²): m the score of the forecast value, ρ of ``forecast_skill``.
    """
    told = {row.date: row for row in forecast}
    rows = [told.get(day) for day in dates]
    ratio = okta_clearness_ratio(_column([row.oktas if row else None for row in rows]))
    value = _column([row.ghi_kwh_m2 if row else None for row in rows])
    irradiation = np.where(np.isnan(value), ratio * np.asarray(clear_kwh_m2, dtype=float), value)
    extra = np.asarray(extra_kwh_m2, dtype=float)
    given = np.isfinite(irradiation) & (extra > 0)
    k = np.divide(irradiation, extra, out=np.zeros_like(irradiation), where=given)
    mean = np.clip(score(table, k), -MAX_SCORE, MAX_SCORE)
    spread = np.sqrt(1.0 - forecast_skill(np.arange(1, len(rows) + 1), skill) ** 2)
    return Known(
        mean=np.where(given, mean, np.nan),
        spread=np.where(given, spread, np.nan),
        air_c=_column([row.air_c if row else None for row in rows]),
        wind_mps=_column([row.wind_mps if row else None for row in rows]),
    )


def _column(values: Sequence[float | None]) -> Floats:
    return np.array([np.nan if value is None else value for value in values], dtype=float)
