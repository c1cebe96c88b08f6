"""The kinds of value that boat and voyage files hold, strict, each with its schema for editors."""

from datetime import date, datetime
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, WithJsonSchema

from voyager.files import clock


class Table(BaseModel):
    """A TOML table: no unknown key, no conversion of types, no NaN or infinity; built on first use."""

    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False, defer_build=True)


def _as_tuple(value: object) -> object:
    return tuple(value) if isinstance(value, list) else value


def _one_or_hours(value: object) -> object:
    return value if isinstance(value, list) else [value] * 24


def _window_or_daylight(value: object) -> object:
    return None if value == "daylight" else _as_tuple(value)


def _latitude_first(value: object) -> object:
    if isinstance(value, list) and len(value) == 2 and all(type(item) in (int, float) for item in value):
        lat, lon = value
        if abs(lat) > 90 and abs(lon) <= 90 and abs(lat) <= 180:
            raise ValueError(f"latitude comes first and is at most 90, is {lat}; if swapped, [{lon}, {lat}] is meant")
    return _as_tuple(value)


_CLOCK_SCHEMA: dict[str, Any] = {"type": "string", "pattern": "^(([01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"}
_HOURS_SCHEMA: dict[str, Any] = {
    "anyOf": [
        {"type": "number", "minimum": 0},
        {"type": "array", "items": {"type": "number", "minimum": 0}, "minItems": 24, "maxItems": 24},
    ]
}
_TRAVEL_SCHEMA: dict[str, Any] = {
    "anyOf": [{"const": "daylight"}, {"type": "array", "items": _CLOCK_SCHEMA, "minItems": 2, "maxItems": 2}]
}

Percent = Annotated[float, Field(ge=0, le=100)]
Share = Annotated[float, Field(gt=0, le=1)]
Watts = Annotated[float, Field(ge=0, le=1e6)]
Date = Annotated[date, BeforeValidator(clock.civil_date), WithJsonSchema({"type": "string", "format": "date"})]
Instant = Annotated[datetime, BeforeValidator(clock.instant), WithJsonSchema({"type": "string", "format": "date-time"})]
Clock = Annotated[int, BeforeValidator(clock.clock), WithJsonSchema(_CLOCK_SCHEMA)]
TimeOfDay = Annotated[int, BeforeValidator(clock.time_of_day), WithJsonSchema(_CLOCK_SCHEMA)]
Latitude = Annotated[float, Field(ge=-90, le=90)]
Longitude = Annotated[float, Field(ge=-180, le=180)]
Position = Annotated[tuple[Latitude, Longitude], BeforeValidator(_latitude_first)]
HourlyWatts = Annotated[
    list[Watts],
    Field(min_length=24, max_length=24),
    BeforeValidator(_one_or_hours),
    WithJsonSchema(_HOURS_SCHEMA),
]
ClockWindow = Annotated[tuple[Clock, Clock], BeforeValidator(_as_tuple)]
TravelWindow = Annotated[
    tuple[Clock, Clock] | None, BeforeValidator(_window_or_daylight), WithJsonSchema(_TRAVEL_SCHEMA)
]
DateSpan = Annotated[tuple[Date, Date], BeforeValidator(_as_tuple)]
TrialPoint = Annotated[
    tuple[Annotated[float, Field(gt=0, le=100)], Annotated[float, Field(gt=0, le=1e6)]], BeforeValidator(_as_tuple)
]
Temperature = Annotated[float, Field(ge=-60, le=60)]
CapacityPoint = Annotated[tuple[Temperature, Share], BeforeValidator(_as_tuple)]
LoadPoint = Annotated[tuple[Share, Share], BeforeValidator(_as_tuple)]
CopPoint = Annotated[tuple[Temperature, Annotated[float, Field(gt=0, le=10)]], BeforeValidator(_as_tuple)]
Name = Annotated[str, Field(min_length=1, max_length=200)]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
Format = Literal[1]
