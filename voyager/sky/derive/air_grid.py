"""Derive data/air.npz: monthly mean air temperature and ground height on a 0.75° grid, in bands of latitude.

    pip install itur==0.4.0
    python -m voyager.sky.derive.air_grid

ITU-R P.1510-1 gives the temperature at 2 m by month; its reference height is taken as the mean of the ground
heights of ITU-R P.1511-2 (5' grid) over the 0.75° cell. Bands let a voyage unpack only its own latitudes.
"""

from importlib.util import find_spec
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from voyager.sky.grid import BAND_ROWS, HEIGHT_STEP_M, TEMPERATURE_STEP_C, names

Floats = NDArray[np.float64]

ROWS, COLUMNS = 241, 480


def source() -> Path:
    """Folder of the maps; the package itself is not imported."""
    spec = find_spec("itur")
    if spec is None or spec.origin is None:
        raise SystemExit("the package itur is not installed: pip install itur==0.4.0")
    return Path(spec.origin).parent / "data"


def temperatures() -> Floats:
    """Monthly means (12, 241, 480) [°C], row 0 at 90°S, column 0 at 180°W."""
    months = [np.load(source() / "1510" / f"v1_t_month{m:02d}.npz")["arr_0"] for m in range(1, 13)]
    lat = np.load(source() / "1510" / "v1_lat.npz")["arr_0"][:, 0]
    if lat[0] != -90 or lat[-1] != 90 or not np.allclose(months[0][:, 0], months[0][:, -1]):
        raise SystemExit("the temperature maps are not laid out as expected")
    return np.asarray(np.stack(months)[:, :, :COLUMNS] - 273.15)


def heights() -> Floats:
    """Mean ground height (241, 480) [m] over the 9 × 9 points around each node; the sea counts as 0."""
    fine = np.load(source() / "1511" / "v2_topo.npz")["arr_0"][::-1]
    lat = np.load(source() / "1511" / "v2_lat.npz")["arr_0"][::-1, 0]
    fine, lat = fine[1:-1, 1:-1], lat[1:-1]
    row = np.clip(np.rint((lat + 90) / 0.75).astype(int), 0, ROWS - 1)
    lon = np.load(source() / "1511" / "v2_lon.npz")["arr_0"][0, 1:-1]
    column = np.rint((lon + 180) / 0.75).astype(int) % COLUMNS
    cell = row[:, None] * COLUMNS + column
    total = np.bincount(cell.ravel(), weights=fine.ravel(), minlength=ROWS * COLUMNS)
    return np.asarray((total / np.bincount(cell.ravel(), minlength=ROWS * COLUMNS)).reshape(ROWS, COLUMNS))


def split(codes: NDArray[np.int32]) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Signed codes as (low, high) bytes of their zigzag form, which pack better apart."""
    zigzag = ((codes << 1) ^ (codes >> 31)).astype(np.uint16)
    return (zigzag & 255).astype(np.uint8), (zigzag >> 8).astype(np.uint8)


def main() -> None:
    layers = np.concatenate([temperatures() / TEMPERATURE_STEP_C, heights()[None] / HEIGHT_STEP_M])
    codes = np.rint(layers).astype(np.int32)
    codes[1:12] -= codes[:11].copy()
    codes = np.diff(codes, axis=-1, prepend=0)
    arrays: dict[str, NDArray[np.uint8]] = {}
    for band in range(-(-ROWS // BAND_ROWS)):
        part = codes[:, band * BAND_ROWS : (band + 1) * BAND_ROWS]
        arrays.update(zip(names(band), split(part), strict=True))
    target = Path(__file__).parents[1] / "data" / "air.npz"
    np.savez_compressed(target, allow_pickle=False, **arrays)
    print(target.stat().st_size, "bytes")


if __name__ == "__main__":
    main()
