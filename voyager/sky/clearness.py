"""Quantiles of daily clearness anywhere on earth, and the way between clearness and normal score.

Distributions of daily irradiation in 3° cells, land and near land, from NASA's MERRA-2 (data/SOURCES.md), as 16
quantiles a month. The reanalysis is too bright; ``corrected`` says by how much.
"""

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.normal import normal_cdf, normal_quantile
from voyager.sky.season import month_position

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PROBABILITIES = (0.01, 0.03, 0.06, 0.10, 0.15, 0.20, 0.30, 0.40, 0.50, 0.60, 0.70, 0.80, 0.87, 0.93, 0.97, 0.99)
SCORES: Floats = normal_quantile(PROBABILITIES)
"""Normal scores (16,) of the quantiles: clearness is linear in score between them."""
LOWEST, HIGHEST = 0.01, 0.9
WIDENING = 1.07
"""Spread of daily clearness at a station over that of a 3° cell, see ``widened``."""
STEP = 0.003
"""Clearness of one code of the packed table."""
CELL_DEG = 3.0
OCEAN_WARN_KM = 500.0
OCEAN_FACTOR = 0.9
EARTH_RADIUS_KM = 6371.0
_NEAREST = 6


@cache
def _cells() -> tuple[Ints, Floats, Floats]:
    """Index of each grid cell or -1 (44, 120), centres (N, 2) [deg], raw quantiles (N, 12, 16)."""
    with np.load(Path(__file__).with_name("data") / "clearness.npz") as packed:
        index = np.cumsum(packed["valid"].ravel()).reshape(packed["valid"].shape)
        grid = np.where(packed["valid"], index - 1, -1)
        codes = np.cumsum(packed["steps"], axis=0, dtype=np.int16)
    rows, columns = np.nonzero(grid >= 0)
    centres = np.column_stack([-57.0 + CELL_DEG * rows, -180.0 + CELL_DEG * columns])
    return grid, centres, np.ascontiguousarray(codes.transpose(2, 1, 0) * STEP)


def quantiles(lat_deg: ArrayLike, lon_deg: ArrayLike, day_of_year: ArrayLike) -> Floats:
    """Corrected quantiles (..., 16) of daily clearness at ``PROBABILITIES``, place and day broadcast.

    Bilinear over the cells that hold data, linear between mid-months; beyond ``OCEAN_WARN_KM`` times 0.9.
    """
    lat, lon = np.broadcast_arrays(np.asarray(lat_deg, dtype=float), np.asarray(lon_deg, dtype=float))
    day = np.asarray(day_of_year, dtype=float)
    shape = np.broadcast_shapes(lat.shape, day.shape)
    by_month = _by_month(lat.ravel(), lon.ravel())
    place = np.broadcast_to(np.arange(lat.size).reshape(lat.shape), shape)
    before, after, late = (np.broadcast_to(part, shape) for part in month_position(day))
    raw = by_month[place, before] * (1 - late[..., None]) + by_month[place, after] * late[..., None]
    return widened(corrected(raw, np.broadcast_to(lat, shape), extraterrestrial_kwh_m2(lat, day)))


def corrected(raw: ArrayLike, lat_deg: ArrayLike, extra_kwh_m2: ArrayLike) -> Floats:
    """Clearness (..., n) with the bright bias of MERRA-2 taken off; latitude and H0 [kWh/m²] of shape (...).

    Fitted over 43 sites and 510 site-months of measured and typical-year records, 26 to 65°N. It leaves about
    ±6 % on a year, ±12 % on a month; fog basins and mountain tops up to 25 % too bright, 64°N in winter 30 % too dark.
    """
    k = np.asarray(raw, dtype=float)
    band = np.exp(-(((np.abs(np.asarray(lat_deg, dtype=float)) - 51) / 8) ** 2))
    weight = (0.10 + 0.40 * band) * np.minimum(1.0, np.asarray(extra_kwh_m2, dtype=float) / 3.3)
    cloud = np.maximum(0.0, 1 - k / 0.80)
    return np.asarray(np.clip(0.915 * k * (1 - weight[..., None] * cloud), 0.0, HIGHEST))


def widened(table: ArrayLike) -> Floats:
    """Quantiles (..., 16) drawn apart about their mean, from the area of a cell to a station's own sky; 0.01 to 0.9.

    A cell of 3° averages over neighbouring weather. Eight sites with measured radiation (and no modelled one) have
    on average 1.071 times the distance from the 10th to the 90th percentile; with any one site left out 1.05 to 1.09.
    """
    k = np.asarray(table, dtype=float)
    mean = mean_clearness(k)[..., None]
    return np.asarray(np.clip(mean + WIDENING * (k - mean), LOWEST, HIGHEST))


def clearness(quantile_table: ArrayLike, score: ArrayLike) -> Floats:
    """Clearness of normal scores (...) from tables (..., 16), leading axes broadcast; 0.01 to 0.9.

    Linear in score between the quantiles and on beyond the outer ones.
    """
    table, z = np.asarray(quantile_table, dtype=float), np.asarray(score, dtype=float)
    segment = np.clip(np.searchsorted(SCORES, z, side="right") - 1, 0, SCORES.size - 2)
    low, high = _segment(table, segment)
    part = (z - SCORES[segment]) / (SCORES[segment + 1] - SCORES[segment])
    return np.asarray(np.clip(low + part * (high - low), LOWEST, HIGHEST))


def score(quantile_table: ArrayLike, k: ArrayLike) -> Floats:
    """Normal score of clearness (...) in tables (..., 16), leading axes broadcast: the inverse of ``clearness``."""
    table, value = np.asarray(quantile_table, dtype=float), np.asarray(k, dtype=float)
    value = np.clip(value, LOWEST, HIGHEST)
    segment = np.clip((table <= value[..., None]).sum(axis=-1) - 1, 0, SCORES.size - 2)
    low, high = _segment(table, segment)
    part = (value - low) / np.maximum(high - low, 1e-9)
    return np.asarray(SCORES[segment] + part * (SCORES[segment + 1] - SCORES[segment]))


def mean_clearness(quantile_table: ArrayLike) -> Floats:
    """Mean clearness (...) of tables (..., 16), exact for the linear pieces that ``clearness`` reads."""
    return np.asarray(np.asarray(quantile_table, dtype=float) @ mean_weights())


@cache
def mean_weights() -> Floats:
    """Weights (16,) of the quantiles in the mean: integrals of the hat functions over the normal density."""
    edges = np.concatenate([[-np.inf], SCORES[1:-1], [np.inf]])
    chance = np.diff(normal_cdf(edges))
    moment = -np.diff(np.exp(-(edges**2) / 2) / np.sqrt(2 * np.pi))
    width = np.diff(SCORES)
    weights = np.zeros(SCORES.size)
    weights[:-1] += (SCORES[1:] * chance - moment) / width
    weights[1:] += (moment - SCORES[:-1] * chance) / width
    return weights


def cell_distance_km(lat_deg: ArrayLike, lon_deg: ArrayLike) -> Floats:
    """Great-circle distance [km] to the nearest cell that holds data, place broadcast; 0 inside one."""
    lat, lon = np.broadcast_arrays(np.asarray(lat_deg, dtype=float), np.asarray(lon_deg, dtype=float))
    _, centres, _ = _cells()
    half = CELL_DEG / 2
    north = np.clip(lat[..., None], centres[:, 0] - half, centres[:, 0] + half)
    aside = _turn(lon[..., None] - centres[:, 1])
    gap = aside - np.clip(aside, -half, half)
    return np.asarray(_great_circle_km(lat[..., None], north, gap).min(axis=-1))


def _segment(table: Floats, segment: Ints) -> tuple[Floats, Floats]:
    """Quantiles at the two ends of each segment, of the shape of table and segment broadcast."""
    lead = np.broadcast_shapes(table.shape[:-1], segment.shape)
    rows = np.broadcast_to(table, (*lead, table.shape[-1]))
    index = np.broadcast_to(segment, lead)[..., None]
    low = np.take_along_axis(rows, index, axis=-1)[..., 0]
    return low, np.take_along_axis(rows, index + 1, axis=-1)[..., 0]


def _by_month(lat: Floats, lon: Floats) -> Floats:
    """Raw quantiles (P, 12, 16) at places (P,), the far ocean's factor included."""
    _, _, table = _cells()
    cell, weight = _corners(lat, lon)
    raw: Floats = np.einsum("pc,pcmq->pmq", weight, table[cell])
    bare = weight.sum(axis=1) == 0
    if bare.any():
        raw[bare] = _from_afar(lat[bare], lon[bare])
    return raw


def _corners(lat: Floats, lon: Floats) -> tuple[Ints, Floats]:
    """Cells (P, 4) around places (P,) and their bilinear weights over those that hold data, all zero if none."""
    grid, _, _ = _cells()
    y, x = (lat + 57.0) / CELL_DEG, np.mod(lon + 180.0, 360.0) / CELL_DEG
    south, west = np.floor(y).astype(np.int64), np.floor(x).astype(np.int64)
    up, right = y - south, x - west
    rows = south[:, None] + np.array([0, 0, 1, 1])
    columns = (west[:, None] + np.array([0, 1, 0, 1])) % grid.shape[1]
    inside = (rows >= 0) & (rows < grid.shape[0])
    cell = np.where(inside, grid[np.clip(rows, 0, grid.shape[0] - 1), columns], -1)
    weight = np.column_stack([(1 - up) * (1 - right), (1 - up) * right, up * (1 - right), up * right])
    weight = np.where(cell >= 0, weight, 0.0)
    total = weight.sum(axis=1, keepdims=True)
    return np.maximum(cell, 0), np.divide(weight, total, out=np.zeros_like(weight), where=total > 0)


def _from_afar(lat: Floats, lon: Floats) -> Floats:
    """Raw quantiles (P, 12, 16) over open water: inverse square of distance over six cells, latitude counted double."""
    _, centres, table = _cells()
    north = 2 * (lat[:, None] - centres[:, 0])
    east = _turn(lon[:, None] - centres[:, 1]) * np.cos(np.radians(lat))[:, None]
    square = north**2 + east**2
    cell = np.argpartition(square, _NEAREST, axis=1)[:, :_NEAREST]
    weight = 1 / np.maximum(np.take_along_axis(square, cell, axis=1), 1e-6)
    weight /= weight.sum(axis=1, keepdims=True)
    weight *= np.where(cell_distance_km(lat, lon) > OCEAN_WARN_KM, OCEAN_FACTOR, 1.0)[:, None]
    return np.asarray(np.einsum("pc,pcmq->pmq", weight, table[cell]))


def _turn(degrees: Floats) -> Floats:
    """The same angle in -180 to 180°."""
    return (degrees + 180.0) % 360.0 - 180.0


def _great_circle_km(lat_a: Floats, lat_b: Floats, turn_deg: Floats) -> Floats:
    """Haversine distance [km] on the mean sphere."""
    a, b, turn = np.radians(lat_a), np.radians(lat_b), np.radians(turn_deg)
    chord = np.sin((b - a) / 2) ** 2 + np.cos(a) * np.cos(b) * np.sin(turn / 2) ** 2
    return np.asarray(2 * EARTH_RADIUS_KM * np.arcsin(np.sqrt(np.clip(chord, 0.0, 1.0))))
