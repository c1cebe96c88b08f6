"""What each heater gives of the heat that is wanted."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def shared_out(wanted_w: Floats, limits_w: Sequence[Floats], per_watt: Sequence[Floats | float]) -> Iterator[Floats]:
    """Power at the terminals of each heater [W], shape of ``wanted_w``: each gives what it may, the next the rest.

    ``wanted_w`` heat [W]; ``limits_w`` what each may draw and ``per_watt`` the heat that a watt of it gives, in the
    order in which they are taken. With ``per_watt`` 1 a known draw of all of them is shared out.
    """
    for limit, gain in zip(limits_w, per_watt, strict=True):
        watts: Floats = np.minimum(wanted_w / gain, limit)
        wanted_w = wanted_w - watts * gain
        yield watts
