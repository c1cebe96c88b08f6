"""The sun of a day and the speeds of a boat as text."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.report.tables import plain_table
from voyager.report.text import WIDTH, entry, heading, rendered
from voyager.report.words import MISSING, long_date, number

if TYPE_CHECKING:
    from rich.console import RenderableType
    from rich.table import Table

Result = Mapping[str, Any]
QUANTILES = ("p10", "p50", "p90")
STEERABLE_NOTE = "Sun less hotel load under way; 0: less than the boat needs to steer. P10: nine days in ten have more."
RANGE_NOTE = "Range: motor alone, from this charge to the reserve, no sun. Illustrative, not for navigation."


def sun_text(result: Result, width: int = WIDTH, *, styled: bool = False) -> str:
    """Times, lengths and irradiation of one day at one place."""
    lines = {
        "Place": f"{number(result['lat'], 2)}, {number(result['lon'], 2)}",
        "Sun": f"{_rising(result)}, {number(result['day_length_h'])} h",
        "No air": f"{number(result['extraterrestrial_kwh_m2'], 2)} kWh/m² outside the atmosphere",
        "Clear sky": f"{number(result['clear_sky_kwh_m2'], 2)} kWh/m²",
        "Air": f"{number(result['air_temp_c'])} °C, mean of the day in this season",
    }
    parts = [f"Sun on {long_date(result['date'])}"]
    parts += [entry(f"  {name:<10}", text, width) for name, text in lines.items()]
    cautions = [entry("  - ", caution["text"], width) for caution in result.get("cautions", ())]
    below = [heading("Cautions"), *_plain(cautions)] if cautions else []
    return rendered([*_plain(parts), heading("kWh/m² of the day"), _irradiation(result), *below], width, styled=styled)


def _rising(result: Result) -> str:
    rise, sets = result["sunrise_utc"], result["sunset_utc"]
    if rise is None and sets is None:
        return "does not set" if result["day_length_h"] > 12 else "does not rise"
    return f"rises {_clock(rise)}, sets {_clock(sets)} (UTC)"


def _irradiation(result: Result) -> "Table":
    plane = f"tilt {number(result['tilt_deg'], 0)}°, facing {number(result['azimuth_deg'], 0)}°"
    rows = {"level": result["ghi_kwh_m2"], plane: result["tilted_kwh_m2"]}
    cells = [(name, *(number(row[key], 2) for key in ("mean", *QUANTILES))) for name, row in rows.items()]
    return _table(("Plane", "Mean", "P10", "P50", "P90"), cells)


def speeds_text(result: Result, width: int = WIDTH, *, styled: bool = False) -> str:
    """The speeds table, the limits, and what the sun sustains hour by hour."""
    limits = {name.replace("_", " "): value for name, value in result["limits_kmh"].items() if value is not None}
    opening = f"{result['place']}, {long_date(result['date'])}, charge {number(result['charge_kwh'])} kWh"
    speeds = [_speed_cells(row) for row in result["speeds"]]
    hours = [_hour_cells(row) for row in result["by_hour"]]
    parts = [
        *_plain([opening, "Limits: " + ", ".join(f"{name} {number(value)} km/h" for name, value in limits.items())]),
        heading(f"Speeds in still water, {_depth(result)}, no wind"),
        _table(("km/h", "kn", "Watts", "Wh/km", "Range km", "Froude", "Limit"), speeds),
        *_plain([entry("", RANGE_NOTE, width)]),
        heading("What the sun sustains (local hour)"),
        _table(("Hour", "Sun P10 W", "P50", "P90", "Speed P10 km/h", "P50", "P90"), hours),
        *_plain([entry("", STEERABLE_NOTE, width)]),
    ]
    return rendered(parts, width, styled=styled)


def _depth(result: Result) -> str:
    depth_m = result.get("depth_m")
    return "deep" if depth_m is None else f"{number(depth_m)} m deep"


def _speed_cells(row: Result) -> tuple[str, ...]:
    return (
        number(row["speed_kmh"]), number(row["speed_kn"], 2), number(row["power_w"], 0), number(row["wh_per_km"]),
        number(row["range_km"], 0), number(row["froude"], 2), (row["limit"] or "").replace("_", " "),
    )  # fmt: skip


def _hour_cells(row: Result) -> tuple[str, ...]:
    watts = [number(row["solar_w"][key], 0) for key in QUANTILES]
    return (row["hour"], *watts, *(number(row["speed_kmh"][key]) for key in QUANTILES))


def _table(headings: tuple[str, ...], rows: "list[tuple[str, ...]]") -> "Table":
    table = plain_table()
    table.padding = (0, 1, 0, 0)
    for place, text in enumerate(headings):
        table.add_column(text, justify="left" if text in ("Plane", "Hour", "Limit") and place in (0, 6) else "right")
    for row in rows:
        table.add_row(*row)
    return table


def _plain(lines: list[str]) -> "list[RenderableType]":
    from rich.text import Text

    return [Text(line) for line in lines]


def _clock(instant: str | None) -> str:
    return instant[11:16] if instant else MISSING
