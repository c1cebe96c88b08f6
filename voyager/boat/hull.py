"""Power through the water: the hull's own numbers."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Hull:
    """Hull and motor. Either ``coefficient_w_per_mps3`` or ``trial`` ((speed_mps, power_w), ...) is set."""

    coefficient_w_per_mps3: float | None
    trial: tuple[tuple[float, float], ...] = ()
    waterline_m: float | None = None
    beam_m: float | None = None
    draught_m: float | None = None
    air_draught_m: float | None = None
    midship_area_m2: float | None = None
    motor_max_w: float = 4000.0
    steerable_min_mps: float = 2.5 / 3.6
    underway_extra_w: float = 0.0
    manoeuvre_w: float = 500.0
    air_drag_area_m2: float = 0.0
    propulsive_efficiency: float = 0.5
    sea_margin_percent: float = 15.0
