"""Reader of the 0.75° grid of monthly air temperature and ground height, one band of latitude at a time."""

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

GRID_DEG = 0.75
BAND_ROWS = 16
TEMPERATURE_STEP_C = 0.1
HEIGHT_STEP_M = 10.0
_LAST_ROW, _COLUMNS = 240, 480


def names(band: int) -> tuple[str, str]:
    """Names of the arrays of low and high bytes of a band."""
    return f"low{band:02d}", f"high{band:02d}"


@cache
def _band(number: int) -> Floats:
    """Layers (13, rows, 480) of a band: temperature of the months [°C], then ground height [m]."""
    with np.load(Path(__file__).with_name("data") / "air.npz") as packed:
        low, high = (packed[name].astype(np.int32) for name in names(number))
    zigzag = low | high << 8
    codes = np.cumsum((zigzag >> 1) ^ -(zigzag & 1), axis=-1, dtype=np.int32)
    months = np.cumsum(codes[:12], axis=0, dtype=np.int32)
    return np.concatenate([months * TEMPERATURE_STEP_C, codes[12:] * HEIGHT_STEP_M])


def layers_at(lat_deg: ArrayLike, lon_deg: ArrayLike) -> tuple[Floats, Floats]:
    """Monthly mean air temperature (..., 12) [°C] and the height (...) [m] it stands for, bilinear, place broadcast."""
    lat, lon = np.broadcast_arrays(np.asarray(lat_deg, dtype=float), np.asarray(lon_deg, dtype=float))
    y = np.clip((lat + 90.0) / GRID_DEG, 0.0, _LAST_ROW)
    x = np.mod(lon + 180.0, 360.0) / GRID_DEG
    south = np.minimum(np.floor(y), _LAST_ROW - 1).astype(np.int64)
    west = np.floor(x).astype(np.int64)
    up, right = (y - south)[..., None], (x - west)[..., None]
    lower = _row(south, west) * (1 - right) + _row(south, west + 1) * right
    upper = _row(south + 1, west) * (1 - right) + _row(south + 1, west + 1) * right
    layers = lower * (1 - up) + upper * up
    return layers[..., :12], layers[..., 12]


def _row(row: NDArray[np.int64], column: NDArray[np.int64]) -> Floats:
    """Layers (..., 13) at grid nodes."""
    result = np.empty((*row.shape, 13))
    for number in np.unique(row // BAND_ROWS):
        here = row // BAND_ROWS == number
        result[here] = _band(int(number))[:, row[here] % BAND_ROWS, column[here] % _COLUMNS].T
    return result
