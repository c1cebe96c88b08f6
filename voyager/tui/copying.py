"""The tables of the screens as plain values, in the units chosen, nothing cut. No Textual here."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from voyager.session.sketch.fields import LEG_BY_KEY, PLACE_BY_KEY
from voyager.session.sketch.fields import figure as file_figure
from voyager.session.sketch.state import Row
from voyager.session.tables_out import Table, heading
from voyager.tui.desk import Desk
from voyager.tui.packed import hours_of
from voyager.tui.units import Units

Values = Mapping[str, Any]
PLANNED = ("hours", "energy_kwh", "power_w", "ground_kmh", "started_day", "day", "charge_end_kwh", "needs_shore")
ENDS = ("from", "to", "water", "distance_km", "locks", "speed_kmh", "nights")


def legs(desk: Desk) -> Table:
    """Every leg: what is planned, then what else its file has."""
    rows = list(zip(desk.leg_rows(), desk.sketch.legs, strict=False))
    used = [key for key in LEG_BY_KEY if key not in ENDS and any(_own(row, key) is not None for _, row in rows)]
    keys = (*ENDS, "fixed_speed", *PLANNED)
    lines = [
        (number, *(leg.get(key) for key in keys), *(_own(row, key) for key in used))
        for number, (leg, row) in enumerate(rows, 1)
    ]
    return _table("legs", ("leg", *keys, *used), lines, desk.units)


def _own(row: Row, key: str) -> Any:
    field = LEG_BY_KEY[key]
    value = file_figure(row, key) if field.kind == "number" else row.get(key)
    return _plain(value)


def days(desk: Desk) -> Table:
    """Every day listed, all that is known of it in a value each."""
    return _records("days", desk.days, desk.units, ("at", "hours"))


def hours(desk: Desk, day: Values | None) -> Table:
    """The hours of one day."""
    return _records("hours", [] if day is None else hours_of(day), desk.units)


def places(desk: Desk) -> Table:
    """Every place with its position in degrees."""
    keys = [key for key in PLACE_BY_KEY if key not in {"name", "at"}]
    lines = []
    for row in desk.sketch.places:
        at = row.get("at")
        pair = at if isinstance(at, list | tuple) and len(at) == 2 else (None, None)
        lines.append((row.get("name"), *pair, *(_plain(row.get(key)) for key in keys)))
    return _table("places", ("name", "latitude_deg", "longitude_deg", *keys), lines, desk.units)


def odds(desk: Desk) -> Table:
    """By date: the chance of having arrived with its range, charge and way made."""
    found = (desk.plan or {}).get("odds") or {"arrival": {"by_date": ()}, "days": ()}
    by_date: dict[str, dict[str, Any]] = {}
    for row in found["days"]:
        by_date.setdefault(row["date"], {}).update(row)
    for row in found["arrival"]["by_date"]:
        named = {"arrived": row["chance"], "arrived_low": row["low"], "arrived_high": row["high"]}
        by_date.setdefault(row["date"], {"date": row["date"]}).update(named)
    return _records("odds", [by_date[day] for day in sorted(by_date)], desk.units)


def actual(desk: Desk, result: Values | None) -> Table:
    """The days of the log against their plans."""
    rows = []
    for day in (result or {"days": ()})["days"]:
        sides = {f"{side}_{key}": value for side in ("planned", "actual") for key, value in (day[side] or {}).items()}
        rows.append({key: value for key, value in day.items() if key not in {"planned", "actual"}} | sides)
    return _records("actual", rows, desk.units, ("shared",))


def log(desk: Desk, rows: Sequence[Values] | None) -> Table:
    """Every entry of the log."""
    return _records("log", rows or [], desk.units)


def values(desk: Desk, rows: Iterable[Any]) -> Table:
    """The form of all values: what holds, and whether the file says so."""
    lines = [
        (row.group, row.title, row.field["key"], row.shown, row.unit, "own" if row.own else "default")
        for row in rows
        if row.field is not None
    ]
    return Table("values", ("group", "value of", "key", "value", "unit", "says"), tuple(lines))


def _records(name: str, rows: Sequence[Values], units: Units, without: Sequence[str] = ()) -> Table:
    keys = list(dict.fromkeys(key for row in rows for key in row if key not in without and _is_plain(row[key])))
    return _table(name, keys, [tuple(_plain(row.get(key)) for key in keys) for row in rows], units)


def _is_plain(value: Any) -> bool:
    if isinstance(value, list | tuple):
        return all(not isinstance(one, Mapping | list | tuple) for one in value)
    return not isinstance(value, Mapping)


def _plain(value: Any) -> Any:
    """Nested tables of the file as text."""
    return value if _is_plain(value) else str(value)


def _table(name: str, keys: Sequence[str], rows: Sequence[tuple[Any, ...]], units: Units) -> Table:
    """Speeds, lengths of way and temperatures in the units chosen."""
    ways = [_way(key, units) for key in keys]
    heads = tuple(heading(key) if way is None else way[0] for key, way in zip(keys, ways, strict=True))
    lines = tuple(tuple(_shown(value, way) for value, way in zip(row, ways, strict=True)) for row in rows)
    return Table(name, heads, lines)


def _shown(value: Any, way: tuple[str, Callable[[Any], Any]] | None) -> Any:
    return way[1](value) if way is not None and isinstance(value, int | float) else value


def _way(key: str, units: Units) -> tuple[str, Callable[[Any], Any]] | None:
    """Heading and conversion of a key whose unit can be chosen."""
    for ending, turn, unit in (
        ("kmh", units.speed_of, units.speed), ("km", units.length_of, units.length),
        ("c", units.temperature_of, units.temperature),
    ):  # fmt: skip
        if key.endswith(f"_{ending}"):
            return f"{key.removesuffix(f'_{ending}').replace('_', ' ')} [{unit}]", turn
    if key.startswith("km_p"):
        return f"way made {key[3:]} [{units.length}]", units.length_of
    return None
