"""The battery: what is stored, drawn, and unusable in the cold."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Battery:
    """``capacity_kwh`` is the rated capacity times health; percent of charge is percent of it."""

    capacity_kwh: float
    nominal_v: float = 48.0
    ceiling_percent: float = 95.0
    reserve_percent: float = 15.0
    charge_efficiency: float = 0.98
    discharge_efficiency: float = 0.98
    charge_max_w: float = 0.0
    discharge_max_w: float = 0.0
    charging_min_c: float = 0.0
    warmer_than_outside_k: float = 3.0
    heater_w: float = 0.0
    capacity_by_c: tuple[tuple[float, float], ...] = ((-20.0, 0.65), (0.0, 0.90), (20.0, 1.0))

    @property
    def ceiling_kwh(self) -> float:
        """Highest charge that charging reaches, kWh."""
        return self.capacity_kwh * self.ceiling_percent / 100

    @property
    def reserve_kwh(self) -> float:
        """Lowest charge ever planned at 20 degC and above, kWh."""
        return self.capacity_kwh * self.reserve_percent / 100
