"""The standard normal distribution on arrays, from the C library's erfc and the standard library's quantile."""

import math
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

_ERFC = np.frompyfunc(math.erfc, 1, 1)
_QUANTILE = np.frompyfunc(NormalDist().inv_cdf, 1, 1)


def normal_cdf(score: ArrayLike) -> NDArray[np.float64]:
    """Probability [-] of falling below a normal score, any shape; exact to rounding (0.5·erfc(−z/√2))."""
    return np.asarray(0.5 * np.asarray(_ERFC(-np.asarray(score, dtype=float) / math.sqrt(2)), dtype=float))


def normal_quantile(probability: ArrayLike) -> NDArray[np.float64]:
    """Normal score of probabilities strictly between 0 and 1, any shape.

    Wichura 1988, algorithm AS 241 (relative error 1e-16), as ``statistics.NormalDist`` has it.
    """
    return np.asarray(_QUANTILE(np.asarray(probability, dtype=float)), dtype=float)
