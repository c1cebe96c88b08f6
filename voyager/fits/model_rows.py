"""The runs of towed or powered models: put together by model and loading, refused where senseless."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.water import froude
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Floats, LeftOut

PARTICULARS = ("model_length_m", "wetted_m2", "scale", "displacement_kg", "payload_kg", "midship_m2")
"""What a model is: each an option for all rows, or a column where models differ."""
NEEDED = PARTICULARS[:3]
WHAT = {
    "model_length_m": "the model's waterline length",
    "wetted_m2": "the model's wetted surface",
    "scale": "the scale (full-size length over the model's)",
}
SPEEDS_LEAST = 4
PLANING_FROUDE = 1.0
WETTED_SHARE = (0.01, 1.5)
"""Wetted surface over length squared: from a racing shell's to a raft's (common practice, no source)."""
VOLUME_SHARE = (1e-5, 0.2)
"""Displaced volume over length cubed (common practice, no source)."""
WATERLINE_M = (1.0, 500.0)


@dataclass(frozen=True)
class Runs:
    """Runs of one model at one loading; all lengths, surfaces and masses are the model's.

    ``speed_mps``, ``measured`` (n,): N of a towed model, W at the battery of a powered one (``powered``). ``scale``:
    the full-size length over the model's. ``line`` (n,): lines of the file.
    """

    name: str
    model_length_m: float
    wetted_m2: float
    scale: float
    displacement_kg: float | None
    payload_kg: float | None
    midship_m2: float | None
    speed_mps: Floats
    measured: Floats
    powered: bool
    line: NDArray[np.int64]

    @property
    def froude(self) -> Floats:
        """Froude's number of each run (n,)."""
        return froude(self.speed_mps, self.model_length_m)

    @property
    def full_mps(self) -> Floats:
        """Speed of the full-size boat at the same Froude number [m/s] (n,)."""
        return np.asarray(self.speed_mps * np.sqrt(self.scale))


def gather(measured: Measured, given: Mapping[str, float | None]) -> tuple[tuple[Runs, ...], tuple[LeftOut, ...]]:
    """Runs by model and loading, in the file's order, and the rows that were not used.

    ``given``: particulars that hold for every row without a cell of its own. Raises InputError where the rows or the
    particulars make no sense.
    """
    column = "power_w" if "power_w" in measured and "force_n" not in measured else "force_n"
    speed, load = measured.numbers("speed_mps"), measured.numbers(column)
    _refuse_signs(measured, speed, load, column)
    parts = {name: _filled(measured, name, given.get(name)) for name in PARTICULARS}
    _refuse_missing(measured, parts)
    why = _left_out(speed, load, parts["model_length_m"], column)
    left = tuple(LeftOut(int(line), text) for line, text in zip(measured.line, why, strict=True) if text)
    used = np.array([not text for text in why], dtype=bool)
    names = measured.texts("model")
    keys = list(zip(names, *(parts[p] for p in PARTICULARS), strict=True))
    groups = dict.fromkeys(_same(key) for key, keep in zip(keys, used, strict=True) if keep)
    rows = {
        group: np.array([keep and _same(key) == group for key, keep in zip(keys, used, strict=True)])
        for group in groups
    }
    found = tuple(_runs(group, rows[group], measured, speed, load, column == "power_w") for group in groups)
    if not found:
        raise InputError(f"no row has both a speed above 0 and a {column}: tow at {SPEEDS_LEAST} speeds or more")
    for runs in found:
        _refuse_senseless(runs)
    return found, left


def label(runs: Runs) -> str:
    """How a sentence names these runs."""
    return f"model {runs.name}" if runs.name else "the model"


def _same(key: tuple[object, ...]) -> tuple[object, ...]:
    """A key that equals itself: an empty cell is None."""
    return tuple(None if isinstance(part, float) and np.isnan(part) else part for part in key)


def _filled(measured: Measured, name: str, given: float | None) -> Floats:
    column = measured.numbers(name)
    return np.where(np.isnan(column), np.nan if given is None else given, column)


def _runs(
    group: tuple[object, ...], rows: NDArray[np.bool_], measured: Measured, speed: Floats, load: Floats, powered: bool
) -> Runs:
    length, wetted, scale, displacement, payload, midship = (
        None if part is None else float(str(part)) for part in group[1:]
    )
    order = np.flatnonzero(rows)[np.argsort(speed[rows], kind="stable")]
    return Runs(
        name=str(group[0]),
        model_length_m=length or 0.0,
        wetted_m2=wetted or 0.0,
        scale=scale or 0.0,
        displacement_kg=displacement,
        payload_kg=payload,
        midship_m2=midship,
        speed_mps=speed[order],
        measured=load[order],
        powered=powered,
        line=measured.line[order],
    )


def _refuse_signs(measured: Measured, speed: Floats, load: Floats, column: str) -> None:
    if (speed < 0).any():
        line = int(measured.line[np.argmax(speed < 0)])
        raise InputError(f"line {line}: a negative speed_mps: give the speed of each run as a positive number")
    wrong = (load <= 0) & (speed > 0)
    if wrong.any():
        line = int(measured.line[np.argmax(wrong)])
        what = "zero the balance before each run and" if column == "force_n" else "take power drawn as positive and"
        raise InputError(
            f"line {line}: {column} is not above 0 in a moving run: {what} leave out runs that pull backwards"
        )


def _refuse_missing(measured: Measured, parts: Mapping[str, Floats]) -> None:
    missing = [name for name in NEEDED if np.isnan(parts[name]).any()]
    if missing:
        what, are = " and ".join(WHAT[name] for name in missing), "is" if len(missing) == 1 else "are"
        give = ", ".join("--" + name.replace("_", "-") for name in missing)
        raise InputError(
            f"{what} {are} missing: give {give}, or {' and '.join(missing)} as columns where models differ"
        )
    for name, values in parts.items():
        wrong = values <= (1 if name == "scale" else 0)
        if wrong.any() and not (name == "payload_kg" and (values[wrong] == 0).all()):
            value, line = values[np.argmax(wrong)], int(measured.line[np.argmax(wrong)])
            raise InputError(_small(name, float(value), line))


def _small(name: str, value: float, line: int) -> str:
    if name != "scale":
        return f"line {line}: {name} is {value:g}: it must be above 0"
    mend = f"; {1 / value:g} is probably meant" if 0 < value < 1 else ": a boat is scaled up from a smaller model"
    return f"scale is {value:g}: it is the full-size length over the model's, above 1{mend}"


def _left_out(speed: Floats, load: Floats, length_m: Floats, column: str) -> list[str]:
    number = froude(np.nan_to_num(speed), length_m)
    return [
        "no speed_mps"
        if np.isnan(v)
        else f"no {column}"
        if np.isnan(f)
        else "standing still"
        if v == 0
        else "Froude number above 1: planing, not scaled by this method"
        if n > PLANING_FROUDE
        else ""
        for v, f, n in zip(speed, load, number, strict=True)
    ]


def _refuse_senseless(runs: Runs) -> None:
    """One sentence where lengths, surfaces, masses or the number of speeds can't be."""
    who = label(runs)
    full_m = runs.model_length_m * runs.scale
    if not WATERLINE_M[0] <= full_m <= WATERLINE_M[1]:
        raise InputError(
            f"{who}: {runs.model_length_m:g} m times the scale {runs.scale:g} is a boat of {full_m:g} m: "
            "model_length_m is the model's waterline in metres, scale the full-size length over it"
        )
    units = (1e-4, 1e-2, runs.scale**-2, 1e-6)
    _refuse_share(runs, "wetted_m2", runs.wetted_m2, runs.model_length_m**2, WETTED_SHARE, units, "m2")
    volume_kg = 1000 * runs.model_length_m**3
    if runs.displacement_kg is not None:
        masses = (1e-3, 1e3, runs.scale**-3)
        _refuse_share(runs, "displacement_kg", runs.displacement_kg, volume_kg, VOLUME_SHARE, masses, "kg")
    if runs.displacement_kg and runs.payload_kg and runs.payload_kg >= runs.displacement_kg:
        raise InputError(
            f"{who}: payload_kg {runs.payload_kg:g} is not below displacement_kg {runs.displacement_kg:g}: "
            "both are the model's, and the displacement holds the payload"
        )
    if np.unique(runs.speed_mps).size < SPEEDS_LEAST:
        raise InputError(
            f"{who} was run at fewer than {SPEEDS_LEAST} speeds: tow at {SPEEDS_LEAST} or more, better 10, "
            f"from {_at(runs, 0.1):.2f} to {_at(runs, 0.4):.2f} m/s (Froude 0.1 to 0.4)"
        )


def _at(runs: Runs, number: float) -> float:
    return number * float(runs.speed_mps[0] / runs.froude[0])


def _refuse_share(
    runs: Runs, name: str, value: float, whole: float, limits: tuple[float, float], units: tuple[float, ...], unit: str
) -> None:
    if limits[0] <= value / whole <= limits[1]:
        return
    fits = [value * f for f in units if limits[0] <= value * f / whole <= limits[1]]
    mend = (
        f"{' or '.join(f'{fit:.4g}' for fit in fits)} {unit} is probably meant"
        if fits
        else "check the unit, and that both are the model's own"
    )
    raise InputError(
        f"{label(runs)}: {name} {value:g} does not go with a waterline of {runs.model_length_m:g} m: {mend}"
    )
