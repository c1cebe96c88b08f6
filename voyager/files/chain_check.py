"""Whether places and legs make one voyage: names, chain, lengths, positions."""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from math import asin, cos, radians, sin, sqrt
from statistics import median

from voyager.files.faults import Faults
from voyager.files.printable import proposal
from voyager.files.sketched import row_name
from voyager.files.voyage_model import LONGEST_KM, LegTable, PlaceTable, VoyageFile

LatLon = tuple[float, float]
EARTH_RADIUS_KM = 6371.0
ROUNDING_KM = 3.0
"""Room for rounded coordinates where a given distance is held to the straight line."""
SHELTERED = ("canal", "river", "lake")


def rough_km(a: LatLon, b: LatLon) -> float:
    """Great-circle distance on a sphere (haversine), to 0.6 %: for catching blunders only."""
    half_lat, half_lon = radians(b[0] - a[0]) / 2, radians(b[1] - a[1]) / 2
    squared = sin(half_lat) ** 2 + cos(radians(a[0])) * cos(radians(b[0])) * sin(half_lon) ** 2
    return 2 * EARTH_RADIUS_KM * asin(min(1.0, sqrt(squared)))


def line_km(leg: LegTable, positions: Mapping[str, LatLon]) -> float | None:
    """Rough length of a leg along its ``via`` points; None where an end is unknown or a point is at fault."""
    ends = positions.get(leg.start), positions.get(leg.end)
    if ends[0] is None or ends[1] is None or leg.via is None:
        return None
    points = [ends[0], *leg.via, ends[1]]
    return sum(rough_km(a, b) for a, b in pairwise(points))


def leg_row(leg: LegTable) -> str:
    """How a problem names the leg."""
    return row_name({"from": leg.start, "to": leg.end})


def check_chain(voyage: VoyageFile, faults: Faults) -> dict[str, LatLon]:
    """Tell ``faults`` what does not fit together; gives the sound positions by name of place."""
    _check_place_names(voyage.place or [], faults)
    names = [place.name for place in voyage.place or [] if place.name]
    if names:
        _check_ends(voyage.leg, names, faults)
    _check_chain(voyage.leg, faults)
    positions = {place.name: place.at for place in voyage.place or [] if place.name and place.at}
    for name in _drowned(voyage, positions, faults):
        del positions[name]
    for number, leg in enumerate(voyage.leg):
        if ("leg", number, "distance_km") not in faults.bad:
            _check_length(number, leg, positions, faults)
    return positions


def _check_place_names(places: Sequence[PlaceTable], faults: Faults) -> None:
    first: dict[str, int] = {}
    for number, place in enumerate(places):
        if place.name in first:
            again = first[place.name] + 1
            faults.add(("place", number, "name"), f'"{place.name}" is place {again} already; each needs its own name')
        elif place.name:
            first[place.name] = number


def _check_ends(legs: Sequence[LegTable], names: Sequence[str], faults: Faults) -> None:
    for number, leg in enumerate(legs):
        for key, name in (("from", leg.start), ("to", leg.end)):
            if name and name not in names:
                meant = proposal(name, names) or f"; the places are {_some(names)}"
                faults.add(("leg", number, key), f'there is no place "{name}"{meant}', row=leg_row(leg))
        if leg.start and leg.start == leg.end:
            faults.add(("leg", number, "to"), f'the leg ends where it starts, at "{leg.end}"')


def _some(names: Sequence[str]) -> str:
    return ", ".join(names[:8]) + (", …" if len(names) > 8 else "")


def _check_chain(legs: Sequence[LegTable], faults: Faults) -> None:
    for number, (leg, following) in enumerate(pairwise(legs), start=1):
        if leg.end and following.start and leg.end != following.start:
            text = f'starts at "{following.start}", but the leg before it ends at "{leg.end}"'
            if following.end == leg.end:
                text += "; are from and to swapped?"
            else:
                text += "; add the leg between them, or mend one end"
            faults.add(("leg", number, "from"), text, row=leg_row(following))


def _check_length(number: int, leg: LegTable, positions: Mapping[str, LatLon], faults: Faults) -> None:
    length = line_km(leg, positions)
    if length is None:
        return
    straight = rough_km(positions[leg.start], positions[leg.end])
    if leg.distance_km is not None:
        if leg.distance_km * 1.01 + ROUNDING_KM < straight:
            text = f"{leg.distance_km:.6g} km is shorter than the straight line of {straight:.0f} km"
            faults.add(("leg", number, "distance_km"), text + _swapped(leg, positions), row=leg_row(leg))
    elif length > LONGEST_KM:
        text = f"the leg would be {length:.0f} km long, by the positions of its places"
        faults.add(("leg", number), text + _swapped(leg, positions), row=leg_row(leg))
    elif length < 0.01 and leg.start != leg.end:
        text = "both places are at the same position; give distance_km, or mend one position"
        faults.add(("leg", number), text, row=leg_row(leg))


def _swapped(leg: LegTable, positions: Mapping[str, LatLon]) -> str:
    """A hint where the end that lies apart from the other places would, swapped, lie much nearer."""
    middle = median(lat for lat, _ in positions.values()), median(lon for _, lon in positions.values())
    near, apart = sorted((leg.start, leg.end), key=lambda name: rough_km(positions[name], middle))
    straight = rough_km(positions[leg.start], positions[leg.end])
    lat, lon = positions[apart]
    if abs(lon) <= 90 and rough_km((lon, lat), positions[near]) < 0.2 * straight:
        if len(positions) > 2:
            return f'; latitude and longitude of "{apart}" may be swapped: at = [{lon:g}, {lat:g}]'
        return "; latitude and longitude of one of them may be swapped"
    return "; positions are [latitude, longitude]"


def _drowned(voyage: VoyageFile, positions: Mapping[str, LatLon], faults: Faults) -> list[str]:
    """Canals, rivers and lakes do not lie in an ocean: latitude and longitude are swapped there, most likely."""
    from voyager.route.zone import time_zone_at

    inland = {name for leg in voyage.leg if leg.water in SHELTERED for name in (leg.start, leg.end)}
    found = []
    for number, place in enumerate(voyage.place or []):
        if place.name not in inland or place.name not in positions or not _may_be_swapped(place.at):
            continue
        lat, lon = place.at
        if time_zone_at(lat, lon).startswith("Etc/") and not time_zone_at(lon, lat).startswith("Etc/"):
            text = f"lies in the open sea though its leg does not; did you mean [{lon:g}, {lat:g}]? (latitude first)"
            faults.add(("place", number, "at"), text, row=place.name)
            found.append(place.name)
    return found


def _may_be_swapped(at: LatLon) -> bool:
    """Outside of the latitudes where canals are common; the map of zones takes 0.1 s, so it is not asked for all."""
    return abs(at[1]) <= 90 and not 30 <= abs(at[0]) <= 66
