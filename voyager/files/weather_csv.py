"""A plain CSV of weather: ``time``, ``ghi_w_m2``, ``air_c`` and perhaps ``wind_mps``, ``dhi_w_m2``, ``dni_w_m2``.

``time`` is ISO 8601 with an offset, or UTC, and names the start of the span that the values are means of.
"""

import io
import re
from typing import Any

import numpy as np

from voyager.files.printable import proposal, shown
from voyager.files.weather_readings import KNOWN, NEEDED, Readings, at_line, check_widths, parted, refuse

MISSING = ("", "nan", "na", "null", "none")
FIRST_YEAR, LAST_YEAR = 1900, 2200


def csv_readings(text: str, file: str, at: tuple[float, float] | None) -> Readings:
    """Rows of a CSV at the voyage's position. Raises Problems."""
    if at is None:
        raise refuse(file, "a CSV tells no position; read it with one")
    (header,), rows, lines = parted(text.replace('"', ""), 1)
    names = [name.strip() for name in header.split(",")]
    _check_header(names, file)
    if not rows:
        raise refuse(file, "has a header and not a single row; at least a voyage's length of hours is wanted")
    check_widths(rows, lines, len(names), file, "the header {} names; leave missing ones empty, decimals take a point")
    table = _table(rows, names, file)
    columns = {name: _numbers(table[name], name, lines, file) for name in KNOWN[1:] if name in names}
    return Readings(file, "CSV", *at, None, _times(table["time"], lines, file), columns, lines)


def _check_header(names: list[str], file: str) -> None:
    if len(names) == 1 and re.search("[;\t]", names[0]):
        raise at_line(file, 1, "", "its columns are parted by semicolons or tabs; part them by commas")
    for name in NEEDED:
        if name not in names:
            others = [column for column in names if column not in KNOWN]
            wanted = f"it needs {', '.join(NEEDED)}"
            raise at_line(file, 1, name, f"the weather file has no column {name}{proposal(name, others)}; {wanted}")
    if twice := [name for name in KNOWN if names.count(name) > 1]:
        raise at_line(file, 1, twice[0], "stands twice in the header; take one away")


def _table(rows: list[str], names: list[str], file: str) -> Any:
    """The columns that have one of our names, as text."""
    import pandas as pd

    wanted = [number for number, name in enumerate(names) if name in KNOWN]
    options = {"header": None, "usecols": wanted, "dtype": str, "keep_default_na": False, "quoting": 3}
    try:
        table = pd.read_csv(io.StringIO("\n".join(rows) + "\n"), **options)
    except (ValueError, OverflowError):
        raise refuse(file, "can't be read as CSV; save it anew, columns parted by commas") from None
    return table.rename(columns=dict(enumerate(names)))


def _numbers(column: Any, name: str, lines: Any, file: str) -> Any:
    import pandas as pd

    text = column.fillna("").str.strip()
    values = pd.to_numeric(text, errors="coerce").to_numpy(float)
    missing = text.str.lower().isin(MISSING).to_numpy(bool)
    bad = (~np.isfinite(values)) & ~missing
    if bad.any():
        row = int(np.argmax(bad))
        raise at_line(file, lines[row], name, f"must be an ordinary number, is {shown(text.iloc[row])}")
    return np.where(missing, np.nan, values)


def _times(column: Any, lines: Any, file: str) -> Any:
    """UTC instants (n,); a time without an offset is UTC."""
    import pandas as pd

    text = column.fillna("").str.strip()
    year = pd.to_numeric(text.str.slice(0, 4), errors="coerce").to_numpy(float)
    _first_bad(~((year >= FIRST_YEAR) & (year <= LAST_YEAR)), text, lines, file)
    times = pd.to_datetime(text, format="ISO8601", utc=True, errors="coerce")
    _first_bad(times.isna().to_numpy(bool), text, lines, file)
    return times.dt.tz_localize(None).to_numpy().astype("datetime64[s]")


def _first_bad(bad: Any, text: Any, lines: Any, file: str) -> None:
    if bad.any():
        row = int(np.argmax(bad))
        wanted = f'write it such as "2027-03-01T14:00Z" or with an offset, in a year from {FIRST_YEAR} to {LAST_YEAR}'
        raise at_line(file, lines[row], "time", f"is {shown(text.iloc[row])}; {wanted}")
