"""What a user can ask about a place: the sun of a day there, and the speeds of a boat on it."""

from datetime import date
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from voyager.errors import InputError
from voyager.session.here import civil_date
from voyager.session.speeds import speeds
from voyager.sky.air import air_climate
from voyager.sky.clearness import OCEAN_WARN_KM, cell_distance_km, clearness, quantiles
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.hours import DayShape, day_shape, irradiance
from voyager.sky.normal import normal_quantile
from voyager.sky.plane import on_plane
from voyager.sky.sun import SunTimes, clear_sky_kwh_m2, sun_times

__all__ = ["speeds", "sun"]

Floats = NDArray[np.float64]

PROBABILITIES = np.arange(1, 200) / 200
"""Days, equally likely, that stand for all days of the date; 10, 50 and 90 % are among them."""
SPREAD = {"p10": 19, "p50": 99, "p90": 179}
NORTH_WARN_DEG = 62.0
OCEAN_TEXT = "More than 500 km from land: the clearness is drawn from the nearest coasts and may be far off."
NORTH_TEXT = "Beyond 62° the built-in clearness is little tested; in winter it may be about 30 % too dark."


def sun(lat: float, lon: float, day: str, tilt: float = 0.0, azimuth: float | None = None) -> dict[str, object]:
    """Sky and irradiation of a civil date at a place: the ``sun`` object of FILES section 6.

    ``lat``, ``lon`` and ``tilt`` in degrees, ``azimuth`` clockwise from north (None: facing the equator). Spreads are
    over the days that the date may bring in that climate, on level ground at the sea's height; what falls on the
    tilted plane is before its glass. Raises InputError for what is out of range.
    """
    on = _checked(lat, lon, day, tilt)
    facing = (180.0 if lat >= 0 else 0.0) if azimuth is None else _finite(azimuth, "azimuth") % 360
    times = sun_times(lat, lon, (on,))
    of_year = on.timetuple().tm_yday
    extra = float(extraterrestrial_kwh_m2(lat, of_year))
    k = clearness(quantiles(lat, lon, of_year), normal_quantile(PROBABILITIES))
    return {
        "lat": lat,
        "lon": lon,
        "date": on.isoformat(),
        "sunrise_utc": _instant(times.rise_utc),
        "sunset_utc": _instant(times.set_utc),
        "day_length_h": _length_h(times),
        "extraterrestrial_kwh_m2": round(extra, 4),
        "clear_sky_kwh_m2": round(clear_sky_kwh_m2(lat, lon, on), 4),
        "air_temp_c": round(float(air_climate(lat, lon, None, of_year).mean_c), 2),
        "tilt_deg": tilt,
        "azimuth_deg": facing,
        "ghi_kwh_m2": _spread(k * extra),
        "tilted_kwh_m2": _spread(_tilted_kwh_m2(_solar_day(lat, lon, times), k, tilt, facing)),
        "cautions": _cautions(lat, lon),
    }


def _checked(lat: float, lon: float, day: str, tilt: float) -> date:
    for name, value, low, high in (("latitude", lat, -90, 90), ("longitude", lon, -180, 180), ("tilt", tilt, 0, 90)):
        if not low <= value <= high:
            raise InputError(f"{name} {value:g} is out of range; it lies between {low} and {high} degrees")
    return civil_date(day)


def _finite(value: float, name: str) -> float:
    if not isfinite(value):
        raise InputError(f"{name} {value} is not a number of degrees")
    return value


def _instant(time: NDArray[np.datetime64]) -> str | None:
    return None if np.isnat(time).all() else f"{time.ravel()[0]}Z"


def _length_h(times: SunTimes) -> float:
    if times.up_all_day.all():
        return 24.0
    if times.down_all_day.all():
        return 0.0
    return round(float((times.set_utc - times.rise_utc).ravel()[0] / np.timedelta64(1, "s")) / 3600, 4)


def _solar_day(lat: float, lon: float, times: SunTimes) -> DayShape:
    """The 24 hours around the noon of the date, whatever zone they fall into."""
    start = times.noon_utc.ravel()[0] - np.timedelta64(12, "h")
    return day_shape(np.array([start, start + np.timedelta64(24, "h")]), [24], lat, lon)


def _tilted_kwh_m2(shape: DayShape, k: Floats, tilt: float, azimuth: float) -> Floats:
    """Irradiation on the plane [kWh/m²] on days of clearness (n,), of its shape."""
    plane = on_plane(shape.light.sun, irradiance(shape, k[None, None, :]), tilt, azimuth)
    return np.asarray(np.einsum("dshk,dshkn->n", shape.light.sun.weight_h, plane.poa_w_m2) / 1000)


def _spread(values: Floats) -> dict[str, float]:
    ordered = np.sort(values)
    spread = {"mean": float(values.mean()), **{name: float(ordered[at]) for name, at in SPREAD.items()}}
    return {name: round(value, 4) for name, value in spread.items()}


def _cautions(lat: float, lon: float) -> list[dict[str, str]]:
    far = float(cell_distance_km(lat, lon)) > OCEAN_WARN_KM
    ocean = [{"code": "climate_ocean", "text": OCEAN_TEXT}] if far else []
    north = [{"code": "climate_north", "text": NORTH_TEXT}] if abs(lat) > NORTH_WARN_DEG else []
    return ocean + north
