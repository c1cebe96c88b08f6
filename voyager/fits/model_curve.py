"""The model's own resistance: a smooth curve through its runs, the form factor of the slow ones, and their errors.

All that is said of the full-size boat is a sum over the runs, each times a weight, so that errors follow exactly: the
runs are taken to err independently, either alike in N or W, as a balance does, or in proportion. Ordinary errors, then,
with intervals by Student's t; nothing here is robust to a wild run, but it is named (``studentised``).
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.fits.estimate import aicc, student
from voyager.fits.model_rows import Runs
from voyager.fits.model_scale import Setting, model_friction, per_coefficient
from voyager.fits.result import Floats

PROHASKA_FROUDE = (0.1, 0.2)
"""Range of the slow runs, ITTC 7.5-02-02-01 (from memory)."""
SLOW_RUNS, SLOW_SPEEDS = 4, 3
SLOW_SPAN = 0.05
"""Least range of Froude numbers among the slow runs: with less the line has no slope."""
FORM_HALF_WIDTH = 0.25
"""A form factor known less well than this (half of its 95 % interval) is not used."""
TERMS_MOST = 6
SPREAD_LEAST = 1e-3


@dataclass(frozen=True)
class Number:
    """A number that the runs give: standard error and 95 % interval."""

    value: float
    se: float
    low: float
    high: float


@dataclass(frozen=True)
class Linear:
    """Numbers that hang on the runs by ``constant`` + ``weights`` @ measured: (...,) and (..., n)."""

    constant: Floats
    weights: Floats

    def plus(self, other: "Linear") -> "Linear":
        return Linear(np.asarray(self.constant + other.constant), np.asarray(self.weights + other.weights))

    def only(self, index: int) -> "Linear":
        """One of the numbers."""
        return Linear(np.asarray(self.constant[index]), self.weights[index])

    def times(self, factor: Floats | float) -> "Linear":
        by = np.asarray(factor, dtype=float)
        return Linear(np.asarray(self.constant * by), np.asarray(self.weights * by[..., None]))


@dataclass(frozen=True)
class Curve:
    """Smooth model coefficient a_0 C_F + a_2 Fr^4 + a_3 Fr^6 ..., ``solve`` (terms, n) making the factors of the runs.

    ``noise`` times ``spread`` (n,): standard error of each run [N or W], on ``freedom`` degrees of freedom.
    """

    runs: Runs
    setting: Setting
    solve: Floats
    spread: Floats
    noise: float
    freedom: int

    def coefficient(self, speed_mps: Floats) -> Linear:
        """C_T of the model at its speeds (m,)."""
        rows = _terms(self.runs, self.setting, speed_mps, len(self.solve))
        return Linear(np.zeros(len(speed_mps)), rows @ self.solve)

    def values(self, linear: Linear) -> Floats:
        return np.asarray(linear.constant + linear.weights @ self.runs.measured)

    def errors(self, linear: Linear) -> Floats:
        return np.asarray(self.noise * np.sqrt(((linear.weights * self.spread) ** 2).sum(axis=-1)))

    def left(self) -> Floats:
        """What the curve leaves of each run [N or W] (n,)."""
        own = self.runs
        design = _terms(own, self.setting, own.speed_mps, len(self.solve))
        per = per_coefficient(own, self.setting, own.speed_mps)
        return np.asarray(own.measured - per * (design @ (self.solve @ own.measured)))

    def studentised(self) -> Floats:
        """Each run's distance from the curve over its standard error, both as the other runs have them (n,).

        Externally studentised residuals: Draper and Smith, Applied Regression Analysis, ch. 8 (from memory). 0 where
        two runs or fewer are left over.
        """
        own = self.runs
        design = _terms(own, self.setting, own.speed_mps, len(self.solve))
        per = per_coefficient(own, self.setting, own.speed_mps)
        left = self.left() / self.spread
        free = 1 - per * np.einsum("ij,ji->i", design, self.solve)
        others = (self.freedom * self.noise**2 - left**2 / np.maximum(free, 1e-9)) / max(self.freedom - 1, 1)
        known = (free > 1e-6) & (others > 1e-18 * np.square(own.measured / self.spread).mean()) & (self.freedom > 2)
        return np.where(known, left / np.sqrt(np.where(known, others * free, 1.0)), 0.0)

    def t(self) -> float:
        """Student's t of a 95 % interval."""
        return student(self.freedom)

    def number(self, linear: Linear) -> Number:
        value, se = float(self.values(linear)), float(self.errors(linear))
        return Number(value, se, value - self.t() * se, value + self.t() * se)


@dataclass(frozen=True)
class Form:
    """1 + k as it hangs on the runs; ``number`` None where it is taken as 1, and then ``why`` says why."""

    linear: Linear
    number: Number | None
    slow: NDArray[np.bool_]
    slope: float | None
    why: str = ""


def smooth(runs: Runs, setting: Setting) -> Curve:
    """The curve with the number of terms and the kind of error that the runs speak for.

    Terms by Akaike's criterion for small samples. Errors alike in all runs, or in proportion to what was measured,
    whichever makes the runs the likelier (normal errors; the number of parameters is the same).
    """
    alike = _best(runs, setting, np.ones(len(runs.measured)))
    shown = runs.measured - alike.left()
    share = np.maximum(shown / shown.mean(), SPREAD_LEAST)
    return min(alike, _best(runs, setting, share), key=_unlikely)


def _best(runs: Runs, setting: Setting, spread: Floats) -> Curve:
    count, speeds = len(spread), np.unique(runs.speed_mps).size
    found = [_fitted(runs, setting, spread, n + 1) for n in range(max(1, min(TERMS_MOST, speeds - 1, count - 3)))]
    return min(found, key=lambda curve: aicc(_squares(curve), count, len(curve.solve)))


def _fitted(runs: Runs, setting: Setting, spread: Floats, terms: int) -> Curve:
    per = per_coefficient(runs, setting, runs.speed_mps)
    design = _terms(runs, setting, runs.speed_mps, terms) * per[:, None]
    solve = np.asarray(np.linalg.pinv(design / spread[:, None]) / spread, dtype=np.float64)
    curve = Curve(runs, setting, solve, spread, 0.0, len(per) - terms)
    return replace(curve, noise=float(np.sqrt(_squares(curve) / curve.freedom)))


def _squares(curve: Curve) -> float:
    return float(((curve.left() / curve.spread) ** 2).sum())


def _unlikely(curve: Curve) -> float:
    """Minus twice the logarithm of the likelihood, but for a constant; a curve through all runs counts as it is."""
    count = len(curve.spread)
    return count * float(np.log(max(_squares(curve), 1e-300) / count)) + 2 * float(np.log(curve.spread).sum())


def _terms(runs: Runs, setting: Setting, speed_mps: Floats, terms: int) -> Floats:
    """What the factors of the curve multiply: C_F, Fr^4, Fr^6 ...; (m, terms)."""
    number = speed_mps * float(runs.froude[0] / runs.speed_mps[0])
    waves = [number ** (2 * power) for power in range(2, terms + 1)]
    return np.stack([model_friction(runs, setting, speed_mps), *waves], axis=1)


def prohaska(curve: Curve) -> Form:
    """Form factor by Prohaska's method: C_T / C_F = (1 + k) + y Fr^4 / C_F over the runs of Froude 0.1 to 0.2.

    C. W. Prohaska, A simple method for the evaluation of the form factor and the low speed wave resistance, 11th ITTC,
    Tokyo 1966. The line is laid by least squares of the measured forces themselves, by their errors, not of the
    quotients, which at the slowest runs are mostly the balance's error. Taken as 1 where the runs do not allow it.
    """
    runs, setting, count = curve.runs, curve.setting, len(curve.runs.speed_mps)
    low, high = PROHASKA_FROUDE
    slow = (runs.froude >= low - 1e-9) & (runs.froude <= high + 1e-9)
    none = Linear(np.asarray(1.0), np.zeros(count))
    why = _too_few(runs, slow)
    if why:
        return Form(none, None, slow, None, why)
    design = (
        _terms(runs, setting, runs.speed_mps[slow], 2) * per_coefficient(runs, setting, runs.speed_mps[slow])[:, None]
    )
    weights = np.zeros((2, count))
    spread = curve.spread[slow]
    weights[:, slow] = np.linalg.pinv(design / spread[:, None]) / spread
    linear, slope = Linear(np.asarray(0.0), weights[0]), Linear(np.asarray(0.0), weights[1])
    form, waves = curve.number(linear), curve.number(slope)
    why = _senseless(form, waves, curve.t())
    return Form(none, None, slow, None, why) if why else Form(linear, form, slow, waves.value)


def _too_few(runs: Runs, slow: NDArray[np.bool_]) -> str:
    numbers = runs.froude[slow]
    if numbers.size >= SLOW_RUNS and np.unique(numbers).size >= SLOW_SPEEDS and np.ptp(numbers) >= SLOW_SPAN:
        return ""
    return f"fewer than {SLOW_RUNS} runs spread over Froude 0.1 to 0.2"


def _senseless(form: Number, waves: Number, t: float) -> str:
    if t * form.se > FORM_HALF_WIDTH:
        return f"the slow runs scatter too much to tell it: {form.value:.2f} ± {t * form.se:.2f} for 1 + k"
    if form.high < 1:
        return f"the slow runs give 1 + k = {form.value:.2f}, less than a flat plate's 1"
    if waves.high < 0:
        return "the slow runs fall off with speed as no waves do"
    return "the slow runs give 1 + k below 1" if form.value < 1 else ""
