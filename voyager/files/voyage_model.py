"""The keys of a voyage file: their types, ranges, defaults and meaning."""

from typing import Annotated, Literal

from pydantic import Field

from voyager.files.kinds import (
    ClockWindow,
    Date,
    DateSpan,
    Format,
    Instant,
    Name,
    Percent,
    Position,
    Table,
    TimeOfDay,
    TravelWindow,
    Weekday,
)

LONGEST_KM = 2000
AtKm = Annotated[float, Field(gt=0, le=LONGEST_KM)]


class PlaceTable(Table):
    """A named position on the way."""

    name: Name = Field(description="name of the place")
    at: Position = Field(description="[latitude, longitude] in degrees")
    shore_kw: float = Field(default=0.0, ge=0, le=1000, description="shore power on offer")
    shore_price_per_kwh: float | None = Field(default=None, ge=0, le=1e4, description="price of shore power")
    moor: bool = Field(default=True, description="whether she may lie here for the night")
    heading_deg: float | None = Field(default=None, ge=-360, le=360, description="moored, clockwise from north")
    shade_percent: Percent = Field(default=0.0, description="of the sun lost to trees and buildings")
    height_m: float = Field(default=0.0, ge=-500, le=6000, description="above the sea")


class TideTable(Table):
    """A tidal stream along the leg."""

    high_water: Instant = Field(description="date and time of a high water, with offset")
    flood_kmh: float = Field(ge=-30, le=30, description="strength along the leg, negative against it")


class LegTable(Table):
    """One stretch of water between two places."""

    start: Name = Field(alias="from", description="place where the leg begins")
    end: Name = Field(alias="to", description="place where the leg ends")
    water: Literal["canal", "river", "lake", "coastal", "open"] = Field(default="canal", description="kind of water")
    distance_km: float | None = Field(default=None, gt=0, le=LONGEST_KM, description="none: measured along via")
    via: list[Position] = Field(default=[], max_length=5000, description="points between, [[lat, lon], …]")
    moor_anywhere: bool | None = Field(default=None, description="canal and river: true")
    depth_m: float | None = Field(default=None, gt=0, le=12000, description="least depth")
    width_m: float | None = Field(default=None, gt=0, le=1e6, description="least width of the channel")
    current_kmh: float = Field(default=0.0, ge=-30, le=30, description="positive with the leg")
    tide: TideTable | None = Field(default=None, description="{ high_water = instant, flood_kmh = x }")
    shade_percent: Percent = Field(default=0.0, description="of the sun lost to trees and buildings")
    tunnel_km: float = Field(default=0.0, ge=0, le=LONGEST_KM, description="without sun")
    limit_kmh: float | None = Field(default=None, ge=1, le=200, description="speed limit over the ground")
    headroom_m: float | None = Field(default=None, gt=0, le=200, description="lowest bridge")
    lock_length_m: float | None = Field(default=None, gt=0, le=1000, description="shortest lock")
    lock_beam_m: float | None = Field(default=None, gt=0, le=200, description="narrowest lock")
    locks: int | None = Field(default=None, ge=0, le=200, description="number of locks")
    lock_min: float = Field(default=20.0, ge=0, le=600, description="time for one lock")
    lock_kwh: float = Field(default=0.1, ge=0, le=10, description="energy for one lock")
    lock_at_km: list[AtKm] | None = Field(default=None, max_length=200, description="none: evenly spread")
    bridges: int | None = Field(default=None, ge=0, le=200, description="bridges that must open")
    bridge_min: float = Field(default=10.0, ge=0, le=600, description="time for one bridge")
    bridge_at_km: list[AtKm] | None = Field(default=None, max_length=200, description="none: evenly spread")
    open_hours: ClockWindow | None = Field(default=None, description='of locks and bridges, ["09:00", "17:00"]')
    closed_days: list[Weekday] = Field(default=[], max_length=7, description='weekdays shut, ["sun"]')
    closed: list[DateSpan] = Field(default=[], max_length=100, description="stoppages, [[first, last], …]")
    wind_kmh: float | None = Field(default=None, ge=0, le=300, description="mean wind; none: by water and month")
    wind_max_kmh: float | None = Field(default=None, gt=0, le=300, description="coastal and open: 30")
    fit_to_go: float | None = Field(default=None, ge=0.01, le=1, description="share of days, 0 to 1, the sea allows it")
    overnight: bool = Field(default=False, description="may go on through the night")
    speed_kmh: float | None = Field(default=None, gt=0, le=100, description="fixed, through the water")
    earliest: Date | None = Field(default=None, description="earliest date at its end")
    latest: Date | None = Field(default=None, description="latest date at its end")
    nights: int = Field(default=0, ge=0, le=366, description="nights to stay at its end")


class ForecastTable(Table):
    """One line of a hand forecast."""

    date: Date = Field(description="civil date")
    oktas: float | None = Field(default=None, ge=0, le=8, description="cloud cover in eighths")
    ghi_kwh_m2: float | None = Field(default=None, ge=0, le=13, description="global horizontal irradiation of the day")
    air_c: float | None = Field(default=None, ge=-60, le=60, description="mean air temperature")
    wind_kmh: float | None = Field(default=None, ge=0, le=200, description="mean wind")


class VoyageFile(Table):
    """A voyage file of voyager."""

    format: Format = Field(default=1, description="format of the file")
    name: Name | None = Field(default=None, description="none: the file's name")
    boat: Name = Field(description='the boat file, seen from this file: boat = "boat.toml"')
    departs: Date = Field(description="date of departure: departs = 2027-03-01")
    time_zone: str | None = Field(default=None, description="none: that of the first place")
    day_starts: TimeOfDay = Field(default=480, description="each day of the plan begins here")
    travel: TravelWindow = Field(default=None, description='"daylight" or ["08:30", "17:00"]')
    charge_at_start_percent: Percent = Field(default=80.0, description="of capacity")
    comfort: str | None = Field(default=None, description="step of the boat's ladder; none: its first")
    heating_reserve_nights: int = Field(default=1, ge=0, le=30, description="cold nights without sun to be kept for")
    sky: Literal["cautious", "middling", "good"] = Field(default="cautious", description="the fortnight planned for")
    aim: Literal["soonest", "fewest-shore", "calmest"] = Field(default="soonest", description="what counts")
    by: Date | None = Field(default=None, description="date of arrival at the latest")
    shore_power: Literal["last", "any", "never"] = Field(default="last", description="when a plug may be used")
    mooring_every_km: float = Field(default=5.0, ge=0.5, le=500, description="between moorings along a leg")
    forecast_skill: float = Field(default=0.8, ge=0, le=1, description="of the morning's sky class, 0 to 1")
    weather: Name | None = Field(default=None, description="a weather file: EPW, TMY3, or CSV with hourly values")
    place: list[PlaceTable] = Field(min_length=2, max_length=2000, description="two or more places, [[place]]")
    leg: list[LegTable] = Field(min_length=1, max_length=2000, description="one or more legs in order, [[leg]]")
    forecast: list[ForecastTable] = Field(default=[], max_length=400, description="hand forecast, [[forecast]]")
