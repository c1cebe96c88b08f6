"""Logs of made-up cabins, integrated without the simulator: matrix exponentials of the balance of heat."""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import expm

from voyager.fits.heat_log import HeatLog, heat_log
from voyager.fits.measured import Measured
from voyager.fits.result import Floats

PARTS = 4
EPOCH_S = 1.8e9


@dataclass(frozen=True)
class Truth:
    """A cabin: loss [W/K], air [Wh/K], and perhaps structure [Wh/K] behind an exchange [W/K]."""

    ua: float = 62.0
    air: float = 12.0
    structure: float | None = None
    exchange: float = 0.0

    @property
    def numbers(self) -> Floats:
        return np.array([self.ua, self.air, *([self.structure, self.exchange] if self.structure else [])])

    def rate(self) -> Floats:
        """d/dt of (air, structure, outside, heat) [1/h]: C T' = Q + UA (To - T) + U (Ts - T), Cs Ts' = U (T - Ts)."""
        other = self.structure or 1.0
        return np.array(
            [
                [-(self.ua + self.exchange) / self.air, self.exchange / self.air, self.ua / self.air, 1 / self.air],
                [self.exchange / other, -self.exchange / other, 0.0, 0.0],
                [0.0, 0.0, 0.0, 0.0],
                [0.0, 0.0, 0.0, 0.0],
            ]
        )

    def inside_c(self, hours: Floats, outside_c: Floats, heat_w: Floats, start_c: float) -> Floats:
        """Heat of a row until the next; outside in a straight line between rows, in small parts."""
        state, found = np.array([start_c, start_c, 0.0, 0.0]), [start_c]
        fades: dict[float, Floats] = {}
        for i, length in enumerate(np.diff(hours)):
            if (long := round(length, 9)) not in fades:
                fades[long] = expm(self.rate() * length / PARTS)
            for part in range(PARTS):
                state[2] = outside_c[i] + (outside_c[i + 1] - outside_c[i]) * (part + 0.5) / PARTS
                state[3] = heat_w[i]
                state = fades[long] @ state
            found.append(state[0])
        return np.array(found)


@dataclass(frozen=True)
class Test:
    """What was done: the hours of the rows, air outside and heater."""

    hours: Floats
    outside_c: Floats
    heater_w: Floats
    __test__ = False

    def inside_c(self, truth: Truth, start_c: float = 8.0) -> Floats:
        return truth.inside_c(self.hours, self.outside_c, self.heater_w, start_c)


def evening(minutes: float = 2.0, length_h: float = 3.0) -> Test:
    """Warmed from cold, left to cool, held at half the heat."""
    hours = np.arange(0.0, length_h + 1e-9, minutes / 60)
    heater = np.where(hours < 1.5, 900.0, np.where(hours < 2.2, 0.0, 450.0))
    return Test(hours, 7 + 0.5 * np.sin(hours), heater)


def day() -> Test:
    """Six hours on, six off, through a day, a row every five minutes."""
    hours = np.arange(0.0, 24.0 + 1e-9, 1 / 12)
    return Test(hours, 5 + 2 * np.sin(hours / 4), np.where(hours % 12 < 6, 1200.0, 0.0))


def table(test: Test, inside_c: Floats, **more: Floats) -> Measured:
    """As it would come from a file."""
    columns = {"inside_c": inside_c, "outside_c": test.outside_c, "heater_w": test.heater_w, **more}
    count = len(test.hours)
    return Measured("test.csv", count, columns, EPOCH_S + 3600 * test.hours, np.arange(2, count + 2))


def log(test: Test, inside_c: Floats) -> HeatLog:
    return heat_log(table(test, inside_c), 80.0)
