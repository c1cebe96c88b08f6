"""Places and kilometres of the log's entries: the one from the other, by the voyage's route."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from voyager.errors import InputError
from voyager.logbook.entries import Entry

if TYPE_CHECKING:
    from voyager.route.line import Route
    from voyager.route.voyage import Voyage

FAR_KM, FAR_SHARE = 5.0, 0.1
"""A position is on the route up to 5 km off it, on a long leg up to a tenth of its length: legs are drawn straight."""
AT_PLACE_KM = 0.1
MOST_TOLD = 5


@dataclass(frozen=True)
class Way:
    """The voyage as the log asks for it."""

    voyage: "Voyage"

    @cached_property
    def route(self) -> "Route":
        """Made when it is first asked for."""
        from voyager.route.line import build_route

        return build_route(self.voyage)

    @cached_property
    def places(self) -> list[tuple[str, float]]:
        """Names and kilometres in the order in which they are met; a name may come again."""
        names = [self.voyage.legs[0].start, *(leg.end for leg in self.voyage.legs)]
        return list(zip(names, self.route.start_km.tolist(), strict=True))

    @property
    def length_km(self) -> float:
        """Of the whole route."""
        return self.places[-1][1]

    def named(self, text: str) -> str | None:
        """The voyage's own writing of a place, whatever the case and blanks; None where it has none of that name."""
        wanted = _plain(text)
        return next((name for name, _ in self.places if _plain(name) == wanted), None)

    def km_of(self, name: str, before_km: float | None) -> float | None:
        """Kilometre of a place: where it is passed more than once, the first from ``before_km`` on, else the last."""
        from voyager.route.project import next_passage

        found = [km for one, km in self.places if one == name]
        return next_passage(found, 0.0 if before_km is None else before_km) if found else None

    def name_at(self, km: float) -> str | None:
        """The place within 100 m of a kilometre."""
        return next((name for name, at in self.places if abs(at - km) <= AT_PLACE_KM), None)

    def on_route(self, km: float) -> float:
        """A kilometre within the route's ends; InputError for one well beyond them."""
        if not -1e-9 <= km <= self.length_km + 0.05:
            raise InputError(f"km {km:g} is not on the route, which runs from km 0 to km {self.length_km:.1f}")
        return min(max(km, 0.0), self.length_km)

    def unknown(self, text: str) -> str:
        """The sentence on a place that the voyage does not have."""
        from difflib import get_close_matches

        near = get_close_matches(_plain(text), names := {_plain(name): name for name, _ in self.places}, 1)
        many = f"its places go from {self.places[0][0]} to {self.places[-1][0]}"
        known = "there are " + ", ".join(names.values()) if len(names) <= MOST_TOLD else many
        return f'"{text}" is no place of the voyage; ' + (f"did you mean {names[near[0]]}?" if near else known)

    def projected(
        self, lat: Sequence[float], lon: Sequence[float], before_km: float
    ) -> list[tuple[float | None, float]]:
        """Kilometre of each position, None where it is far from the route, and the distance off it [km]."""
        from voyager.route.project import along

        kms, offs = along(self.route.line, lat, lon, before_km)
        legs = self.route.distance_km[self.route.leg_at(kms)]
        rows = zip(kms.tolist(), offs.tolist(), legs.tolist(), strict=True)
        return [(km if off <= max(FAR_KM, FAR_SHARE * leg) else None, off) for km, off, leg in rows]


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


def last_km(entries: Iterable[Entry]) -> float | None:
    """Where the boat was noted last."""
    return next((one.km for one in reversed(list(entries)) if one.km is not None), None)


def placed(way: Way, entries: Sequence[Entry], before_km: float | None) -> tuple[list[Entry], list[str]]:
    """The entries, in the order of time, with what of place and kilometre follows from the rest, and sentences on it.

    A kilometre that is given stays; without one that of the place counts, else that of the position. A place that the
    voyage does not have stays as it is written.
    """
    out, strange, far = [], dict[str, None](), list[float]()
    at = before_km
    for entry in entries:
        name = None if entry.place is None else way.named(entry.place)
        if entry.place is not None and name is None:
            strange[entry.place] = None
        entry = replace(entry, place=name or entry.place, km=_km(way, entry, name, at, far))
        if entry.km is not None:
            entry, at = replace(entry, place=entry.place or way.name_at(entry.km)), entry.km
        out.append(entry)
    return out, [*map(way.unknown, list(strange)[:MOST_TOLD]), *_far_told(far, way)]


def _km(way: Way, entry: Entry, name: str | None, at: float | None, far: list[float]) -> float | None:
    if entry.km is not None:
        return way.on_route(entry.km)
    if name is not None:
        return way.km_of(name, at)
    if entry.lat is None or entry.lon is None:
        return None
    ((km, off_km),) = way.projected([entry.lat], [entry.lon], at or 0.0)
    if km is None:
        far.append(off_km)
    return km


def _far_told(far: list[float], way: Way) -> list[str]:
    if not far:
        return []
    positions = "1 position lies" if len(far) == 1 else f"{len(far)} positions lie"
    return [f"{positions} up to {max(far):.1f} km off the route of {way.voyage.name}, and without a kilometre"]
