"""What every fit gives: parameters with their uncertainty, what follows from them, what was left out, a plot."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Parameter:
    """One fitted number with its standard error and 95 % interval.

    ``key``: its path in the boat file (``cabin.ua_w_per_k``; an array by its name, ``array.roof.loss_percent``), None
    where the boat file has no place for it.
    """

    name: str
    key: str | None
    value: float
    se: float
    low: float
    high: float
    unit: str


@dataclass(frozen=True)
class Derived:
    """A number that follows from the parameters; ``se`` None where none can be given."""

    name: str
    value: float
    se: float | None
    unit: str


@dataclass(frozen=True)
class LeftOut:
    """One row of the file (the header is row 1) that was not used, and why."""

    row: int
    why: str


@dataclass(frozen=True)
class Series:
    """Points, a line or a band (from ``y`` to ``y2``) of a plot; ``x``, ``y`` (n,). ``kind``: points, line, band."""

    name: str
    kind: str
    x: Floats
    y: Floats
    y2: Floats | None = None


@dataclass(frozen=True)
class Plot:
    """What a picture of the fit shows; the labels name quantity and unit."""

    title: str
    x_label: str
    y_label: str
    series: tuple[Series, ...]


@dataclass(frozen=True)
class Fit:
    """One fit. ``model`` in words; ``cautions``: codes of FILES section 5 or of ``session/fits``.

    ``values``: what goes into the boat file, by path (a number, or rows as of ``hull.trial``); None takes a key away
    that would contradict. ``notes``: sentences on what the data did not allow, and what to measure instead.
    """

    kind: str
    rows: int
    used: int
    left_out: tuple[LeftOut, ...]
    model: str
    parameters: tuple[Parameter, ...]
    derived: tuple[Derived, ...]
    residual_rms: float
    residual_unit: str
    plot: Plot
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
