"""A voyage: where, when and how it is meant to go, independent of the boat."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

from voyager.route.leg import Leg
from voyager.route.place import Place

Aim = Literal["soonest", "fewest-shore", "calmest"]
SkyName = Literal["cautious", "middling", "good"]
ShorePower = Literal["last", "any", "never"]


@dataclass(frozen=True)
class Forecast:
    """One line of a hand forecast; exactly one of ``oktas`` and ``ghi_kwh_m2`` is set."""

    date: date
    oktas: float | None = None
    ghi_kwh_m2: float | None = None
    air_c: float | None = None
    wind_mps: float | None = None


@dataclass(frozen=True)
class Voyage:
    """``travel_min`` None: daylight; else (opens, closes) in minutes of the civil day. ``comfort`` None: first step.

    ``places`` and ``legs`` as in the file, legs in sailing order, each starting where the last one ended.
    """

    name: str
    departs: date
    time_zone: str
    places: tuple[Place, ...]
    legs: tuple[Leg, ...]
    day_starts_min: int = 480
    travel_min: tuple[int, int] | None = None
    charge_at_start_percent: float = 80.0
    comfort: str | None = None
    heating_reserve_nights: int = 1
    sky: SkyName = "cautious"
    aim: Aim = "soonest"
    by: date | None = None
    shore_power: ShorePower = "last"
    mooring_every_km: float = 5.0
    forecast_skill: float = 0.8
    weather: str | None = None
    forecast: tuple[Forecast, ...] = ()
