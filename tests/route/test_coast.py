"""The packaged coast against areas and positions published elsewhere, and against itself."""

import importlib.util
from pathlib import Path

import numpy as np
import pytest

from tests.sky.climate_sites import Sites
from voyager.route.coast import COLUMNS, ROWS, TILE_DEG, UNITS, Box, coasts, rings, tile
from voyager.route.land import on_land

AREAS_KM2 = {
    # Total areas of the CIA World Factbook (from memory), and a box (south, west, north, east) with that land alone
    "Iceland": (103_000, (63.0, -25.0, 67.2, -13.0)),
    "Madagascar": (587_041, (-26.0, 43.0, -12.4, 51.0)),
    "Sri Lanka": (65_610, (5.8, 79.6, 9.9, 82.0)),
    "Jamaica": (10_991, (17.6, -78.5, 18.6, -76.0)),
}
BUOYS = {
    # Moored stations of NOAA's National Data Buoy Center (www.ndbc.noaa.gov), the Met Office and Ireland's Marine
    # Institute, positions from memory
    "44025 off Long Island": (40.26, -73.18), "44013 off Boston": (42.35, -70.65),
    "44062 mid Chesapeake": (38.56, -76.42), "44043 off Rock Hall": (39.15, -76.39),
    "46026 off San Francisco": (37.75, -122.84), "42001 Gulf of Mexico": (25.93, -89.66),
    "51001 off Kauai": (24.45, -162.01), "62001 Biscay": (45.23, -5.00), "62103 Channel": (49.90, -2.90),
    "62305 Greenwich": (50.40, 0.00), "M2 Irish Sea": (53.48, -5.43), "M5 off Wexford": (51.69, -6.70),
}  # fmt: skip
CELL_DEG = 0.02


def grid(south: float, west: float, north: float, east: float) -> tuple[np.ndarray, np.ndarray]:
    lat = np.arange(south + CELL_DEG / 2, north, CELL_DEG)
    lon = np.arange(west + CELL_DEG / 2, east, CELL_DEG)
    return lat[:, None], lon[None, :]


@pytest.mark.parametrize("name", AREAS_KM2)
def test_islands_have_their_published_area(name):
    area, box = AREAS_KM2[name]
    lat, lon = grid(*box)
    cell_km2 = (CELL_DEG * 111.195) ** 2 * np.cos(np.radians(lat))
    assert (on_land(lat, lon) * cell_km2).sum() == pytest.approx(area, rel=0.02)


def test_weather_stations_are_on_land():
    """Published positions of 31 stations, see tests/reference/SOURCES.md."""
    sites = Sites()
    assert on_land(sites.lat, sites.lon).all()


@pytest.mark.parametrize("name", BUOYS)
def test_moored_buoys_are_at_sea(name):
    assert not on_land(*BUOYS[name])


def test_land_on_the_left_of_every_ring_gives_the_land_of_the_earth():
    """148.94 million km² of land, of which Antarctica, with ice shelves that the data leave to the sea, is 14.2 (CIA
    World Factbook, from memory)."""
    without = range(int((90.0 - 58.0) // TILE_DEG), ROWS)
    total = sum(left_km2(ring.lon, ring.lat) for row in without for column in range(COLUMNS)
                for ring in tile(row, column))  # fmt: skip
    assert total == pytest.approx(148.94e6 - 14.2e6, rel=0.005)


def left_km2(lon: np.ndarray, lat: np.ndarray) -> float:
    """Area on the left of a ring on the mean sphere, negative for a hole."""
    sine, turn = np.sin(np.radians(lat)), np.radians(np.roll(lon, -1) - lon)
    return float(-(6371.0**2) * ((sine + np.roll(sine, -1)) / 2 * turn).sum())


def test_tiles_meet_without_a_seam():
    """Just this side and just that side of a border it is nearly always both land or both sea."""
    along = np.arange(-59.99, 80.0, 0.2)
    border = np.arange(-180.0 + TILE_DEG, 180.0, TILE_DEG)
    step = 2 * TILE_DEG / UNITS
    west, east = (on_land(along[:, None], border + side * step) for side in (-1, 1))
    assert (west != east).mean() < 0.003
    across = np.arange(-179.9, 180.0, 0.2)
    rows = np.arange(-56.0, 80.0, TILE_DEG)
    south, north = (on_land(rows + side * step, across[:, None]) for side in (-1, 1))
    assert (south != north).mean() < 0.003


def test_coasts_are_the_sides_that_are_no_border():
    for ring in rings(Box(-12.0, 48.0, 4.0, 60.0)):
        pieces = list(coasts(ring))
        assert sum(len(lon) - 1 for lon, _ in pieces) == ring.coast.sum()
        for lon, lat in pieces:
            on_border = [np.isclose(np.mod(a + 180.0, TILE_DEG), 0) for a in (lon, lat + 2)]
            assert not (on_border[0][1:] & on_border[0][:-1] & (np.diff(lon) == 0)).any()
            assert not (on_border[1][1:] & on_border[1][:-1] & (np.diff(lat) == 0)).any()


def test_an_island_comes_back_to_its_start():
    island = next(ring for ring in tile(38, 43) if ring.coast.all())
    ((lon, lat),) = coasts(island)
    assert (lon[0], lat[0]) == (lon[-1], lat[-1])
    assert len(lon) == len(island.lon) + 1


def test_rings_beyond_the_date_line_are_moved_to_where_the_box_is():
    east = [ring.lon for ring in rings(Box(176.0, -20.0, 183.9, -14.0))]
    assert max(lon.max() for lon in east) <= 184.0
    assert any(lon.min() >= 180.0 for lon in east)


def test_the_data_name_their_source_and_licence_and_stay_small():
    folder = Path(str(importlib.util.find_spec("voyager.route.coast").origin)).parent / "data"
    assert (folder / "coast.npz").stat().st_size < 1_500_000
    told = " ".join((folder / "SOURCES.md").read_text().replace(">", " ").split())
    for words in ("Natural Earth", "public domain", "world-atlas", "this permission notice appear in all copies"):
        assert words in told
