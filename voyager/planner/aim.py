"""What the plan is for, as one number for every action: soonest, fewest-shore, calmest."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from voyager.route.voyage import Aim

Floats = NDArray[np.float64]
LATE = 20.0
STEP_DOWN = 0.5
NOT_HELD = 1.0
NEVER_DAYS = 20.0


@dataclass(frozen=True)
class Weights:
    """Price of one day, one hour under way, one evening plugged in and one kWh of propulsion, in the aim's unit."""

    day: float
    hour: float
    plug: float
    kwh: float


WEIGHTS: dict["Aim", Weights] = {
    "soonest": Weights(1.0, 0.003, 0.01, 1e-4),
    "fewest-shore": Weights(1e-3, 0.0, 1.0, 1e-4),
    "calmest": Weights(0.0, 0.0, 0.01, 0.01),
}


def price(weights: Weights, days: Floats, hours: Floats, kwh: Floats, steps_down: Floats) -> Floats:
    """Price of actions (A,): days are fractions to making fast on the day of arrival; comfort is dear, not sacred."""
    return np.asarray(weights.day * days + weights.hour * hours + weights.kwh * kwh + STEP_DOWN * steps_down)


def never_price(weights: Weights, days: int, late: bool) -> float:
    """What not having arrived at the horizon of ``days`` costs beside the days lived: with them the horizon and twenty
    more in every aim, and late where a date was set. It is dearer than any arrival, also one that is late."""
    return days * (1 - weights.day) + NEVER_DAYS + (LATE if late else 0.0)
