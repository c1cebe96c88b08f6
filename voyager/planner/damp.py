"""Where the cabin's air condenses: on single glass colder than its dew point."""

import numpy as np
from numpy.typing import NDArray

from voyager.boat.air import dew_point_c

Floats = NDArray[np.float64]
HUMIDITY_PERCENT = 60.0
"""Air that people live in: common practice, no source."""
GLASS_W_PER_M2K, INSIDE_M2K_PER_W = 5.75, 0.13
"""Single 4 mm glass (EN 673, from memory) and the inside surface resistance of a wall (ISO 6946)."""


def condenses(air_c: Floats, outside_c: Floats) -> bool:
    """Whether in any hour (H,) the inside of single glass lies below the dew point of the cabin's air."""
    glass_c = air_c - GLASS_W_PER_M2K * INSIDE_M2K_PER_W * (air_c - outside_c)
    return bool(np.any(glass_c < dew_point_c(air_c, HUMIDITY_PERCENT)))
