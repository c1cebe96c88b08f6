"""A log of the sample's first days as its page would be told it, made up by hand: not a result."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from voyager.errors import InputError

Json = dict[str, Any]
CAPACITY_KWH = 28.0
UNKNOWN = dict.fromkeys(
    ("place", "km", "lat", "lon", "charge_kwh", "charge_percent", "solar_kwh", "shore_kwh", "propulsion_kwh",
     "heating_kwh", "hotel_kwh", "inside_c", "outside_c")
)  # fmt: skip


def row(ident: int, local: str, note: str = "", source: str = "screen", **values: Any) -> Json:
    """One entry; its time is UTC and the voyage's own."""
    percent = values.get("charge_percent")
    kwh = None if percent is None else round(CAPACITY_KWH * percent / 100, 6)
    named = {"time_utc": f"{local}:00Z", "time_local": local, "kind": "reading", "note": note, "source": source}
    return {"ident": ident, **UNKNOWN, "charge_kwh": kwh, **values, **named}


ROWS = [
    row(1, "2027-03-01T08:00", place="Carrick-on-Shannon", km=0.0, charge_percent=90.0, inside_c=11.0, outside_c=3.0),
    row(2, "2027-03-01T15:30", place="Rooskey", km=24.0, charge_percent=81.0, solar_kwh=3.1, propulsion_kwh=2.6,
        hotel_kwh=0.8, inside_c=15.0, outside_c=7.0),
    row(3, "2027-03-01T17:10", "blocked filter, cleared; the pump hums since then and runs warm", "command"),
    row(4, "2027-03-02T08:00", place="Rooskey", km=24.0, charge_percent=74.0, heating_kwh=1.9, hotel_kwh=1.2,
        inside_c=9.0, outside_c=-1.0),
    row(5, "2027-03-02T14:00", source="track.gpx", km=49.0, lat=53.6764, lon=-7.9912),
    row(6, "2027-03-02T16:00", "on the plug at the harbour", place="Lanesborough", km=49.0, charge_percent=88.0,
        solar_kwh=2.2, shore_kwh=4.4, inside_c=14.0, outside_c=6.0),
    row(7, "2027-03-03T08:15", source="track.gpx", lat=53.4212, lon=-7.9401),
]  # fmt: skip
"""The last has a position off the route."""


def page(path: str, documents: Mapping[str, Any]) -> Json:
    """None where no log is kept, refused where it is damaged, none to be kept for the demo."""
    if "damaged" in path:
        raise InputError("damaged.log.sqlite is damaged; put a copy of it from before in its place")
    kept = [] if "logless" in path or "demo" in path else [dict(one) for one in ROWS]
    return {"entries": kept, "refusal": refusal(path)}


def refusal(path: str) -> str | None:
    """Why a voyage can have no log."""
    return "demo.toml comes with voyager and has no log; save it under another name first" if "demo" in path else None


def understood(path: str, documents: Mapping[str, Any], text: str, now: datetime, row: Json | None) -> Json:
    """Any line is the entry below but one that begins with a question mark."""
    told: Json = {"text": text, "row": None, "notes": [], "why": None, "refusal": refusal(path), "last": ROWS[5]}
    if text.strip() and not text.startswith("?"):
        told["row"] = READ if row is None else row
    elif text.strip():
        told["why"] = f'"{text}" is no place of the voyage; did you mean Athlone?'
    return told


READ = row(0, "2027-03-04T14:00", place="Athlone", km=78.0, charge_percent=61.0)
LINE = "14:00 km 78 61%"


def typed(text: str) -> Sequence[str]:
    """The keys that type a text."""
    return ["space" if sign == " " else sign for sign in text]
