"""A stretch of water between two places."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

Water = Literal["canal", "river", "lake", "coastal", "open"]
EXPOSED: frozenset[str] = frozenset({"coastal", "open"})
BANKED: frozenset[str] = frozenset({"canal", "river"})


@dataclass(frozen=True)
class Leg:
    """One leg; ``distance_km`` None: measured along ``via``. Speeds m/s, along the leg positive.

    ``lock_at_km`` and ``bridge_at_km`` empty: spread evenly. ``open_min`` is (opens, shuts) in minutes of the
    civil day; ``closed_weekdays`` 0 = Monday; ``closed`` pairs of first and last civil date;
    ``fit_to_go`` a chance 0-1; ``wind_mps`` None: by water and month. The reader has already put the default
    of the water into ``moor_anywhere``, ``wind_max_mps`` and ``fit_to_go`` (1.0 on sheltered water).
    """

    start: str
    end: str
    water: Water = "canal"
    distance_km: float | None = None
    via: tuple[tuple[float, float], ...] = ()
    moor_anywhere: bool = True
    depth_m: float | None = None
    width_m: float | None = None
    current_mps: float = 0.0
    tide_high_water: datetime | None = None
    tide_flood_mps: float = 0.0
    shade_percent: float = 0.0
    tunnel_km: float = 0.0
    limit_mps: float | None = None
    headroom_m: float | None = None
    lock_length_m: float | None = None
    lock_beam_m: float | None = None
    locks: int = 0
    lock_min: float = 20.0
    lock_kwh: float = 0.1
    lock_at_km: tuple[float, ...] = ()
    bridges: int = 0
    bridge_min: float = 10.0
    bridge_at_km: tuple[float, ...] = ()
    open_min: tuple[int, int] | None = None
    closed_weekdays: tuple[int, ...] = ()
    closed: tuple[tuple[date, date], ...] = ()
    wind_mps: float | None = None
    wind_max_mps: float | None = None
    fit_to_go: float = 1.0
    overnight: bool = False
    speed_mps: float | None = None
    earliest: date | None = None
    latest: date | None = None
    nights: int = 0
