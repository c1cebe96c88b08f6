"""The columns of the legs: heading, text and file key of each. Pure; no Textual here."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

from voyager.session.sketch.fields import LEG_BY_KEY, Field, figure, raw
from voyager.session.sketch.reading import words as typed_words
from voyager.session.sketch.state import Row
from voyager.tui import words
from voyager.tui.units import Units

Leg = Mapping[str, Any]


class Cells(NamedTuple):
    """What a cell may be told of: the leg as shown, its row of the sketch, the battery's kWh, the units chosen."""

    leg: Leg
    row: Row
    full_kwh: float
    units: Units


class Column(NamedTuple):
    """``width``: the least there is, 0 for a share of what is left. ``key``: the file's, "" for a plan's figure."""

    heading: str
    width: int
    text: Callable[[Cells], str]
    key: str = ""
    left: bool = False
    strong: bool = False


def _speed(key: str) -> Callable[[Cells], str]:
    return lambda at: words.figure(at.units.speed_of(figure(at.row, key)))


def _plain(key: str) -> Callable[[Cells], str]:
    return lambda at: (
        typed_words(figure(at.row, key)) if LEG_BY_KEY[key].kind == "number" else typed_words(raw(at.row, key))
    )


def _going(at: Cells) -> str:
    shown = at.units.speed_of(at.leg.get("speed_kmh"))
    return words.speed_words({"speed_kmh": shown, "fixed_speed": at.leg.get("fixed_speed")})


COLUMNS = (
    Column("From", 0, lambda at: at.leg["from"], "from", left=True),
    Column("To", 0, lambda at: at.leg["to"], "to", left=True),
    Column("Water", 5, lambda at: at.leg["water"], "water", left=True),
    Column("km", 4, lambda at: words.figure(at.units.length_of(at.leg["distance_km"])), "distance_km"),
    Column("Locks", 5, lambda at: str(at.leg.get("locks") or ""), "locks"),
    Column("km/h", 4, _going, "speed_kmh"),
    Column("h", 3, lambda at: words.figure(at.leg.get("hours"))),
    Column("kWh", 3, lambda at: words.figure(at.leg.get("energy_kwh"))),
    Column("Day", 3, lambda at: words.leg_days(at.leg)),
    Column("End", 3, lambda at: words.percent_words(at.leg.get("charge_end_kwh"), at.full_kwh)),
    Column("Stay", 4, lambda at: str(at.leg.get("nights") or ""), "nights", strong=True),
    Column("Shore", 5, lambda at: "plug" if at.leg.get("needs_shore") else ""),
    Column("Current", 7, _speed("current_kmh"), "current_kmh"),
    Column("Limit", 5, _speed("limit_kmh"), "limit_kmh"),
    Column("Depth", 5, _plain("depth_m"), "depth_m"),
    Column("Headroom", 8, _plain("headroom_m"), "headroom_m"),
    Column("Earliest", 10, _plain("earliest"), "earliest"),
    Column("Latest", 10, _plain("latest"), "latest"),
    Column("Shade", 5, _plain("shade_percent"), "shade_percent"),
)
KEYS = {column.key: number for number, column in enumerate(COLUMNS) if column.key}
FROM, TO, WATER, SPEED, STAY = (KEYS[key] for key in ("from", "to", "water", "speed_kmh", "nights"))
NAMES = frozenset({FROM, TO})
LEAST_NAMES, FAIR_NAMES = 18, 24
SHORE = FIRST_PART = STAY + 1
"""The columns before it share the width that there is, and it with them where it says anything; the ones behind come
into view when gone to."""


def heading(column: Column, units: Units) -> str:
    """In the units chosen."""
    return {"km": units.length, "km/h": units.speed}.get(column.heading, column.heading)


def second(key: str, units: Units) -> bool:
    """Whether bare figures of a key are typed and shown in the other usual unit."""
    unit = LEG_BY_KEY[key].unit
    return (unit == "km" and units.length == "NM") or (unit == "km/h" and units.speed == "kn")


def own_text(row: Row, key: str, units: Units) -> str:
    """What the file has at a key, as it would be typed in the units chosen."""
    field = LEG_BY_KEY[key]
    if field.kind == "number":
        return typed_words(figure(row, key, second(key, units))) or typed_words(raw(row, key))
    return typed_words(raw(row, key))


def texts(cells: Cells) -> tuple[str, ...]:
    """The text of every column."""
    return tuple(column.text(cells) for column in COLUMNS)


def widths(rows: Sequence[tuple[str, ...]], units: Units, room: int) -> tuple[int, ...]:
    """Width of every column with the gap behind it: figures as wide as their widest, names share what is left."""
    lengths = [max(map(len, column), default=0) for column in zip(*rows, strict=True)] or [0] * len(COLUMNS)
    needs = [
        max(column.width, len(heading(column, units)), length) + 1 if column.width else 0
        for column, length in zip(COLUMNS, lengths, strict=True)
    ]
    fair = max(LEAST_NAMES, min(FAIR_NAMES, room // 3))
    rest = max(fair, room - sum(needs[: FIRST_PART + bool(lengths[SHORE])]))
    shares = iter((rest - rest // 2, rest // 2))
    return tuple(need or next(shares) for need in needs)


def field_of(column: int) -> Field:
    """The field of a column that is the file's."""
    return LEG_BY_KEY[COLUMNS[column].key]
