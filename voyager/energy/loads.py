"""What the boat uses aboard, hour by hour, at one comfort step: hotel, heating, inverter, and how warm it gets.

The cabin's chain does not depend on the charge, so loads are arrays over any leading axes (day, station, sky; or
member) and the same function serves the planner's tables and the simulator's day.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import (
    Heater,
    cop,
    people_w,
    step,
    ua_used_w_per_k,
    window_w,
)
from voyager.boat.inverter import Inverter, dc_w, efficiency, is_on, unserved_w
from voyager.boat.vessel import Vessel
from voyager.energy.heaters import shared_out
from voyager.energy.wishes import Wish

Floats = NDArray[np.float64]
OFF = "off"


@dataclass(frozen=True)
class Loads:
    """By leading axes ... and hour H, W: means over each hour. ``low_c`` is +inf where no asked hour is."""

    hotel_w: Floats
    heating_w: Floats
    inverter_loss_w: Floats
    air_c: Floats
    warm_h: Floats
    asked_h: Floats
    low_c: Floats
    structure_c: Floats | None

    @property
    def total_w(self) -> Floats:
        """Everything but propulsion at the battery's side, (..., H)."""
        return self.hotel_w + self.heating_w + self.inverter_loss_w


def hotel(vessel: Vessel, local_hour: NDArray[np.int64]) -> tuple[Floats, Floats]:
    """Direct and alternating hotel load by step as served, W, shape of ``local_hour``: as the inverter gives it."""
    direct = np.asarray(vessel.hotel.direct_w)[local_hour]
    alternating = np.asarray(vessel.hotel.alternating_w)[local_hour]
    return direct, alternating - unserved_w(vessel.inverter, alternating)


def hotel_unserved_w(vessel: Vessel, local_hour: NDArray[np.int64]) -> Floats:
    """Alternating hotel load beyond the inverter, or all of it where none is aboard, W, shape of ``local_hour``."""
    return unserved_w(vessel.inverter, np.asarray(vessel.hotel.alternating_w)[local_hour])


def heat_per_watt(vessel: Vessel, heater: Heater, outside_c: Floats) -> Floats:
    """Heat in the cabin per watt at the heater's terminals; the inverter's loss inside the cabin is heat too."""
    return _heat_per_watt(vessel.heaters, vessel.inverter, heater, outside_c)


def _heat_per_watt(heaters: tuple[Heater, ...], inverter: Inverter, heater: Heater, outside_c: Floats) -> Floats:
    gain = cop(heater, outside_c)
    if heater.alternating and inverter.inside_cabin and inverter.max_w is not None:
        gain = gain + 1 / _full_load_efficiency(heaters, inverter) - 1
    return np.asarray(gain)


@lru_cache(maxsize=64)
def _full_load_efficiency(heaters: tuple[Heater, ...], inverter: Inverter) -> float:
    """Of the inverter with all heaters on it."""
    asked = sum(h.max_w for h in heaters if h.alternating)
    return float(efficiency(inverter, min(asked, inverter.max_w or 0.0)))


def heater_limits(vessel: Vessel, hotel_alternating_w: Floats) -> list[tuple[Heater, Floats]]:
    """Heaters, thriftiest first, each with what it may draw beside the alternating hotel load, W (H,)."""
    left = np.maximum((vessel.inverter.max_w or 0.0) - hotel_alternating_w, 0.0)
    limits = []
    for heater in _thriftiest_first(vessel.heaters, vessel.inverter):
        limit = np.minimum(heater.max_w, left) if heater.alternating else np.full_like(left, heater.max_w)
        left = left - limit if heater.alternating else left
        limits.append((heater, limit))
    return limits


@lru_cache(maxsize=64)
def _thriftiest_first(heaters: tuple[Heater, ...], inverter: Inverter) -> tuple[Heater, ...]:
    """Heaters by heat in the cabin for power at the battery, at 5 degC outside."""

    def thrift(heater: Heater) -> float:
        eta = _full_load_efficiency(heaters, inverter) if heater.alternating else 1.0
        return float(_heat_per_watt(heaters, inverter, heater, np.asarray(5.0))) * eta

    return tuple(sorted(heaters, key=lambda h: -thrift(h)))


def loads(
    vessel: Vessel,
    wishes: list[Wish],
    *,
    local_hour: NDArray[np.int64],
    outside_c: Floats,
    glass_w_m2: Floats,
    air_c: Floats,
    structure_c: Floats | None,
    first: int = 0,
    lived_h: Floats | None = None,
) -> Loads:
    """Loads of the hours that ``wishes`` cover, the first of them the day's step ``first``.

    ``outside_c`` and ``glass_w_m2`` (..., H); ``local_hour`` (H,); ``air_c`` and ``structure_c`` (...) at the start.
    ``lived_h`` (H,) > 0: how much of each hour the wishes cover, where not all of it; heating is the mean over that.
    """
    direct, alternating = hotel(vessel, local_hour)
    limits = heater_limits(vessel, alternating)
    per_watt = [heat_per_watt(vessel, h, outside_c) for h, _ in limits]
    heat_max = sum((g * lim for g, (_, lim) in zip(per_watt, limits, strict=True)), np.zeros_like(outside_c))
    gain = _gains(vessel, alternating, glass_w_m2)
    heat, warm, asked, low, air, air_c, structure_c = _cabin(
        vessel, wishes, first, outside_c, gain, np.asarray(heat_max), air_c, structure_c
    )
    heat = heat if lived_h is None else heat / lived_h
    heating, heater_ac = _dispatch(heat, per_watt, limits)
    inverter_loss = _inverter_loss(vessel.inverter, alternating, heater_ac)
    hotel_w = np.broadcast_to(direct + alternating, outside_c.shape)
    return Loads(hotel_w, heating, inverter_loss, air, warm, asked, low, structure_c)


def _gains(vessel: Vessel, alternating_w: Floats, glass_w_m2: Floats) -> Floats:
    cabin, inverter = vessel.cabin, vessel.inverter
    gain = people_w(cabin) + window_w(cabin, glass_w_m2)
    if inverter.inside_cabin:
        gain = gain + _inverter_loss(inverter, alternating_w, np.zeros_like(alternating_w))
    return np.asarray(gain)


def _cabin(
    vessel: Vessel,
    wishes: list[Wish],
    first: int,
    outside_c: Floats,
    gain_w: Floats,
    heat_max_w: Floats,
    air_c: Floats,
    structure_c: Floats | None,
) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats, Floats | None]:
    heat, warm, asked = np.zeros_like(outside_c), np.zeros_like(outside_c), np.zeros_like(outside_c)
    low, air = np.full_like(outside_c, np.inf), np.zeros_like(outside_c)
    for wish in wishes:
        h = wish.hour - first
        done = step(
            vessel.cabin,
            air_c,
            structure_c,
            outside_c[..., h],
            gain_w[..., h],
            wish.setpoint_c,
            heat_max_w[..., h],
            wish.hours,
            wish.counted,
        )
        air_c, structure_c = done.air_c, done.structure_c
        heat[..., h] += done.heat_kwh * 1e3
        air[..., h] = air_c
        if wish.counted:
            asked[..., h] += wish.hours * wish.asked
            kept = np.where(wish.grace & (air_c >= wish.setpoint_c - 0.05), wish.grace_h, 0.0)
            warm[..., h] += wish.asked * np.where(wish.grace, kept, done.held_h)
            lowest = np.where(wish.grace | (wish.asked == 0), np.inf, air_c)
            low[..., h] = np.minimum(low[..., h], lowest)
    return heat, warm, asked, low, air, air_c, structure_c


def _dispatch(heat_w: Floats, per_watt: list[Floats], limits: list[tuple[Heater, Floats]]) -> tuple[Floats, Floats]:
    total, alternating = np.zeros_like(heat_w), np.zeros_like(heat_w)
    shares = shared_out(heat_w, [limit for _, limit in limits], per_watt)
    for watts, (heater, _) in zip(shares, limits, strict=True):
        total += watts
        if heater.alternating:
            alternating += watts
    return total, alternating


def _inverter_loss(inverter: Inverter, hotel_ac_w: Floats, heater_ac_w: Floats) -> Floats:
    if inverter.max_w is None:
        return np.zeros_like(heater_ac_w)
    load = hotel_ac_w + heater_ac_w
    return np.asarray(dc_w(inverter, load, is_on(inverter, load)) - load)


def steady_air_c(vessel: Vessel, outside_c: Floats, setpoint_c: float) -> Floats:
    """A first guess of the cabin's air: at the setpoint, or warmer where the sun and people see to that."""
    free = outside_c + people_w(vessel.cabin) / ua_used_w_per_k(vessel.cabin)
    return np.asarray(np.maximum(free, setpoint_c))
