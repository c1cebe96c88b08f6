"""The battery: what is stored, drawn, and unusable in the cold."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.broken_line import along

Floats = NDArray[np.float64]
LAG_H = 24.0


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


def cell_step_c(lag_c: ArrayLike, outside_c: ArrayLike, hours: ArrayLike) -> Floats:
    """Lagged outside temperature [degC] after ``hours`` at ``outside_c``: first order, 24 h. Broadcasts.

    It is the state that a simulation carries. ``warmer_than_outside_k`` is not in it: the functions below that read
    the state add it. Air, or the water for cells under the waterline.
    """
    outside = np.asarray(outside_c, dtype=float)
    return np.asarray(outside + (np.asarray(lag_c, dtype=float) - outside) * np.exp(-np.asarray(hours) / LAG_H))


def cell_temperature_c(battery: Battery, lag_c: ArrayLike) -> Floats:
    """Temperature of the cells [degC] from the lagged outside one."""
    return np.asarray(lag_c, dtype=float) + battery.warmer_than_outside_k


def usable_fraction(battery: Battery, lag_c: ArrayLike) -> Floats:
    """Share of the capacity that the cold leaves usable, 0 to 1: ``capacity_by_c`` by line, level beyond its ends."""
    return np.clip(along(battery.capacity_by_c, cell_temperature_c(battery, lag_c)), 0.0, 1.0)


def floor_kwh(battery: Battery, lag_c: ArrayLike) -> Floats:
    """Lowest charge ever planned [kWh]: the reserve and what the cold makes unusable."""
    return battery.reserve_kwh + (1 - usable_fraction(battery, lag_c)) * battery.capacity_kwh


def blocked(battery: Battery, lag_c: ArrayLike) -> NDArray[np.bool_]:
    """Where the cells are too cold to be charged; sun may still serve loads."""
    return np.asarray(cell_temperature_c(battery, lag_c) < battery.charging_min_c)


def change_kwh(battery: Battery, net_w: ArrayLike, hours: ArrayLike, blocked: ArrayLike) -> Floats:
    """Change of the charge [kWh] by ``net_w`` [W] at the terminals for ``hours``; room and emptiness not looked at.

    eta_c min(net, charge limit) where net > 0 and not ``blocked``, -min(-net, discharge limit) / eta_d where below:
    the net is formed first, so sun that goes straight to a load never pays the battery. Broadcasts.
    """
    net = np.asarray(net_w, dtype=float)
    net = np.minimum(np.maximum(net, -battery.discharge_max_w), np.where(blocked, 0.0, battery.charge_max_w))
    share = np.where(net > 0, battery.charge_efficiency, 1 / battery.discharge_efficiency)
    return np.asarray(net * share * (np.asarray(hours) / 1e3))
