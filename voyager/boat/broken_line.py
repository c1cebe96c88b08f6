"""A short table read along straight lines, level beyond its ends."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray


def along(points: Sequence[tuple[float, float]], at: ArrayLike) -> NDArray[np.float64]:
    """Values of ((x, y), ...) in any order at ``at``, any shape; for a few points much faster than a search."""
    where = np.asarray(at, dtype=float)
    (x0, y0), *rest = sorted(points)
    out = np.full_like(where, y0)
    for x1, y1 in rest:
        if x1 > x0 and y1 != y0:
            out += np.minimum(np.maximum(where - x0, 0.0), x1 - x0) * ((y1 - y0) / (x1 - x0))
        elif x1 == x0:
            out += np.where(where >= x0, y1 - y0, 0.0)
        x0, y0 = x1, y1
    return out
