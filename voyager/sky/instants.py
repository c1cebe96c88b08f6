"""The sun and the sky at instants: what a cloudless sky gives, and a measured global irradiance split in its parts."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.extra import SOLAR_CONSTANT_W_M2, distance_factor
from voyager.sky.light import Irradiance, Sun
from voyager.sky.sun import clear_sky_w_m2, linke_turbidity, position, to_utc

Floats = NDArray[np.float64]

LEAST_COSINE = 0.01746
"""Cosine of the zenith at 89°: below it the circumsolar part is not raised further, as in pvlib's Hay-Davies."""
MAX_ZENITH_DEG = 87.0


def sun_at(time_s: ArrayLike, weight_h: ArrayLike, lat: float, lon: float) -> Sun:
    """The sun at Unix times [s], any shape, by pvlib's SPA; each stands for ``weight_h``, below the horizon for 0."""
    where = position(to_utc(time_s), lat, lon)
    zenith, azimuth = np.radians(where.zenith_deg), np.radians(where.azimuth_deg)
    cosine = np.cos(zenith)
    weight = np.where(cosine > 0, np.asarray(weight_h, dtype=float), 0.0)
    level = np.sin(zenith)
    return Sun(weight, np.maximum(cosine, 0.0), level * np.sin(azimuth), level * np.cos(azimuth))


def extra_w_m2(time_s: ArrayLike) -> Floats:
    """Extraterrestrial normal irradiance [W/m²] at Unix times [s], any shape."""
    return np.asarray(SOLAR_CONSTANT_W_M2 * distance_factor(_day_of_year(time_s)))


def clear_at(time_s: ArrayLike, lat: float, lon: float, height_m: float = 0.0) -> Irradiance:
    """A cloudless sky at Unix times [s] (m,): Ineichen & Perez 2002, monthly Linke turbidity of SoDa as in pvlib.

    Turbidity differs by a fifth or so from day to day and place to place (common practice, no source).
    """
    times = to_utc(time_s)
    where = position(times, lat, lon, height_m=height_m)
    turbidity, extra = linke_turbidity(times, lat, lon), extra_w_m2(time_s)
    ghi, dhi, dni = clear_sky_w_m2(where.apparent_zenith_deg, turbidity, height_m, extra)
    cosine = np.cos(np.radians(where.zenith_deg))
    return _parted(np.nan_to_num(ghi), np.nan_to_num(dhi), np.nan_to_num(dni), cosine, extra)


def split_at(time_s: ArrayLike, clearness: ArrayLike, cos_zenith: ArrayLike) -> Irradiance:
    """The sky at Unix times [s] (m,) of a clearness that holds for an hour or so; not for that of whole days.

    Beam by DISC, Maxwell 1987, SERI/TR-215-3087, as coded in pvlib: unlike the relations in clearness alone it knows
    the air mass, without which a winter's clear hours get too little beam.
    """
    from pvlib import irradiance

    extra, cosine = extra_w_m2(time_s), np.asarray(cos_zenith, dtype=float)
    ghi = np.asarray(clearness, dtype=float) * extra * cosine
    zenith = np.degrees(np.arccos(np.clip(cosine, 0.0, 1.0)))
    dni = np.nan_to_num(irradiance.disc(ghi, zenith, _day_of_year(time_s), max_zenith=MAX_ZENITH_DEG)["dni"])
    dni = np.minimum(dni, ghi / np.maximum(cosine, LEAST_COSINE))
    return _parted(ghi, ghi - dni * cosine, dni, cosine, extra)


def _parted(ghi: Floats, dhi: Floats, dni: Floats, cosine: Floats, extra: Floats) -> Irradiance:
    """Hay & Davies' parts of the diffuse sky."""
    index = np.minimum(dni / extra, 1.0)
    return Irradiance(ghi, dhi, dni, index * dhi / np.maximum(cosine, LEAST_COSINE), (1.0 - index) * dhi)


def _day_of_year(time_s: ArrayLike) -> NDArray[np.int64]:
    day = to_utc(time_s).astype("datetime64[D]")
    return np.asarray((day - day.astype("datetime64[Y]")).astype(np.int64) + 1)
