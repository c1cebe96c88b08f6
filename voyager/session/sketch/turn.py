"""The voyage the other way round, and there and back."""

from typing import Any

from voyager.session.sketch.measure import leg_km
from voyager.session.sketch.numbers import number, numbers, put_number, standing
from voyager.session.sketch.state import Row, Sketch

LEAST_KM = 0.001


def reverse(sketch: Sketch) -> Sketch:
    """With the legs from the last place to the first: streams, points, locks and bridges mirrored.

    Nights go with their places; those at the last place, and dates, have no place going back and are left out.
    """
    return sketch.with_rows("legs", _back(sketch))


def _back(sketch: Sketch) -> list[Row]:
    """Leg n of the voyage, going back, ends where leg n-1 ended: with that one's nights."""
    stays: list[Any] = [None, *(leg.get("nights") for leg in sketch.legs[:-1])]
    turned = [_mirrored(sketch, n).put("nights", stay) for n, stay in enumerate(stays[: len(sketch.legs)])]
    return turned[::-1]


def _mirrored(sketch: Sketch, index: int) -> Row:
    leg = sketch.legs[index]
    row = leg.put("from", leg.get("to")).put("to", leg.get("from")).put("earliest", None).put("latest", None)
    via = leg.get("via")
    if isinstance(via, list | tuple):
        row = row.put("via", list(via)[::-1] or None)
    row = _negated(row, "current_kmh")
    tide = leg.get("tide")
    if isinstance(tide, dict):
        row = row.put("tide", dict(_negated(Row(0, tide), "flood_kmh").values))
    for key in ("lock_at_km", "bridge_at_km"):
        row = _turned(sketch, row, key, index)
    return row


def _negated(row: Row, key: str) -> Row:
    name = standing(row, key)
    value = row.get(name)
    return row if number(row, key) is None else row.put(name, 0 - value)


def _turned(sketch: Sketch, row: Row, key: str, index: int) -> Row:
    placed = numbers(row, key)
    if not placed:
        return row
    length = leg_km(sketch, sketch.legs[index])
    if length is None:
        raise ValueError(f"leg {index + 1} says where its locks or bridges lie but not how long it is: give its km")
    return put_number(row, key, [max(LEAST_KM, round(length - km, 6)) for km in placed[::-1]])


def reverse_words(sketch: Sketch) -> str:
    """What reversing does, with what it leaves out."""
    lost = []
    if sketch.legs and sketch.legs[-1].get("nights"):
        nights = sketch.legs[-1].get("nights")
        lost.append(f"{nights} night{'' if nights == 1 else 's'} at {sketch.legs[-1].get('to')}")
    dates = sum(leg.get(key) is not None for leg in sketch.legs for key in ("earliest", "latest"))
    if dates:
        lost.append(f"{dates} date{'s' if dates > 1 else ''} of legs")
    return "the voyage the other way round" + (f" (left out: {' and '.join(lost)})" if lost else "")


def there_and_back(sketch: Sketch) -> Sketch:
    """With the way back appended to the voyage; dates of its legs hold on the way out only."""
    if not sketch.legs:
        raise ValueError("there are no legs to go back over")
    made, back = sketch, []
    for turned in _back(sketch):
        made, row = made.fresh(turned.values)
        back.append(row)
    return made.with_rows("legs", [*sketch.legs, *back])
