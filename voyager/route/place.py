"""A named position on the way."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """Shore power, heading and shade belong to the place. ``heading_deg`` None: along the bank or unknown."""

    name: str
    lat: float
    lon: float
    shore_w: float = 0.0
    shore_price_per_kwh: float | None = None
    moor: bool = True
    heading_deg: float | None = None
    shade_percent: float = 0.0
    height_m: float = 0.0
