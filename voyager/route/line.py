"""The route: legs laid end to end, with position and course at any kilometre, moorings, locks and bridges."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.route.geodesy import Floats, Trace, join, trace, wrap_course_deg
from voyager.route.leg import BANKED, Leg
from voyager.route.locks import Event, leg_events
from voyager.route.mooring import Mooring, along_leg, at_place, at_point
from voyager.route.place import Place
from voyager.route.voyage import Voyage

__all__ = ["Event", "Mooring", "Route", "build_route", "reversed_route"]

AT_MOORING_KM = 0.1


@dataclass(frozen=True, eq=False)
class Route:
    """L legs. ``distance_km`` (L,); ``start_km`` (L+1,) where each begins, the last one the whole length.

    ``course_deg`` (L,) mean course of each leg (vector mean by distance); ``moorings`` from first place to last;
    ``leg_events`` of each leg, as ``events`` gives them; ``line`` the whole line.
    """

    legs: tuple[Leg, ...]
    distance_km: Floats
    start_km: Floats
    course_deg: Floats
    moorings: tuple[Mooring, ...]
    leg_events: tuple[tuple[Event, ...], ...]
    line: Trace

    def position(self, km: ArrayLike) -> tuple[Floats, Floats]:
        """Latitude and longitude [deg, -180 <= lon < 180] at ``km`` from the start, of its shape; ends are held."""
        return self.line.position(km)

    def course(self, km: ArrayLike) -> Floats:
        """Local course [deg from north] at ``km`` from the start, of its shape; at a bend that of the piece ahead."""
        return self.line.course(km)

    def leg_at(self, km: ArrayLike) -> NDArray[np.int64]:
        """Number of the leg at ``km`` from the start, of its shape; where two meet, the one ahead."""
        number = np.searchsorted(self.start_km, km, side="right") - 1
        return np.asarray(np.clip(number, 0, len(self.legs) - 1), dtype=np.int64)

    def events(self, leg: int) -> tuple[Event, ...]:
        """Locks and bridges of a leg in the order met, km from the leg's start."""
        return self.leg_events[leg]


def build_route(voyage: Voyage, boat_km: float | None = None) -> Route:
    """The voyage's route. A leg's ``distance_km`` beats the measured length: its line is then stretched evenly.

    ``boat_km``: where the boat is now; unless a mooring lies within 0.1 km of it, that point is one more of them, named
    like those along a leg, whether anybody may moor there or not.
    """
    places = {place.name: place for place in voyage.places}
    lines = [_leg_line(leg, places) for leg in voyage.legs]
    start_km = np.cumsum([0.0] + [line.length_km for line in lines])
    moorings = _moorings(voyage, lines, start_km)
    if boat_km is not None:
        moorings = _with_boat(voyage, lines, start_km, moorings, boat_km)
    return Route(
        legs=voyage.legs,
        distance_km=np.array([line.length_km for line in lines]),
        start_km=start_km,
        course_deg=np.array([line.mean_course_deg() for line in lines]),
        moorings=tuple(moorings),
        leg_events=tuple(leg_events(leg, line.length_km) for leg, line in zip(voyage.legs, lines, strict=True)),
        line=join(lines),
    )


def _leg_line(leg: Leg, places: dict[str, Place]) -> Trace:
    start, end = places[leg.start], places[leg.end]
    line = trace([(start.lat, start.lon), *leg.via, (end.lat, end.lon)])
    return line if leg.distance_km is None else line.scaled(leg.distance_km)


def _moorings(voyage: Voyage, lines: Sequence[Trace], start_km: Floats) -> list[Mooring]:
    number = {place.name: n for n, place in enumerate(voyage.places)}
    numbers = [number[voyage.legs[0].start]] + [number[leg.end] for leg in voyage.legs]
    places = [voyage.places[n] for n in numbers]
    moorings = [at_place(places[0], numbers[0], 0.0, 0, _bank_deg(voyage.legs[0], lines[0], 0))]
    for k, (leg, line) in enumerate(zip(voyage.legs, lines, strict=True)):
        heights_m = (places[k].height_m, places[k + 1].height_m)
        moorings += along_leg(leg, k, float(start_km[k]), line, voyage.mooring_every_km, heights_m)
        if places[k + 1].moor or k == len(lines) - 1:
            along_deg = _bank_deg(leg, line, -1)
            moorings.append(at_place(places[k + 1], numbers[k + 1], float(start_km[k + 1]), k, along_deg))
    return moorings


def _with_boat(
    voyage: Voyage, lines: Sequence[Trace], start_km: Floats, moorings: list[Mooring], km: float
) -> list[Mooring]:
    if min(abs(m.km - km) for m in moorings) <= AT_MOORING_KM:
        return moorings
    number = int(np.clip(np.searchsorted(start_km, km, side="right") - 1, 0, len(lines) - 1))
    leg, places = voyage.legs[number], {place.name: place for place in voyage.places}
    heights_m = (places[leg.start].height_m, places[leg.end].height_m)
    here = at_point(leg, number, float(start_km[number]), lines[number], km - float(start_km[number]), heights_m)
    return sorted([*moorings, here], key=lambda m: m.km)


def _bank_deg(leg: Leg, line: Trace, piece: int) -> float | None:
    """Course of the bank at the first (0) or last (-1) piece of a leg; None where there is no bank or no course."""
    return float(line.course_deg[piece]) if leg.water in BANKED and not line.still else None


def reversed_route(route: Route) -> Route:
    """The route from its last place to its first: streams, locks, bridges and moorings mirrored.

    Mooring n is mooring N-1-n of the route given, lying as it lay. Asked nights and dates do not hold going back.
    """
    total_km = float(route.start_km[-1])
    pairs = list(zip(route.legs, route.distance_km.tolist(), route.leg_events, strict=True))[::-1]
    return Route(
        legs=tuple(_mirrored_leg(leg, km) for leg, km, _ in pairs),
        distance_km=route.distance_km[::-1],
        start_km=total_km - route.start_km[::-1],
        course_deg=wrap_course_deg(route.course_deg[::-1] + 180.0),
        moorings=tuple(_mirrored_moorings(route, total_km)),
        leg_events=tuple(tuple(sorted(Event(km - e.km, e.kind) for e in events)) for _, km, events in pairs),
        line=route.line.reversed(),
    )


def _mirrored_moorings(route: Route, total_km: float) -> list[Mooring]:
    """A place ends, going back, the leg that begins there; the last place, now the first, stands on the first leg."""
    first, *others = route.moorings
    on = [first.leg] + [m.leg if m.place is None else m.leg + 1 for m in others]
    last = len(route.legs) - 1
    mirrored = [replace(m, km=total_km - m.km, leg=max(last - n, 0)) for m, n in zip(route.moorings, on, strict=True)]
    return mirrored[::-1]


def _mirrored_leg(leg: Leg, distance_km: float) -> Leg:
    return replace(
        leg,
        start=leg.end,
        end=leg.start,
        distance_km=distance_km,
        via=leg.via[::-1],
        current_mps=0.0 - leg.current_mps,
        tide_flood_mps=0.0 - leg.tide_flood_mps,
        lock_at_km=tuple(distance_km - km for km in leg.lock_at_km[::-1]),
        bridge_at_km=tuple(distance_km - km for km in leg.bridge_at_km[::-1]),
        earliest=None,
        latest=None,
        nights=0,
    )
