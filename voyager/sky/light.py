"""Irradiance of single sub-steps: what a daily clearness makes of the geometry of the sun."""

from dataclasses import dataclass, fields, replace
from typing import Any, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.shares import daily_diffuse_fraction

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class _Cut:
    """Frozen arrays of one shape, cut all alike by ``self[index]``."""

    def __getitem__(self, index: Any) -> Self:
        return replace(self, **{f.name: getattr(self, f.name)[index] for f in fields(self)})

    def take(self, rows: NDArray[np.int64], axis: int = 0) -> Self:
        """Rows along an axis, faster than by ``[]``."""
        return replace(self, **{f.name: np.take(getattr(self, f.name), rows, axis=axis) for f in fields(self)})


@dataclass(frozen=True)
class Sun(_Cut):
    """Sunlit hours of sub-steps of any shape and the unit vector to the sun in the middle of each."""

    weight_h: Floats
    cos_zenith: Floats
    east: Floats
    north: Floats


@dataclass(frozen=True)
class Light(_Cut):
    """What a clearness K is multiplied with on sub-steps of any common shape.

    ``global_w`` W/m² on the horizontal per K; ``beam_global_w`` and ``beam_diffuse_w`` the same over cos z, global
    and wholly diffuse; ``extra_w`` extraterrestrial normal W/m²; ``short_day`` the winter form of the diffuse relation.
    """

    sun: Sun
    global_w: Floats
    beam_global_w: Floats
    beam_diffuse_w: Floats
    extra_w: Floats
    short_day: NDArray[np.bool_]


@dataclass(frozen=True)
class Irradiance(_Cut):
    """Horizontal global and diffuse, normal beam [W/m²]; Hay & Davies' parts of the diffuse sky.

    ``circumsolar_w_m2`` comes along the beam, normal to it: A·D/cos z; ``isotropic_w_m2`` is (1 - A)·D.
    """

    ghi_w_m2: Floats
    dhi_w_m2: Floats
    dni_w_m2: Floats
    circumsolar_w_m2: Floats
    isotropic_w_m2: Floats


def irradiance_on(light: Light, clearness: ArrayLike) -> Irradiance:
    """Irradiance of sub-steps for clearness that broadcasts against the fields of ``light``.

    The beam is (G - D)/cos z, never negative: what the shares leave negative at the edges of a dull day is diffuse.
    """
    k = np.asarray(clearness, dtype=float)
    fraction = daily_diffuse_fraction(k, light.short_day)
    beam = k * np.maximum(light.beam_global_w - fraction * light.beam_diffuse_w, 0.0)
    index = beam / light.extra_w
    whole = k * light.global_w
    diffuse = np.maximum(whole - beam * light.sun.cos_zenith, 0.0)
    around = (k * light.beam_global_w - beam) * index
    return Irradiance(whole, diffuse, beam, around, np.maximum(1.0 - index, 0.0) * diffuse)
