"""NIST's Statistical Reference Datasets: reader, models, and how many digits of a certified number are met."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from voyager.fits.regression import Floats

FOLDER = Path(__file__).parents[1] / "reference" / "nist"
Model = Callable[[Floats, Floats], Floats]


@dataclass(frozen=True)
class Certified:
    """Observations ``x``, ``y`` (n,), ``starts`` (2, p), certified ``values`` and ``se`` (p,)."""

    x: Floats
    y: Floats
    starts: Floats
    values: Floats
    se: Floats


def read(name: str) -> Certified:
    text = (FOLDER / f"{name}.dat").read_text()
    rows = np.array([line.split("=")[1].split() for line in re.findall(r"^ *b\d+ =.*$", text, re.M)], dtype=float)
    data = np.array([line.split() for line in text.split("Data:")[-1].splitlines()[1:] if line.strip()], dtype=float)
    return Certified(data[:, 1], data[:, 0], rows[:, :2].T, rows[:, 2], rows[:, 3])


def digits(found: Floats, certified: Floats) -> float:
    """Log relative error of the worst one."""
    return float(-np.log10(np.max(np.abs(found / certified - 1.0)) + 1e-16))


def lanczos(b: Floats, x: Floats) -> Floats:
    return b[0] * np.exp(-b[1] * x) + b[2] * np.exp(-b[3] * x) + b[4] * np.exp(-b[5] * x)


def thurber(b: Floats, x: Floats) -> Floats:
    return np.polyval(b[3::-1], x) / np.polyval([b[6], b[5], b[4], 1.0], x)


MODELS: dict[str, Model] = {
    "Misra1a": lambda b, x: b[0] * (1 - np.exp(-b[1] * x)),
    "Lanczos3": lanczos,
    "MGH09": lambda b, x: b[0] * (x**2 + x * b[1]) / (x**2 + x * b[2] + b[3]),
    "Thurber": thurber,
    "Eckerle4": lambda b, x: b[0] / b[1] * np.exp(-0.5 * ((x - b[2]) / b[1]) ** 2),
    "MGH17": lambda b, x: b[0] + b[1] * np.exp(-x * b[3]) + b[2] * np.exp(-x * b[4]),
    "BoxBOD": lambda b, x: b[0] * (1 - np.exp(-b[1] * x)),
    "Rat43": lambda b, x: b[0] / (1 + np.exp(b[1] - b[2] * x)) ** (1 / b[3]),
}
LONGLEY_VALUES = np.array(
    [
        -3482258.63459582,
        15.0618722713733,
        -0.358191792925910e-01,
        -2.02022980381683,
        -1.03322686717359,
        -0.511041056535807e-01,
        1829.15146461355,
    ]
)
LONGLEY_SE = np.array(
    [
        890420.383607373,
        84.9149257747669,
        0.334910077722432e-01,
        0.488399681651699,
        0.214274163161675,
        0.226073200069370,
        455.478499142212,
    ]
)


def longley() -> tuple[Floats, Floats]:
    """Design with its constant (16, 7), employment (16,)."""
    table = np.loadtxt(FOLDER / "Longley.csv", delimiter=",", skiprows=1)
    return np.column_stack([np.ones(len(table)), table[:, 2:]]), table[:, 1]
