"""Sketches for tests: one like a file, and any that hypothesis thinks of."""

from datetime import date
from typing import Any

from hypothesis import strategies as st

from voyager.session.sketch.state import Sketch, sketch_of

WATERS = ("canal", "river", "lake", "coastal", "open")


def voyage(**top: Any) -> Sketch:
    """Four places on a meridian and three legs between them."""
    places = [{"name": name, "at": [53.0 + n / 10, -8.0]} for n, name in enumerate("ABCD")]
    legs = [
        {"from": "A", "to": "B", "distance_km": 12.0, "locks": 3, "speed_kmh": 6.0},
        {"from": "B", "to": "C", "water": "river", "current_kmh": 0.5, "lock_at_km": [2.0, 9.0], "nights": 2},
        {"from": "C", "to": "D", "water": "lake", "distance_km": 14.0, "latest": date(2027, 3, 9), "nights": 1},
    ]
    return sketch_of({"voyage": {**top, "place": places, "leg": legs}, "boat": {}})


def figures(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(int(low * 100), int(high * 100)).map(lambda n: n / 100)


@st.composite
def sketches(draw: st.DrawFn, dated: bool = True) -> Sketch:
    """Chains of legs as files may hold them, some measured on their line, some with a given length."""
    count = draw(st.integers(1, 5))
    names = [f"P{n}" for n in range(count + 1)]
    places = [
        {"name": name, "at": [draw(figures(52, 54)), draw(figures(-9, -7)) + n / 10]} for n, name in enumerate(names)
    ]
    legs = [_leg(draw, names[n], names[n + 1], dated, last=n == count - 1) for n in range(count)]
    return sketch_of({"voyage": {"place": places, "leg": legs}, "boat": {}})


def _leg(draw: st.DrawFn, start: str, end: str, dated: bool, last: bool) -> dict[str, Any]:
    leg: dict[str, Any] = {"from": start, "to": end, "water": draw(st.sampled_from(WATERS))}
    length = draw(figures(2, 80)) if draw(st.booleans()) else None
    if length is not None:
        leg["distance_km"] = length
        leg.update(draw(st.sampled_from([{}, {"lock_at_km": [round(length * 0.25, 2), round(length * 0.5, 2)]}])))
    if "lock_at_km" not in leg and draw(st.booleans()):
        leg["locks"] = draw(st.integers(1, 9))
    if draw(st.booleans()):
        leg["via"] = [[draw(figures(52, 54)), draw(figures(-9, -7))] for _ in range(draw(st.integers(1, 3)))]
    extra = {
        "current_kmh": figures(-2, 2),
        "speed_kmh": figures(3, 9),
        "bridges": st.integers(1, 4),
        "tunnel_km": figures(0.1, 1),
        "limit_kn": figures(2, 6),
        "headroom_m": figures(2, 9),
        "overnight": st.just(True),
        "tide": st.just({"high_water": "2027-03-01T05:40:00Z", "flood_kmh": -3.0}),
    }
    if dated:
        extra["earliest"] = st.just(date(2027, 3, 5))
    if not last or dated:
        extra["nights"] = st.integers(1, 3)
    for key in draw(st.sets(st.sampled_from(sorted(extra)))):
        leg[key] = draw(extra[key])
    return leg


def plain(sketch: Sketch, kind: str = "legs") -> list[dict[str, Any]]:
    return [dict(row.values) for row in getattr(sketch, kind)]
