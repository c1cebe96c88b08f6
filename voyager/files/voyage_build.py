"""From a sound voyage file to the frozen voyage: defaults by water, units of the inside."""

from voyager.files.units import MPS_PER_KMH
from voyager.files.voyage_model import ForecastTable, LegTable, PlaceTable, VoyageFile
from voyager.route.leg import BANKED, EXPOSED, Leg
from voyager.route.place import Place
from voyager.route.voyage import Forecast, Voyage
from voyager.route.zone import time_zone_at

WIND_MAX_KMH = 30.0
FIT_TO_GO = {"coastal": 0.6, "open": 0.5}
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def build_voyage(voyage: VoyageFile, file_stem: str) -> Voyage:
    """The voyage of a sound file; it is named after the file if it has no name."""
    places = tuple(map(_place, voyage.place))
    first = next(place for place in places if place.name == voyage.leg[0].start)
    return Voyage(
        name=voyage.name or file_stem,
        departs=voyage.departs,
        time_zone=voyage.time_zone or time_zone_at(first.lat, first.lon),
        places=places,
        legs=tuple(map(_leg, voyage.leg)),
        day_starts_min=voyage.day_starts,
        travel_min=voyage.travel,
        charge_at_start_percent=voyage.charge_at_start_percent,
        comfort=voyage.comfort,
        heating_reserve_nights=voyage.heating_reserve_nights,
        sky=voyage.sky,
        aim=voyage.aim,
        by=voyage.by,
        shore_power=voyage.shore_power,
        mooring_every_km=voyage.mooring_every_km,
        forecast_skill=voyage.forecast_skill,
        weather=voyage.weather,
        forecast=tuple(map(_forecast, voyage.forecast)),
    )


def _place(place: PlaceTable) -> Place:
    return Place(
        name=place.name,
        lat=place.at[0],
        lon=place.at[1],
        shore_w=place.shore_kw * 1000,
        shore_price_per_kwh=place.shore_price_per_kwh,
        moor=place.moor,
        heading_deg=None if place.heading_deg is None else place.heading_deg % 360,
        shade_percent=place.shade_percent,
        height_m=place.height_m,
    )


def _mps(speed_kmh: float | None) -> float | None:
    return None if speed_kmh is None else speed_kmh * MPS_PER_KMH


def _leg(leg: LegTable) -> Leg:
    wind_max_kmh = WIND_MAX_KMH if leg.wind_max_kmh is None and leg.water in EXPOSED else leg.wind_max_kmh
    return Leg(
        start=leg.start,
        end=leg.end,
        water=leg.water,
        distance_km=leg.distance_km,
        via=tuple(leg.via),
        moor_anywhere=leg.water in BANKED if leg.moor_anywhere is None else leg.moor_anywhere,
        depth_m=leg.depth_m,
        width_m=leg.width_m,
        current_mps=leg.current_kmh * MPS_PER_KMH,
        tide_high_water=leg.tide.high_water if leg.tide else None,
        tide_flood_mps=leg.tide.flood_kmh * MPS_PER_KMH if leg.tide else 0.0,
        shade_percent=leg.shade_percent,
        tunnel_km=leg.tunnel_km,
        limit_mps=_mps(leg.limit_kmh),
        headroom_m=leg.headroom_m,
        lock_length_m=leg.lock_length_m,
        lock_beam_m=leg.lock_beam_m,
        locks=len(leg.lock_at_km or ()) if leg.locks is None else leg.locks,
        lock_min=leg.lock_min,
        lock_kwh=leg.lock_kwh,
        lock_at_km=tuple(sorted(leg.lock_at_km or ())),
        bridges=len(leg.bridge_at_km or ()) if leg.bridges is None else leg.bridges,
        bridge_min=leg.bridge_min,
        bridge_at_km=tuple(sorted(leg.bridge_at_km or ())),
        open_min=leg.open_hours,
        closed_weekdays=tuple(sorted({WEEKDAYS.index(day) for day in leg.closed_days})),
        closed=tuple(leg.closed),
        wind_mps=_mps(leg.wind_kmh),
        wind_max_mps=_mps(wind_max_kmh),
        fit_to_go=FIT_TO_GO.get(leg.water, 1.0) if leg.fit_to_go is None else leg.fit_to_go,
        overnight=leg.overnight,
        speed_mps=_mps(leg.speed_kmh),
        earliest=leg.earliest,
        latest=leg.latest,
        nights=leg.nights,
    )


def _forecast(row: ForecastTable) -> Forecast:
    return Forecast(row.date, row.oktas, row.ghi_kwh_m2, row.air_c, _mps(row.wind_kmh))
