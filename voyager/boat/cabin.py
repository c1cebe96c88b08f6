"""The cabin: heat loss, warm-up, heaters and the comfort ladder."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Cabin:
    """Heat balance of the cabin as measured: UA with the fresh air of its test."""

    ua_w_per_k: float = 70.0
    fresh_air_m3_per_h: float | None = None
    thermal_capacity_wh_per_k: float = 12.0
    structure_capacity_wh_per_k: float | None = None
    structure_w_per_k: float | None = None
    people: float = 1.0
    person_w: float = 80.0
    window_m2: float = 0.0
    window_gain: float = 0.5


@dataclass(frozen=True)
class Heater:
    """``cop_by_c`` ((outside degC, cop), ...) beats ``cop``; ``alternating`` heaters run through the inverter."""

    name: str
    max_w: float
    cop: float = 1.0
    cop_by_c: tuple[tuple[float, float], ...] = ()
    alternating: bool = True
    radiant_k: float = 0.0


@dataclass(frozen=True)
class Comfort:
    """One step of the ladder: ((start_min, end_min, setpoint_c), ...) in minutes of the civil day, sorted,
    not overlapping, none across midnight (the reader splits those); ``otherwise_c`` outside of them."""

    name: str
    hours_c: tuple[tuple[int, int, float], ...] = ()
    otherwise_c: float = 5.0
