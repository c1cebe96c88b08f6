"""From the rows of a weather file to contiguous hours: order, gaps, units, ranges."""

import numpy as np
from numpy.typing import NDArray

from voyager.files.printable import printable
from voyager.files.weather_readings import NEEDED, Floats, Readings, at_line, refuse
from voyager.sky.record import Record

HOUR_S = 3600
MENDED_HOURS = 3
"""Gaps up to this long are bridged on a straight line."""
NIGHT_W_M2 = -5.0
"""A thermopile reads a little below 0 at night: common practice, no source."""
DIM_W_M2, GLARING_W_M2 = 3.0, 2000.0
KELVIN_C = 150.0
RANGES = {"air_c": (-70.0, 60.0), "wind_mps": (0.0, 100.0)}
LEAST_HOURS = 72
YEAR_DAYS = 365.25


def hourly(readings: Readings) -> tuple[Record, tuple[str, ...]]:
    """The record of the rows and notes on what was mended. Raises Problems in one sentence."""
    readings = _ordered(readings)
    _check_step(readings)
    columns = {name: _checked(name, values, readings) for name, values in readings.columns.items()}
    times, means = _means(readings.times_utc, columns)
    if len(times) < LEAST_HOURS:
        text = f"holds {len(times)} h; at least the voyage's length is wanted, and no less than {LEAST_HOURS} h"
        raise refuse(readings.file, text)
    filled, count = _bridged(times, means, readings)
    gaps = "1 missing hour was" if count == 1 else f"{count} missing hours were"
    note = f"{printable(readings.name)}: {gaps} bridged from the hours around"
    ghi = filled["ghi_w_m2"]
    record = Record(
        lat=readings.lat,
        lon=readings.lon,
        height_m=readings.height_m,
        name=readings.name,
        kind=readings.kind,
        years=max(1, int(len(times) / 24 / YEAR_DAYS + 0.02)),
        times_utc=times,
        ghi_w_m2=ghi,
        dhi_w_m2=filled.get("dhi_w_m2"),
        dni_w_m2=filled.get("dni_w_m2"),
        air_c=filled["air_c"],
        wind_mps=filled.get("wind_mps"),
    )
    return record, (note,) if count else ()


def _ordered(readings: Readings) -> Readings:
    """The rows as they are, if their times rise; else Problems."""
    step = np.diff(readings.times_utc).astype(np.int64)
    if (bad := np.flatnonzero(step <= 0)).size:
        row = int(bad[0]) + 1
        when, line = readings.times_utc[row], readings.lines[row]
        if step[row - 1] == 0:
            text = f"{when}Z stands in the line before too; take one away, and write offsets where clocks change"
            raise at_line(readings.file, line, "time", text)
        raise at_line(readings.file, line, "time", f"{when}Z is earlier than the line before; sort the rows by time")
    return readings


def _check_step(readings: Readings) -> None:
    if len(readings.times_utc) < 2:
        raise refuse(readings.file, "has a single row; at least a voyage's length of hours is wanted")
    step = float(np.median(np.diff(readings.times_utc).astype(np.int64)))
    if step > HOUR_S:
        raise refuse(readings.file, f"has a value every {step / HOUR_S:g} h; hourly values or finer are wanted")


def _checked(name: str, values: Floats, readings: Readings) -> Floats:
    """Values in range, small night offsets of the irradiances set to 0."""
    return _air_or_wind(name, values, readings) if name in RANGES else _light(name, values, readings)


def _air_or_wind(name: str, values: Floats, readings: Readings) -> Floats:
    low, high = RANGES[name]
    if name == "air_c" and values.size and float(np.nanmin(np.append(values, np.inf))) > KELVIN_C:
        raise at_line(readings.file, readings.lines[0], name, f"is {values[0]:g}, probably kelvin; take 273.15 away")
    bad = (values < low) | (values > high)
    if bad.any():
        row = int(np.argmax(bad))
        text = f"is {values[row]:g}; it must lie between {low:g} and {high:g}"
        raise at_line(readings.file, readings.lines[row], name, text)
    return values


def _light(name: str, values: Floats, readings: Readings) -> Floats:
    top = float(np.nanmax(np.append(values, -np.inf)))
    if name == "ghi_w_m2" and not np.isfinite(top):
        raise refuse(readings.file, f"{name} is missing in every row; a file with global irradiance is wanted")
    if name == "ghi_w_m2" and top < DIM_W_M2:
        mend = "no sun at all" if top <= 0 else "probably kW/m²; multiply by 1000"
        raise refuse(readings.file, f"the highest {name} is {top:g} W/m², {mend}")
    if top > GLARING_W_M2:
        row = int(np.nanargmax(values))
        mend = "probably kJ/m² or J/m² an hour; W/m² are wanted (kJ/m² divided by 3.6)"
        raise at_line(readings.file, readings.lines[row], name, f"is {top:g} W/m², {mend}")
    if (bad := values < NIGHT_W_M2).any():
        row = int(np.argmax(bad))
        text = f"is {values[row]:g} W/m², below zero; leave it empty where the sensor failed"
        raise at_line(readings.file, readings.lines[row], name, text)
    return np.where(values < 0, 0.0, values)


def _means(
    times: NDArray[np.datetime64], columns: dict[str, Floats]
) -> tuple[NDArray[np.datetime64], dict[str, Floats]]:
    """Contiguous hours from the first to the last and the means of each, nan where less than half of it is known."""
    seconds = times.astype(np.int64)
    step = int(np.median(np.diff(seconds)))
    start = int(seconds[0]) if step >= HOUR_S else -(-int(seconds[0]) // HOUR_S) * HOUR_S
    hour = (seconds - start) // HOUR_S
    count = max((int(seconds[-1]) + step - start) // HOUR_S, 1)
    kept = (hour >= 0) & (hour < count)
    wanted = max(HOUR_S // step / 2, 1.0)
    grid = (start + HOUR_S * np.arange(count)).astype("datetime64[s]")
    return grid, {name: _mean(hour[kept], values[kept], count, wanted) for name, values in columns.items()}


def _mean(hour: NDArray[np.int64], values: Floats, count: int, wanted: float) -> Floats:
    known = np.isfinite(values)
    number = np.bincount(hour[known], minlength=count)
    total = np.bincount(hour[known], values[known], minlength=count)
    return np.asarray(np.divide(total, number, out=np.full(count, np.nan), where=number >= wanted))


def _bridged(
    times: NDArray[np.datetime64], means: dict[str, Floats], readings: Readings
) -> tuple[dict[str, Floats], int]:
    """Columns without gaps and the number of hours bridged; an optional column that is never known is left out."""
    kept = {name: values for name, values in means.items() if name in NEEDED or np.isfinite(values).any()}
    gone = np.zeros(len(times), dtype=bool)
    filled = {}
    for name, values in kept.items():
        missing = ~np.isfinite(values)
        if missing.any():
            _check_gap(name, missing, times, readings)
            known = np.flatnonzero(~missing)
            values = np.interp(np.arange(len(values)), known, values[known])
        gone |= missing
        filled[name] = values
    return filled, int(gone.sum())


def _check_gap(name: str, missing: NDArray[np.bool_], times: NDArray[np.datetime64], readings: Readings) -> None:
    """Raises Problems where the longest run of missing hours can't be bridged."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(np.int8)))
    starts, lengths = edges[::2], edges[1::2] - edges[::2]
    longest = int(np.argmax(lengths))
    if lengths[longest] <= MENDED_HOURS:
        return
    when = times[starts[longest]]
    row = min(int(np.searchsorted(readings.times_utc, when)), len(readings.lines) - 1)
    more = f", one of {len(lengths)} gaps" if len(lengths) > 1 else ""
    text = f"is missing for {_span(int(lengths[longest]))} from {when}Z on{more}; up to {MENDED_HOURS} h are bridged"
    raise at_line(readings.file, readings.lines[row], name, f"{text}: fill it, or keep the longest whole stretch")


def _span(hours: int) -> str:
    return f"{hours} h" if hours < 96 else f"{hours / 24:.0f} days"
