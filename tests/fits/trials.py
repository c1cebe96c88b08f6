"""Made-up speed trials with a known truth."""

from collections.abc import Callable, Sequence

import numpy as np

from voyager.fits.measured import Measured
from voyager.fits.result import Floats

Law = Callable[[Floats], Floats]


def sheet(**columns: Sequence[float] | Sequence[str]) -> Measured:
    """A table as if read from a file whose rows start at line 2."""
    size = len(columns["direction"])
    made = {
        name: tuple(map(str, values)) if name in ("direction", "run") else np.asarray(values, dtype=float)
        for name, values in columns.items()
    }
    return Measured("trial.csv", size, made, None, np.arange(2, size + 2))


def both_ways(
    power_w: Floats,
    speed_mps: Floats,
    current_mps: Floats | float = 0.0,
    *,
    names: bool = True,
    **more: Sequence[float],
) -> Measured:
    """Runs (r,) out and back, in turn: ``speed_mps`` (r,) or (r, 2) through the water; ``more``: columns (r,)."""
    count = len(power_w)
    water = np.broadcast_to(np.reshape(speed_mps, (count, -1)), (count, 2))
    ground = water + np.reshape(current_mps, (-1, 1)) * np.array([1.0, -1.0])
    columns: dict[str, Sequence[float] | Sequence[str]] = {
        "speed_mps": list(ground.ravel()),
        "motor_w": list(np.repeat(power_w, 2)),
        "direction": ["out", "back"] * count,
    }
    if names:
        columns["run"] = [str(i) for i in range(count) for _ in range(2)]
    columns.update({name: list(np.repeat(np.asarray(values, dtype=float), 2)) for name, values in more.items()})
    return sheet(**columns)


def noisy(
    rng: np.random.Generator, speed_of: Law, *, runs: int = 12, wild: bool = True, low: float = 1.2, high: float = 2.6
) -> Measured:
    """A trial over speeds ``low`` to ``high`` [m/s] of a boat whose speed at a power is ``speed_of``.

    Currents to 0.6 m/s, 1 % noise of each speed over the ground, 3 % of power (gusts, rudder, trim), and with ``wild``
    one run in which 30 to 60 % of the power was lost (weed on the propeller).
    """
    true_power = np.linspace(low, high, runs) ** 3 * 95.0
    factor = np.exp(0.03 * rng.standard_normal(runs))
    if wild:
        factor[rng.integers(runs)] *= rng.uniform(1.3, 1.6)
    water = speed_of(true_power)[:, None] * (1 + 0.01 * rng.standard_normal((runs, 2)))
    return both_ways(true_power * factor, water, rng.uniform(-0.6, 0.6, runs))
