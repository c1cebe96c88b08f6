"""The keys of a leg and of a place as a person types them: words, units, limits, and what stands for nothing given."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from voyager.session.sketch.numbers import number, twin
from voyager.session.sketch.state import Row

WATERS = ("canal", "river", "lake", "coastal", "open")


@dataclass(frozen=True)
class Field:
    """One key; ``kind`` says how its text is read. ``low`` and ``high`` are the ends of what it may be.

    ``above``: low itself is too little. ``otherwise`` says what an empty field stands for; ``step`` is one nudge.
    """

    key: str
    label: str
    kind: str = "number"
    low: float = 0.0
    high: float = 0.0
    above: bool = False
    otherwise: str = ""
    step: float = 1.0
    unit: str = ""
    choices: tuple[str, ...] = ()


LEG_FIELDS = (
    Field("from", "From", "name"),
    Field("to", "To", "name"),
    Field("water", "Water", "choice", otherwise="canal", choices=WATERS),
    Field("distance_km", "Distance", high=2000, above=True, otherwise="measured on its line", unit="km"),
    Field("speed_kmh", "Speed, fixed", high=100, above=True, otherwise="as planned", step=0.5, unit="km/h"),
    Field("nights", "Nights there", "count", high=366, otherwise="0"),
    Field("earliest", "Earliest there", "date", otherwise="any"),
    Field("latest", "Latest there", "date", otherwise="any"),
    Field("locks", "Locks", "count", high=200, otherwise="0"),
    Field("lock_at_km", "Locks lie at", "list", high=2000, above=True, otherwise="evenly spread", unit="km"),
    Field("lock_min", "Time a lock", high=600, otherwise="20", step=5, unit="min"),
    Field("lock_kwh", "Energy a lock", high=10, otherwise="0.1", step=0.1, unit="kWh"),
    Field("lock_length_m", "Shortest lock", high=1000, above=True, otherwise="not said", step=0.5, unit="m"),
    Field("lock_beam_m", "Narrowest lock", high=200, above=True, otherwise="not said", step=0.1, unit="m"),
    Field("bridges", "Lift bridges", "count", high=200, otherwise="0"),
    Field("bridge_at_km", "Bridges lie at", "list", high=2000, above=True, otherwise="evenly spread", unit="km"),
    Field("bridge_min", "Time a bridge", high=600, otherwise="10", step=5, unit="min"),
    Field("open_hours", "Locks, bridges open", "window", otherwise="always"),
    Field("closed_days", "Shut on", "days", otherwise="no day"),
    Field("closed", "Stoppages", "spans", otherwise="none"),
    Field("limit_kmh", "Speed limit", low=1, high=200, otherwise="none", step=0.5, unit="km/h"),
    Field("current_kmh", "Current with her", low=-30, high=30, otherwise="0", step=0.1, unit="km/h"),
    Field("tide.high_water", "A high water", "instant", otherwise="no tide"),
    Field("tide.flood_kmh", "Flood with her", low=-30, high=30, otherwise="no tide", step=0.5, unit="km/h"),
    Field("depth_m", "Least depth", high=12000, above=True, otherwise="deep", step=0.1, unit="m"),
    Field("width_m", "Least width", high=1e6, above=True, otherwise="wide", unit="m"),
    Field("headroom_m", "Headroom", high=200, above=True, otherwise="not said", step=0.1, unit="m"),
    Field("tunnel_km", "Tunnels", high=2000, otherwise="0", step=0.1, unit="km"),
    Field("shade_percent", "Shade", high=100, otherwise="0", step=5, unit="%"),
    Field("moor_anywhere", "Moor anywhere", "bool", otherwise="canal, river: yes"),
    Field("wind_kmh", "Mean wind", high=300, otherwise="by month", unit="km/h"),
    Field("wind_max_kmh", "Stays in wind over", high=300, above=True, otherwise="coastal, open: 30", unit="km/h"),
    Field("fit_to_go", "Days sea allows it", low=0.01, high=1, otherwise="coastal 0.6, open 0.5", step=0.05),
    Field("overnight", "Through the night", "bool", otherwise="no"),
)
PLACE_FIELDS = (
    Field("name", "Place", "name"),
    Field("at", "Position", "position", otherwise="not known"),
    Field("shore_kw", "Shore", high=1000, otherwise="0", step=0.1, unit="kW"),
    Field("shore_price_per_kwh", "Price", high=1e4, otherwise="not said", step=0.01, unit="a kWh"),
    Field("moor", "Moor", "bool", otherwise="yes"),
    Field("heading_deg", "Heading", low=-360, high=360, otherwise="by water", step=5, unit="°"),
    Field("shade_percent", "Shade", high=100, otherwise="0", step=5, unit="%"),
    Field("height_m", "Height", low=-500, high=6000, otherwise="0", unit="m"),
)
LEG_BY_KEY: Mapping[str, Field] = {field.key: field for field in LEG_FIELDS}
PLACE_BY_KEY: Mapping[str, Field] = {field.key: field for field in PLACE_FIELDS}
SECOND = {"km": "NM", "km/h": "kn", "m": "ft"}


def raw(row: Row, key: str) -> Any:
    """The value as the file has it; ``tide.flood_kmh`` looks into the tide."""
    if key.startswith("tide."):
        tide = row.get("tide")
        return raw(Row(0, tide), key.removeprefix("tide.")) if isinstance(tide, dict) else None
    value, other = row.get(key), twin(key)
    return row.get(other[0]) if value is None and other else value


def figure(row: Row, key: str, second: bool = False) -> float | None:
    """A figure in the key's unit, or in the other usual one."""
    if key.startswith("tide."):
        tide = row.get("tide")
        return figure(Row(0, tide), key.removeprefix("tide."), second) if isinstance(tide, dict) else None
    other = twin(key)
    return number(row, other[0] if second and other else key)
