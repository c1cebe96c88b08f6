"""Derive data/coast.npz: the land of the earth at 1:10,000,000, cut into tiles of 4°.

    npm pack world-atlas@2.0.2 && tar xzf world-atlas-2.0.2.tgz
    pip install shapely==2.2.0
    python -m voyager.route.derive.coast_tiles package/land-10m.json

The source is Natural Earth 4.1 as TopoJSON, rounded by its packager to 0.0036° of longitude and 0.0017° of latitude.
Tiles let a map unpack its own neighbourhood only.
"""

import json
import sys
import zlib
from pathlib import Path
from typing import Any

import numpy as np
import shapely
import shapely.affinity
from numpy.typing import NDArray

from voyager.route.coast import COLUMNS, LAND, MIXED, ROWS, SEA, TILE_DEG, UNITS

Ints = NDArray[np.int64]

SIMPLIFY_DEG = 0.0012
"""Well within the rounding of the source: it takes out the steps that the rounding made."""
FICTION = shapely.Point(0.0, 0.0)
"""An island of the source where there is none, to catch faulty positions."""
LEAST_DEG2 = 2e-5
"""Islands below a quarter of a square kilometre are left out."""


def arcs_of(topology: Any) -> list[NDArray[np.float64]]:
    """The shared pieces of boundary, each (P, 2) longitude and latitude [deg]."""
    scale, shift = (np.array(topology["transform"][key]) for key in ("scale", "translate"))
    return [np.cumsum(np.array(arc), axis=0) * scale + shift for arc in topology["arcs"]]


def ring(numbers: list[int], arcs: list[NDArray[np.float64]]) -> NDArray[np.float64]:
    """A closed ring of arcs; ~n is arc n backwards, and neighbours share an end.

    The source runs over the date line: longitudes are made continuous, and a ring about a pole is closed along it.
    """
    parts = [arcs[n] if n >= 0 else arcs[~n][::-1] for n in numbers]
    points = np.concatenate([parts[0], *(part[1:] for part in parts[1:])])
    points[:, 0] = np.unwrap(points[:, 0], period=360.0)
    if abs(points[-1, 0] - points[0, 0]) < 180.0:
        return points
    pole = np.copysign(90.0, points[0, 1])
    return np.concatenate([points, [[points[-1, 0], pole], [points[0, 0], pole]], points[:1]])


def land(topology: Any) -> list[Any]:
    """Sound polygons, islets left out, each also a turn to the west and to the east."""
    arcs, out = arcs_of(topology), []
    for geometry in topology["objects"]["land"]["geometries"]:
        for rings in geometry["arcs"]:
            outer, *holes = [ring(numbers, arcs) for numbers in rings]
            sound = shapely.make_valid(shapely.Polygon(outer, holes)).simplify(SIMPLIFY_DEG)
            out += [part for part in polygons(shapely.make_valid(sound)) if part.area >= LEAST_DEG2]
    out = [part for part in out if not part.covers(FICTION)]
    return [shapely.affinity.translate(part, turn) for part in out for turn in (-360.0, 0.0, 360.0)]


def polygons(shape: Any) -> list[Any]:
    """The polygons in a shape of any kind."""
    parts = shapely.get_parts(shape)
    return [part for one in parts for part in (polygons(one) if one.geom_type.startswith(("Multi", "Geom")) else [one])
            if part.geom_type == "Polygon"]  # fmt: skip


def tile(tree: Any, row: int, column: int) -> tuple[int, bytes]:
    """What a tile is, and its packed rings where it is mixed."""
    west, south = column * TILE_DEG - 180.0, row * TILE_DEG - 90.0
    box = shapely.box(west, south, west + TILE_DEG, south + TILE_DEG)
    touching = tree.geometries[tree.query(box, predicate="intersects")]
    shape = shapely.unary_union([part.intersection(box) for part in touching])
    if shape.area < LEAST_DEG2:
        return SEA, b""
    if shape.area > box.area * (1 - 1e-9):
        return LAND, b""
    parts = [shapely.orient_polygons(part) for part in polygons(shape)]
    rings = [rounded(line, west, south) for part in parts for line in (part.exterior, *part.interiors)]
    return MIXED, packed([points for points in rings if len(points) >= 3])


def rounded(line: Any, west: float, south: float) -> Ints:
    """Corners (P, 2) in units of the tile, the first not repeated, none twice in a row."""
    points = np.rint((shapely.get_coordinates(line) - (west, south)) * (UNITS / TILE_DEG)).astype(np.int64)[:-1]
    moved: Ints = points[(points != np.roll(points, 1, axis=0)).any(axis=1)]
    return moved


def packed(rings: list[Ints]) -> bytes:
    """Lengths of the rings, then the zigzag of all differences, low bytes and high bytes apart."""
    corners = np.concatenate([np.zeros((1, 2), dtype=np.int64), *rings])
    steps = (corners[1:] - corners[:-1]).T.ravel()
    zigzag = (steps << 1) ^ (steps >> 63)
    counts = np.array([len(rings), *map(len, rings)], dtype="<u2")
    planes = [(zigzag & 255).astype(np.uint8), (zigzag >> 8).astype(np.uint8)]
    return zlib.compress(counts.tobytes() + b"".join(plane.tobytes() for plane in planes), 9)


def main() -> None:
    tree = shapely.STRtree(land(json.loads(Path(sys.argv[1]).read_text())))
    tiles = [tile(tree, row, column) for row in range(ROWS) for column in range(COLUMNS)]
    kinds = np.array([kind for kind, _ in tiles], dtype=np.uint8)
    starts = np.cumsum([0] + [len(body) for _, body in tiles]).astype(np.uint32)
    body = np.frombuffer(b"".join(body for _, body in tiles), dtype=np.uint8)
    target = Path(__file__).parents[1] / "data" / "coast.npz"
    np.savez(target, allow_pickle=False, kinds=kinds, starts=starts, body=body)
    print(target.stat().st_size, "bytes,", int((kinds == MIXED).sum()), "mixed tiles")


if __name__ == "__main__":
    main()
