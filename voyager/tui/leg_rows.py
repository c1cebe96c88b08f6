"""The legs as they are shown: what the sketch says of each, with the figures of the plan where they still answer it."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.session.sketch.numbers import number, plain
from voyager.session.sketch.state import Row, Sketch

LegRow = dict[str, Any]
Kept = tuple[int, Row, Row | None, Mapping[str, Any] | None, LegRow]
"""A leg's number, its row, the row planned and the plan's leg that it was made of, and what came of them."""
LENGTH_KEYS = ("from", "to", "via", "distance_km", "distance_nm")


class LegRows:
    """Makes the rows, and keeps those made last: what did not change is handed out again as it is."""

    def __init__(self) -> None:
        self.kept: dict[int, Kept] = {}

    def of(self, sketch: Sketch, plan: Mapping[str, Any] | None, planned: Sketch | None) -> list[LegRow]:
        """One row a leg, keys as in a plan's legs; ``plan`` answers ``planned``, whose rows are told by identity.

        A row that differs from the one planned has no figures but its own; ``plan_leg`` is its number in the plan, None
        where it has none. ``ident`` is the row's identity.
        """
        pairs = zip(planned.legs if planned else (), () if plan is None else plan["legs"], strict=False)
        found = {row.ident: (row, leg) for row, leg in pairs}
        made = [self._row(at, row, *found.get(row.ident, (None, None))) for at, row in enumerate(sketch.legs, 1)]
        self.kept = {kept[1].ident: kept for kept in made}
        return [kept[-1] for kept in made]

    def _row(self, at: int, row: Row, then: Row | None, leg: Mapping[str, Any] | None) -> Kept:
        kept = self.kept.get(row.ident)
        if kept and kept[0] == at and kept[1] is row and kept[2] is then and kept[3] is leg:
            return kept
        return at, row, then, leg, _told(row, at, then, leg)


def _told(row: Row, number_: int, then: Row | None, leg: Mapping[str, Any] | None) -> LegRow:
    own = _own(row, number_)
    if then is None or leg is None:
        return own
    if then is row or then.values == row.values:
        return {**leg, **own, "distance_km": leg["distance_km"], "plan_leg": leg["leg"]} | _speed(own, leg)
    if own["distance_km"] is None and all(then.get(key) == row.get(key) for key in LENGTH_KEYS):
        own["distance_km"] = leg["distance_km"]
    return own


def _own(row: Row, number_: int) -> LegRow:
    """What the file itself says of a leg, however broken."""
    speed = number(row, "speed_kmh")
    return {
        "leg": number_,
        "ident": row.ident,
        "plan_leg": None,
        "from": _text(row.get("from")),
        "to": _text(row.get("to")),
        "water": _text(row.get("water", "canal")),
        "distance_km": number(row, "distance_km"),
        "locks": _count(row.get("locks")),
        "speed_kmh": None if speed is None else round(speed, 3),
        "fixed_speed": speed is not None,
        "nights": _count(row.get("nights")),
    }


def _speed(own: LegRow, leg: Mapping[str, Any]) -> LegRow:
    return {} if own["fixed_speed"] else {"speed_kmh": leg["speed_kmh"], "fixed_speed": leg["fixed_speed"]}


def _text(value: Any) -> str:
    return value if isinstance(value, str) else ""


def _count(value: Any) -> int:
    read = plain(value)
    return 0 if read is None else int(read)


def bare(sketch: Sketch, path: str) -> dict[str, Any]:
    """What there is to show before any plan: voyage and boat by name, in the shape of a plan."""
    from os.path import basename, splitext

    voyage = {"name": _text(sketch.top.get("name")) or splitext(basename(path))[0]}
    boat = {"name": _text(sketch.boat.get("name")), "capacity_kwh": capacity_kwh(sketch.boat)}
    return {"voyage": voyage, "boat": boat, "choices": {"comfort": comforts(sketch.boat)}, "cautions": ()}


def capacity_kwh(boat: Mapping[str, Any]) -> float:
    """Rated capacity times health; 0 where the boat's values do not say."""
    battery = boat.get("battery")
    if not isinstance(battery, Mapping):
        return 0.0
    rated, health = plain(battery.get("capacity_kwh")), plain(battery.get("health_percent", 100))
    return 0.0 if rated is None or health is None else rated * health / 100


def comforts(boat: Mapping[str, Any]) -> Sequence[str]:
    """Names of the comfort ladder, warmest first; ``off`` always stands at its end."""
    ladder = boat.get("comfort")
    names = [str(name) for name in ladder] if isinstance(ladder, Mapping) else []
    return [*(name for name in names if name != "off"), "off"]
