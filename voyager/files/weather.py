"""Reads the user's own weather: EPW and TMY3 by pvlib's readers, or a plain CSV. One sentence for what it can't trust.

Each format has one table from its names to ours, with the codes it writes where a value is missing.
"""

import csv
import io
import os
import warnings
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np

from voyager.files.printable import shown
from voyager.files.weather_csv import csv_readings
from voyager.files.weather_hours import hourly
from voyager.files.weather_readings import Readings, at_line, check_widths, parted, refuse
from voyager.files.weather_sun import check_sun
from voyager.sky.record import Record

LARGEST_BYTES = 200_000_000
TEXT_PROBE = 8192

EPW_COLUMNS = {
    "ghi": ("ghi_w_m2", 9999.0),
    "dhi": ("dhi_w_m2", 9999.0),
    "dni": ("dni_w_m2", 9999.0),
    "temp_air": ("air_c", 99.9),
    "wind_speed": ("wind_mps", 999.0),
}
"""EPW, as pvlib names it: our column, and the value from which on it means missing (EnergyPlus Auxiliary Programs)."""
TMY3_COLUMNS = {
    "ghi": ("ghi_w_m2", -9900.0),
    "dhi": ("dhi_w_m2", -9900.0),
    "dni": ("dni_w_m2", -9900.0),
    "temp_air": ("air_c", -9900.0),
    "wind_speed": ("wind_mps", -9900.0),
}
"""TMY3, as pvlib names it; missing is -9900 (Wilcox & Marion, NREL/TP-581-43156)."""
EPW_HEAD, TMY3_HEAD = 8, 2
"""Lines before the first row of values."""
EPW_FIELDS = 35
ORDINARY_YEAR, LEAP_YEAR = 2001, 2000
"""A typical year is put together of several; its months are dated in one of these."""


def load_weather(path: str | os.PathLike[str], at: tuple[float, float] | None = None) -> Record:
    """The record of a weather file, as ``read_weather`` without its notes."""
    return read_weather(path, at)[0]


def read_weather(path: str | os.PathLike[str], at: tuple[float, float] | None = None) -> tuple[Record, tuple[str, ...]]:
    """The record of a weather file and notes on what was mended in it.

    ``at``, latitude and longitude of the voyage, places a CSV, which has no position of its own. Raises Problems with
    one sentence: file, line where known, what is wrong and what would mend it.
    """
    file = os.fspath(path)
    text = _text(file)
    readings = _readings(text, file, at)
    record, notes = hourly(readings)
    return record, (*notes, *check_sun(record, file))


def _text(file: str) -> str:
    """The file as text; EPW and TMY3 of old come in Latin-1."""
    if os.path.isdir(file):
        raise refuse(file, "is a directory; name the file in it")
    try:
        if os.path.getsize(file) > LARGEST_BYTES:
            raise refuse(file, f"is larger than {LARGEST_BYTES // 1_000_000} MB; thin it out to hourly values")
        with open(file, "rb") as handle:
            data = handle.read()
    except FileNotFoundError:
        raise refuse(file, "no such file; write its path as seen from the voyage file") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name is not one"
        raise refuse(file, f"can't be read ({reason}); check its name and permissions") from None
    if not data.strip():
        raise refuse(file, "is empty; an EPW, TMY3 or CSV file with hourly weather is wanted")
    if b"\0" in data[:TEXT_PROBE]:
        raise refuse(file, "is not text but binary; unpack it, or save it as CSV")
    return _decoded(data, file)


def _decoded(data: bytes, file: str) -> str:
    try:
        return _plain(data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        text = _plain(data.decode("latin-1"))
        if _kind(text) != "CSV":
            return text
        line = data[: error.start].count(b"\n") + 1
        raise at_line(file, line, "", "is not UTF-8; save the file as UTF-8") from None


def _plain(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _kind(text: str) -> str:
    first, _, rest = text.partition("\n")
    if first.startswith("LOCATION,"):
        return "EPW"
    return "TMY3" if rest.lstrip('"').startswith("Date (MM/DD/YYYY)") else "CSV"


def _readings(text: str, file: str, at: tuple[float, float] | None) -> Readings:
    kind, ending = _kind(text), os.path.splitext(file)[1].lower()
    if kind == "EPW":
        return _epw(text, file)
    if kind == "TMY3":
        return _tmy3(text, file)
    if ending in (".epw", ".tmy3"):
        wanted = "LOCATION," if ending == ".epw" else "the station's number and, in line 2, Date (MM/DD/YYYY)"
        raise refuse(file, f"is not {ending[1:].upper()}: its first line must begin with {wanted}")
    return csv_readings(text, file, at)


def _epw(text: str, file: str) -> Readings:
    from pvlib.iotools import read_epw

    head, rows, lines = parted(text, EPW_HEAD)
    check_widths(rows, lines, EPW_FIELDS, file, "an EPW row has {}; fetch the file anew")
    data, meta = _read(partial(read_epw, coerce_year=LEAP_YEAR), [*head, *rows], len(rows), file, "EPW")
    numbers = data[["month", "day"]].to_numpy(float), data["hour"].to_numpy(float) - 1
    return _typical(data, meta, numbers[0], numbers[1], EPW_COLUMNS, "EPW", file, lines)


def _tmy3(text: str, file: str) -> Readings:
    from pvlib.iotools import read_tmy3

    (station, names), rows, lines = parted(text, TMY3_HEAD)
    check_widths(rows, lines, names.count(",") + 1, file, "the header {} names; fetch the file anew")
    station = ",".join(field.replace(",", " ") for field in next(csv.reader([station])))
    data, meta = _read(read_tmy3, [station, names, *rows], len(rows), file, "TMY3")
    ends = data["Date (MM/DD/YYYY)"].str.split("/", expand=True).to_numpy(float)
    hour = data["Time (HH:MM)"].str.split(":").str[0].to_numpy(float) - 1
    return _typical(data, meta, ends[:, :2], hour, TMY3_COLUMNS, "TMY3", file, lines)


def _read(reader: Callable[..., Any], rows: list[str], count: int, file: str, kind: str) -> tuple[Any, dict[str, Any]]:
    """pvlib's reader on the text; whatever it stumbles over is one sentence."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            data, meta = reader(io.StringIO("\n".join(rows) + "\n"))
    except (ValueError, KeyError, IndexError, TypeError, AttributeError, OverflowError) as error:
        why = " ".join(str(error).split())[:100]
        raise refuse(file, f"can't be read as {kind} ({why}); repair it or fetch it anew") from None
    if not count or len(data) != count:
        raise refuse(file, f"is {kind} with {len(data)} rows of weather in {count} lines; fetch it anew")
    return data, meta


def _typical(
    data: Any,
    meta: dict[str, Any],
    month_day: "np.ndarray[Any, np.dtype[np.float64]]",
    hour: "np.ndarray[Any, np.dtype[np.float64]]",
    columns: dict[str, tuple[str, float]],
    kind: str,
    file: str,
    lines: "np.ndarray[Any, np.dtype[np.int64]]",
) -> Readings:
    """Rows of a typical year in one nominal year, hours by their start in UTC."""
    if missing := [name for name in columns if name not in data and columns[name][0] in ("ghi_w_m2", "air_c")]:
        raise refuse(file, f"has no column {missing[0]}, so it is no {kind}; fetch it anew")
    leap = bool(np.any((month_day[:, 0] == 2) & (month_day[:, 1] == 29)))
    year = np.datetime64(str(LEAP_YEAR if leap else ORDINARY_YEAR), "M")
    days = (year + (month_day[:, 0] - 1).astype(int)).astype("datetime64[D]") + (month_day[:, 1] - 1).astype(int)
    zone = float(meta["TZ"])
    times = days.astype("datetime64[s]") + np.rint((hour - zone) * 3600).astype(int)
    return Readings(
        file=file,
        kind=kind,
        lat=_degrees(meta["latitude"], 90, "latitude", file),
        lon=_degrees(meta["longitude"], 180, "longitude", file),
        height_m=float(meta["altitude"]),
        times_utc=times,
        columns={
            own: _values(data[name], own, code, lines, file) for name, (own, code) in columns.items() if name in data
        },
        lines=lines,
    )


def _values(column: Any, own: str, code: float, lines: Any, file: str) -> "np.ndarray[Any, np.dtype[np.float64]]":
    """Numbers, nan where the file says missing."""
    import pandas as pd

    values = pd.to_numeric(column, errors="coerce").to_numpy(float)
    if (bad := ~np.isfinite(values) & column.notna().to_numpy(bool)).any():
        row = int(np.argmax(bad))
        raise at_line(file, lines[row], own, f"must be an ordinary number, is {shown(column.iloc[row])}")
    return np.asarray(np.where((values <= code) if code < 0 else (values >= code), np.nan, values))


def _degrees(value: float, most: float, name: str, file: str) -> float:
    if not -most <= float(value) <= most:
        raise at_line(file, 1, name, f"is {value:g}; it must lie between {-most:g} and {most:g}")
    return float(value)
