"""An entry of the log as the line that would be typed for it. Light: the screens ask for it while a key waits."""

from collections.abc import Mapping
from typing import Any, Final

WORDS: Final = {
    "solar_kwh": "sun", "shore_kwh": "shore", "propulsion_kwh": "motor", "heating_kwh": "heat", "hotel_kwh": "hotel",
    "inside_c": "in", "outside_c": "out",
}  # fmt: skip
EXAMPLE: Final = "14:00 Kingston 61% sun 3.2 in 17 out 4: blocked filter"


def as_line(row: Mapping[str, Any]) -> str:
    """``2027-03-02 14:00 Kingston 61% sun 3.2: a note`` of an entry as ``session.log.entries`` tells it.

    ``parse_entry`` reads the same of it, to six digits; where a place is named its kilometre is left away.
    """
    local = row["time_local"]
    parts = [f"{local[:10]} {local[11:16]}" if local else "", _where(row), _charge(row)]
    parts += [f"{word} {row[key]:.6g}" for key, word in WORDS.items() if row[key] is not None]
    line = " ".join(part for part in parts if part)
    return f"{line}: {row['note']}" if row["note"] else line


def _where(row: Mapping[str, Any]) -> str:
    if row["place"]:
        return str(row["place"])
    if row["lat"] is not None and row["lon"] is not None:
        return f"{row['lat']:.5f}, {row['lon']:.5f}"
    return "" if row["km"] is None else f"km {row['km']:.6g}"


def _charge(row: Mapping[str, Any]) -> str:
    if row["charge_percent"] is not None:
        return f"{row['charge_percent']:.6g}%"
    return "" if row["charge_kwh"] is None else f"{row['charge_kwh']:.6g} kWh"


def shown_keys(row: Mapping[str, Any]) -> set[str]:
    """What of an entry its line says, by the names of ``parse_entry``."""
    keys = {key for key in WORDS if row[key] is not None} | ({"note"} if row["note"] else set())
    if row["place"]:
        keys.add("place")
    elif row["lat"] is not None and row["lon"] is not None:
        keys |= {"lat", "lon"}
    elif row["km"] is not None:
        keys.add("km")
    return keys | ({"charge_kwh"} if row["charge_kwh"] is not None else set())
