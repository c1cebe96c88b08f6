"""Places and the points of a leg as rows of text. Pure; no Textual here."""

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from voyager.session.sketch.fields import PLACE_BY_KEY, PLACE_FIELDS, raw
from voyager.session.sketch.measure import LatLon, inverse, place_named, position
from voyager.session.sketch.positions import parse_position, position_words
from voyager.session.sketch.reading import text_of
from voyager.session.sketch.state import Row, Sketch
from voyager.session.sketch.via import leg_from_positions, leg_words
from voyager.tui.units import Units

WIDTHS = {"name": 0, "at": 20, "shore_kw": 5, "shore_price_per_kwh": 6, "moor": 5, "heading_deg": 7,
          "shade_percent": 6, "height_m": 7}  # fmt: skip
HEADS = {"shore_kw": "kW", "heading_deg": "Lies °", "shade_percent": "Shade", "height_m": "High m"}
KEYS = tuple(field.key for field in PLACE_FIELDS)
LEGS = "Legs"
LEAST_NAME = 14
AT_NUMBER = 1


def headings() -> tuple[str, ...]:
    """Of the table of places."""
    return (*(HEADS.get(key, PLACE_BY_KEY[key].label) for key in KEYS), LEGS)


def widths(room: int) -> tuple[int, ...]:
    """Of its columns: the name has what is left."""
    rest = room - sum(WIDTHS.values())
    return (*(width or max(LEAST_NAME, rest) for width in WIDTHS.values()), 6)


def place_rows(sketch: Sketch) -> list[tuple[str, ...]]:
    """The texts of every place; the last says how many legs touch it."""
    uses = Counter(str(leg.get(key)) for leg in sketch.legs for key in ("from", "to"))
    return [(*(place_text(row, key) for key in KEYS), str(uses[str(row.get("name"))] or "")) for row in sketch.places]


def place_text(row: Row, key: str) -> str:
    """A value as it would be typed."""
    return text_of(PLACE_BY_KEY[key], raw(row, key))


class Point(NamedTuple):
    """A point of a leg: ``via`` is its number among those between, None for the ends."""

    name: str
    at: LatLon | None
    via: int | None


def points(sketch: Sketch, index: int) -> list[Point]:
    """The points of a leg from end to end."""
    if not 0 <= index < len(sketch.legs):
        return []
    leg = sketch.legs[index]
    via = leg.get("via")
    between = [position(at) for at in via] if isinstance(via, list | tuple) else []
    ends = [(str(leg.get(key) or "…"), place_named(sketch, leg.get(key))) for key in ("from", "to")]
    first, last = (Point(name, None if row is None else position(row.get("at")), None) for name, row in ends)
    return [first, *(Point(f"point {n + 1}", at, n) for n, at in enumerate(between)), last]


def point_rows(found: Sequence[Point], units: Units) -> list[tuple[str, ...]]:
    """Name, position, and length and course from the point before."""
    pieces = [("", ""), *(_piece(a, b, units) for a, b in pairwise(found))]
    return [
        (point.name, position_words(point.at) if point.at else "not known", *piece)
        for point, piece in zip(found, pieces, strict=False)
    ]


def _piece(a: Point, b: Point, units: Units) -> tuple[str, str]:
    if a.at is None or b.at is None:
        return "", ""
    km, course = inverse(a.at, b.at)
    return f"{units.length_of(km):.2f}", f"{course:.0f}°"


def end_of(sketch: Sketch, text: str) -> tuple[str, LatLon]:
    """Name and position of an end typed as a known place, a position, or ``Name: position``; else ValueError."""
    known = next((row for row in sketch.places if str(row.get("name")).casefold() == text.strip().casefold()), None)
    at = position(known.get("at")) if known is not None else None
    if known is not None and at is None:
        raise ValueError(f"{known.get('name')} has no position yet")
    if known is not None and at is not None:
        return str(known.get("name")), at
    name, mark, rest = text.partition(":")
    return (name.strip(), parse_position(rest)) if mark else ("", parse_position(text))


def drawn_or_not(sketch: Sketch, start: str, end: str) -> tuple[str, bool]:
    """As ``drawn``, or why no such leg can be made; and whether it can."""
    (first, a), (second, b) = end_of(sketch, start), end_of(sketch, end)
    try:
        leg_from_positions(sketch, -1, a, b, (first, second))
    except ValueError as error:
        return f"✗ {error}", False
    return drawn(sketch, start, end), True


def drawn(sketch: Sketch, start: str, end: str) -> str:
    """``41.3 km, course 213°`` between two typed ends."""
    return leg_words(end_of(sketch, start)[1], end_of(sketch, end)[1])
