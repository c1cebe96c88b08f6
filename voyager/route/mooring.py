"""Where the boat may lie for the night."""

from dataclasses import dataclass

import numpy as np

from voyager.route.geodesy import Floats, Trace
from voyager.route.leg import BANKED, Leg
from voyager.route.place import Place

CLEAR_OF_ENDS_KM = 0.5


@dataclass(frozen=True)
class Mooring:
    """``km`` from the start of the route. ``leg``: the leg that it ends or on which it lies (the first place: 0).

    ``place``: number among the voyage's places, None along a leg. ``heading_deg`` None: unknown; ``either_way``:
    along a bank, bow to either end.
    """

    km: float
    lat: float
    lon: float
    leg: int
    place: int | None
    name: str
    shore_w: float = 0.0
    heading_deg: float | None = None
    either_way: bool = False
    shade_percent: float = 0.0
    height_m: float = 0.0


def at_place(place: Place, number: int, km: float, leg: int, along_deg: float | None) -> Mooring:
    """The mooring at a place; ``along_deg`` the course of the bank there, None where there is none."""
    given = place.heading_deg
    return Mooring(
        km=km,
        lat=place.lat,
        lon=place.lon,
        leg=leg,
        place=number,
        name=place.name,
        shore_w=place.shore_w,
        heading_deg=along_deg if given is None else given,
        either_way=given is None and along_deg is not None,
        shade_percent=place.shade_percent,
        height_m=place.height_m,
    )


def along_leg(
    leg: Leg, number: int, start_km: float, line: Trace, every_km: float, heights_m: tuple[float, float]
) -> list[Mooring]:
    """Moorings strictly between the ends of a leg, which they divide evenly into parts of at most ``every_km``.

    None lies within half a kilometre of an end. Heights run evenly from end to end; shade is the leg's.
    """
    offsets = _offsets_km(line.length_km, every_km) if leg.moor_anywhere else np.zeros(0)
    return _at_offsets(leg, number, start_km, line, offsets, heights_m)


def at_point(
    leg: Leg, number: int, start_km: float, line: Trace, offset_km: float, heights_m: tuple[float, float]
) -> Mooring:
    """The point of a leg where a boat is now, ``offset_km`` from the leg's start, as a mooring along it."""
    return _at_offsets(leg, number, start_km, line, np.asarray([offset_km]), heights_m)[0]


def _at_offsets(
    leg: Leg, number: int, start_km: float, line: Trace, offsets: Floats, heights_m: tuple[float, float]
) -> list[Mooring]:
    heights = np.interp(offsets, (0.0, line.length_km), heights_m)
    banked = leg.water in BANKED and not line.still
    rows = zip(offsets, *line.position(offsets), line.course(offsets), heights, strict=True)
    return [
        Mooring(
            km=start_km + float(offset),
            lat=float(lat),
            lon=float(lon),
            leg=number,
            place=None,
            name=f"km {round(start_km + float(offset), 1):g}",
            heading_deg=float(course) if banked else None,
            either_way=banked,
            shade_percent=leg.shade_percent,
            height_m=float(height),
        )
        for offset, lat, lon, course, height in rows
    ]


def _offsets_km(length_km: float, every_km: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    parts = max(1, int(np.ceil(length_km / every_km - 1e-9)))
    offsets = length_km * np.arange(1, parts) / parts
    return offsets[(offsets >= CLEAR_OF_ENDS_KM) & (offsets <= length_km - CLEAR_OF_ENDS_KM)]
