"""A first look at a user's weather file: whether it is there and has the columns."""

import csv
import os

from voyager.files.printable import proposal, shown

NEEDED = ("time", "ghi_w_m2", "air_c")
KNOWN = (*NEEDED, "wind_mps", "dhi_w_m2", "dni_w_m2")


def weather_fault(path: str) -> str | None:
    """What is wrong with a weather file's header, None if nothing."""
    if os.path.isdir(path):
        return f"{shown(path)} is a directory; name the file in it"
    if not os.path.isfile(path):
        return f"{shown(path)}: no such file (seen from the voyage file)"
    try:
        with open(path, encoding="utf-8-sig", newline="") as handle:
            header = next(csv.reader([handle.readline(10_000)]), [])
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        why = "not UTF-8" if isinstance(error, UnicodeDecodeError) else "it cannot be read as CSV"
        return f"{shown(path)}: {why}"
    return _columns_fault([name.strip() for name in header])


def _columns_fault(header: list[str]) -> str | None:
    for name in NEEDED:
        if name not in header:
            others = [column for column in header if column not in KNOWN]
            return f"the weather file has no column {name}{proposal(name, others)}; it needs {', '.join(NEEDED)}"
    return None
