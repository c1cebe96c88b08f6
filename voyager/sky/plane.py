"""Irradiance on a tilted, turning plane: Hay & Davies, ground reflection, incidence loss of the beam."""

from dataclasses import dataclass, fields
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.light import Irradiance, Sun

Floats = NDArray[np.float64]

ALBEDO = 0.10
"""Water and its banks: a judgement between pvlib's ``sea`` (0.06) and ``grass`` (0.20)."""
_GRID = 2048


@dataclass(frozen=True)
class PlaneIrradiance:
    """On the plane [W/m²]: what falls on it, and what passes the cover glass, which is what the cells see."""

    effective_w_m2: Floats
    poa_w_m2: Floats


@cache
def _glass_table() -> tuple[Floats, Floats]:
    """Incidence modifier over cos(incidence) from 0 to 1, and its steps; straight lines between err below 2e-5."""
    from pvlib import iam

    with np.errstate(all="ignore"):
        table = iam.physical(np.degrees(np.arccos(np.linspace(0.0, 1.0, _GRID + 1))))
    table[0] = 0.0
    return np.append(table, table[-1]), np.append(np.diff(table), [0.0, 0.0])


def incidence_modifier(cosine: ArrayLike) -> Floats:
    """Part of the beam that the glass lets through against normal incidence; De Soto 2006, pvlib's ``iam.physical``."""
    at = np.asarray(cosine, dtype=float) * _GRID
    whole = at.astype(np.int32)
    table, steps = _glass_table()
    at -= whole
    at *= np.take(steps, whole)
    at += np.take(table, whole)
    return at


def incidence_cosine(sun: Sun, tilt_deg: ArrayLike, azimuth_deg: ArrayLike) -> Floats:
    """Cosine of the angle between sun and the plane's normal, 0 behind the plane; D&B equation 1.6.3 as a product."""
    tilt, azimuth = np.radians(np.asarray(tilt_deg, float)), np.radians(np.asarray(azimuth_deg, float))
    across = sun.east * (np.sin(tilt) * np.sin(azimuth)) + sun.north * (np.sin(tilt) * np.cos(azimuth))
    return np.asarray(np.maximum(across + sun.cos_zenith * np.cos(tilt), 0.0))


def on_plane(
    sun: Sun, sky: Irradiance, tilt_deg: ArrayLike, azimuth_deg: ArrayLike, *, albedo: float = ALBEDO
) -> PlaneIrradiance:
    """Irradiance of sub-steps on planes; tilt from the horizontal, azimuth clockwise from north [degrees].

    ``sky`` carries one axis more than ``sun``, the last: kinds of sky. The angles broadcast against ``sun``.
    """
    depth = max(sun.east.ndim, np.ndim(tilt_deg), np.ndim(azimuth_deg))

    def leading(part: Floats) -> Floats:
        first = np.moveaxis(part, -1, 0)
        return first.reshape(len(first), *(1,) * (depth + 1 - first.ndim), *first.shape[1:])

    first = Irradiance(*(leading(getattr(sky, f.name)) for f in fields(sky)))
    plane = kinds_on_plane(sun, first, tilt_deg, azimuth_deg, albedo=albedo)
    return PlaneIrradiance(np.moveaxis(plane.effective_w_m2, 0, -1), np.moveaxis(plane.poa_w_m2, 0, -1))


def kinds_on_plane(
    sun: Sun, sky: Irradiance, tilt_deg: ArrayLike, azimuth_deg: ArrayLike, *, albedo: float = ALBEDO
) -> PlaneIrradiance:
    """The same with the kinds of sky as the first axis, which numpy does in half the time.

    Hay & Davies 1980 with the circumsolar part as (D/cos z)·A, finite at the horizon without pvlib's cut at 89°;
    ground reflection isotropic; the incidence loss falls on the beam only, as in pvlib's ModelChain.
    """
    cosine = incidence_cosine(sun, tilt_deg, azimuth_deg)
    level = np.cos(np.radians(np.asarray(tilt_deg, dtype=float)))
    round_about = sky.isotropic_w_m2 * (0.5 + 0.5 * level)
    if np.any(level < 1.0):
        round_about += sky.ghi_w_m2 * (albedo * (0.5 - 0.5 * level))
    beam = sky.dni_w_m2 * cosine
    round_about += sky.circumsolar_w_m2 * cosine
    poa = beam + round_about
    beam *= incidence_modifier(cosine)
    beam += round_about
    return PlaneIrradiance(beam, poa)


def on_pane(sun: Sun, sky: Irradiance, *, albedo: float = ALBEDO) -> Floats:
    """Irradiance [W/m²] on a vertical pane, mean over all headings; the mean of max(0, cos) round the circle is 1/π."""
    sine = np.sqrt(np.maximum(1.0 - sun.cos_zenith**2, 0.0)) / np.pi
    direct = (sky.dni_w_m2 + sky.circumsolar_w_m2) * sine[..., None]
    return np.asarray(direct + 0.5 * sky.isotropic_w_m2 + 0.5 * albedo * sky.ghi_w_m2)
