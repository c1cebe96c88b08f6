"""Invented voyages on rounded public positions, illustrative, not for navigation."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from hypothesis import strategies as st

from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

RIVER = (
    Place("Rooskey", 53.83, -7.92, height_m=40.0),
    Place("Lanesborough", 53.67, -7.99, shore_w=3600.0, shade_percent=10.0, height_m=36.0),
    Place("Athlone", 53.42, -7.94, heading_deg=20.0),
    Place("Portumna", 53.09, -8.19, moor=False),
    Place("Killaloe", 52.81, -8.44),
)
RIVER_LEGS = (
    Leg("Rooskey", "Lanesborough", "river", distance_km=25.0, locks=2, current_mps=0.2, shade_percent=30.0),
    Leg("Lanesborough", "Athlone", "lake", moor_anywhere=False, bridges=1),
    Leg("Athlone", "Portumna", "river", distance_km=59.0, lock_at_km=(20.0, 31.0), locks=2, nights=1),
    Leg("Portumna", "Killaloe", "canal", via=((53.0, -8.25), (53.0, -8.25), (52.9, -8.4))),
)


def voyage(places: Sequence[Place] = RIVER, legs: Sequence[Leg] = RIVER_LEGS, **keys: Any) -> Voyage:
    base = Voyage("sample", date(2027, 3, 1), "Europe/Dublin", tuple(places), tuple(legs))
    return replace(base, **keys)


def _leg(start: str, end: str, via: list[tuple[float, float]], distance_km: float | None, locks: int) -> Leg:
    return Leg(start, end, "canal", distance_km=distance_km, via=tuple(via), locks=locks, bridges=1, current_mps=0.3)


@st.composite
def voyages(draw: st.DrawFn) -> Voyage:
    """One to five legs of short hops anywhere, the date line included, with points that may coincide."""
    lat, lon = draw(st.floats(-66, 66)), draw(st.floats(-180, 180))
    hop = st.tuples(st.floats(-0.3, 0.3), st.floats(-0.5, 0.5)) | st.just((0.0, 0.0))

    def near() -> tuple[float, float]:
        step = draw(hop)
        return lat + step[0], (lon + step[1] + 180.0) % 360.0 - 180.0

    count = draw(st.integers(1, 5))
    places = [Place(f"place {k}", *near(), moor=draw(st.booleans())) for k in range(count + 1)]
    legs = [
        _leg(
            places[k].name,
            places[k + 1].name,
            [near() for _ in range(draw(st.integers(0, 3)))],
            draw(st.none() | st.floats(0.1, 80.0)),
            draw(st.integers(0, 4)),
        )
        for k in range(count)
    ]
    return voyage(places, legs, mooring_every_km=draw(st.floats(1.0, 20.0)))


def odd(ring: list[tuple[float, float]], x: float, y: float) -> int:
    """Sides of a ring that a ray to the east meets, one after the other."""
    sides = zip(ring, ring[1:] + ring[:1], strict=True)
    return sum((b > y) != (d > y) and a + (y - b) / (d - b) * (c - a) > x for (a, b), (c, d) in sides)
