"""Where panels were measured, and whose they are: of a voyage's place, or of a boat at a typed position."""

import re
from difflib import get_close_matches
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError
from voyager.route.zone import time_zone_at

if TYPE_CHECKING:
    from voyager.boat.vessel import Vessel
    from voyager.files.voyage_file import Loaded

POSITION = re.compile(r"\s*([-+]?\d+(?:\.\d+)?)\s*[,;\s]\s*([-+]?\d+(?:\.\d+)?)\s*")


def site(options: dict[str, Any]) -> dict[str, Any]:
    """Arrays, position, height, heading and time zone for ``fit_panels``; what is typed goes before the files.

    ``voyage`` with its ``place``, or ``boat`` with ``at``: paths, or what was loaded. Raises InputError, Problems.
    """
    given = {name: options.pop(name, None) for name in ("voyage", "place", "at", "boat")}
    found: dict[str, Any] = {}
    if given["voyage"] is not None:
        found = _of_voyage(given["voyage"], given["place"])
    elif given["place"] is not None:
        raise InputError("--place is a place of a voyage: name the voyage too, with --voyage")
    if given["boat"] is not None:
        found["arrays"] = vessel_of(given["boat"]).arrays
    if given["at"] is not None:
        found |= _at(given["at"])
    if "arrays" not in found:
        raise InputError("the panels' mounting is missing: name the boat with --boat, or the voyage with --voyage")
    if "lat" not in found:
        raise InputError("the place is missing: --voyage VOYAGE --place NAME, or --at LAT,LON")
    found |= options
    _check_zone(found.get("time_zone"))
    return found


def _check_zone(name: str | None) -> None:
    from zoneinfo import available_timezones

    if name is not None and name not in available_timezones():
        near = get_close_matches(name, list(available_timezones()), 1)
        raise InputError(f"--time-zone {name}: there is no such zone" + (f"; did you mean {near[0]}?" if near else ""))


def vessel_of(boat: "str | Vessel") -> "Vessel":
    """A boat, loaded where its path is given. Raises Problems."""
    if not isinstance(boat, str):
        return boat
    from voyager.files.boat_file import load_boat

    return load_boat(boat)


def _of_voyage(voyage: "str | Loaded", name: str | None) -> dict[str, Any]:
    from voyager.files.voyage_file import load_voyage

    loaded = load_voyage(voyage) if isinstance(voyage, str) else voyage
    places = {place.name: place for place in loaded.voyage.places}
    place = places.get(loaded.voyage.legs[0].start if name is None else name)
    if place is None:
        near = get_close_matches(str(name), list(places), 1)
        raise InputError(
            f'the voyage has no place "{name}"; '
            + (f"did you mean {near[0]}?" if near else f"there are {', '.join(places)}")
        )
    return {
        "arrays": loaded.vessel.arrays,
        "lat": place.lat,
        "lon": place.lon,
        "height_m": place.height_m,
        "heading_deg": place.heading_deg,
        "time_zone": loaded.voyage.time_zone,
    }


def _at(text: str) -> dict[str, Any]:
    found = POSITION.fullmatch(text)
    if not found:
        raise InputError(f'--at "{text}" is no position; write it like 53.42,-7.94')
    lat, lon = float(found[1]), float(found[2])
    if not (-90 <= lat <= 90 and -180 <= lon <= 180):
        raise InputError(f"--at {text}: latitude lies between -90 and 90, longitude between -180 and 180 degrees")
    return {"lat": lat, "lon": lon, "height_m": 0.0, "heading_deg": None, "time_zone": time_zone_at(lat, lon)}
