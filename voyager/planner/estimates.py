"""Estimates from members: chances with their interval, means, quantiles, and how many digits each of them carries.

The rule of digits: a mean or quantile is rounded to the smallest power of ten that is not below a fifth of its standard
error, to a thousandth at the finest, to whole numbers where one member leaves the error unknown; a standard error keeps
two significant digits; a chance is rounded to 0.01, to 0.001 where there are 10,000 members or more and within 0.01 of
impossible or certain.
"""

from math import ceil, floor, log10, sqrt

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Json = dict[str, object]
Z95 = 1.959963984540054
"""97.5th percentile of the standard normal."""
FINEST = 3
MANY = 10_000


def wilson(count: int, members: int, z: float = Z95) -> tuple[float, float]:
    """Ends of the score interval of a share of ``count`` in ``members`` (Wilson 1927, J. Amer. Stat. Assoc. 22:209)."""
    share, weight = count / members, z * z / members
    half = sqrt(share * (1 - share) * weight + weight * weight / 4)
    low, high = (share + weight / 2 - half) / (1 + weight), (share + weight / 2 + half) / (1 + weight)
    return (0.0 if count == 0 else max(low, 0.0)), (1.0 if count == members else min(high, 1.0))


def shown_chance(chance: float, members: int) -> float:
    """A chance with the digits that the rule allows."""
    fine = members >= MANY or min(chance, 1 - chance) < 0.01
    return round(chance, 3 if fine else 2)


def chance_told(count: int, members: int) -> Json:
    """``chance``, ``low``, ``high``: a share and its 95 % interval."""
    low, high = wilson(count, members)
    values = {"chance": count / members, "low": low, "high": high}
    return {name: shown_chance(value, members) for name, value in values.items()}


def decimals(se: float | None) -> int:
    """Decimals that a value with this standard error carries, below nought for tens; None: error unknown."""
    if se is None:
        return 0
    return FINEST if se <= 0 else min(-ceil(log10(se / 5) - 1e-9), FINEST)


def shown(value: float, se: float | None) -> float:
    """A value with the digits that its standard error carries; never minus nought."""
    return round(float(value), decimals(se)) + 0.0


def shown_se(se: float | None) -> float | None:
    """A standard error to two significant digits."""
    return None if se is None else float(f"{se:.2g}")


def mean_se(values: Floats) -> tuple[float, float | None]:
    """Mean of (N,) values, N ≥ 1, and its standard error, None for a single one."""
    se = float(values.std(ddof=1)) / sqrt(len(values)) if len(values) > 1 else None
    return float(values.mean()), se


def shown_mean(values: Floats) -> float:
    """The mean of (N,) values, N ≥ 1, with the digits that its standard error carries."""
    return shown(*mean_se(values))


def quantiles(values: Floats, percents: tuple[int, ...] = (10, 50, 90)) -> list[float | None]:
    """Quantiles of (N,) values, all rounded by the widest of their standard errors, so that they keep their order.

    Each is the least value that the share reaches; half the distance between the values one standard deviation of the
    rank on either side is its standard error (Woodruff 1952, J. Amer. Stat. Assoc. 47:635). One that rounding would put
    above all values is rounded down: nobody is beyond the end of the route. None where N is 0.
    """
    ordered = np.sort(values)
    if not len(ordered):
        return [None] * len(percents)
    errors = [_quantile_se(ordered, percent / 100) for percent in percents]
    widest = max(errors) if len(ordered) > 1 else None
    told = [shown(ordered[rank(percent, len(ordered))], widest) for percent in percents]
    digits = decimals(widest)
    return [round(value - 10.0**-digits, digits) if value > ordered[-1] else value for value in told]


def rank(percent: int, members: int) -> int:
    """Place, from 0, of the least of ``members`` ordered values that ``percent`` of them do not exceed."""
    return max(-(-percent * members // 100) - 1, 0)


def _quantile_se(ordered: Floats, share: float) -> float:
    count = len(ordered)
    spread = sqrt(count * share * (1 - share))
    low, high = floor(count * share - spread) - 1, ceil(count * share + spread) - 1
    return float(ordered[min(high, count - 1)] - ordered[max(low, 0)]) / 2
