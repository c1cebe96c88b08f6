"""The cabin: heat loss, warm-up, heaters and the comfort ladder."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.broken_line import along

Floats = NDArray[np.float64]
AIR_WH_PER_M3_K = 0.33
"""Heat that a cubic metre of air carries per kelvin (MacKay, Without the Hot Air, gives 1/3)."""
FRESH_AIR_M3_PER_H = 15.0
"""A person's need; also what a cabin's test is taken to have had for each person where nothing is said."""
FROST_GUARD_C = 2.0
RADIANT_MAX_K = 3.0
HELD_WITHIN_K = 0.05
SUBSTEP_H = 1.0


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


@dataclass(frozen=True)
class Piece:
    """Part of one hour step with one setpoint: ``hour`` the step, ``start_h`` from the step's own start.

    ``asked``: inside one of the step's ``hours_c``. ``grace``: in the half hour after a rise.
    """

    hour: int
    start_h: float
    hours: float
    setpoint_c: float
    asked: bool
    grace: bool


@dataclass(frozen=True)
class CabinStep:
    """After a piece, arrays of one shape: temperatures, heat given by the heaters, hours in which the setpoint held."""

    air_c: Floats
    structure_c: Floats | None
    heat_kwh: Floats
    held_h: Floats


@dataclass(frozen=True)
class Air:
    """The air node through a piece of constant inputs: C dT/dt = source - UA T + heat."""

    ua_w_per_k: float
    capacity_wh_per_k: float
    source_w: Floats
    heat_max_w: Floats

    @property
    def tau_h(self) -> float:
        """Time constant of the air."""
        return self.capacity_wh_per_k / self.ua_w_per_k

    def rest_c(self, heat_w: ArrayLike) -> Floats:
        """Where the temperature tends to under steady heating."""
        return np.asarray((self.source_w + np.asarray(heat_w, dtype=float)) / self.ua_w_per_k)


def ua_used_w_per_k(cabin: Cabin) -> float:
    """UA with the fresh air that people need [W/K]: the test's own, and 0.33 W/K for each m3/h above the test's."""
    need = FRESH_AIR_M3_PER_H * cabin.people
    had = need if cabin.fresh_air_m3_per_h is None else cabin.fresh_air_m3_per_h
    return cabin.ua_w_per_k + AIR_WH_PER_M3_K * max(0.0, need - had)


def cop(heater: Heater, outside_c: ArrayLike) -> Floats:
    """Heat per electric power [-] at the outside temperature [degC]: by line, level beyond the table's ends."""
    outside = np.asarray(outside_c, dtype=float)
    if not heater.cop_by_c:
        return np.full_like(outside, heater.cop)
    return along(heater.cop_by_c, outside)


def people_w(cabin: Cabin) -> float:
    """Heat of the people aboard [W]."""
    return cabin.people * cabin.person_w


def window_w(cabin: Cabin, glass_w_m2: ArrayLike) -> Floats:
    """Heat of the sun through uncovered glass [W] from the irradiance on it [W/m2]."""
    return np.asarray(cabin.window_m2 * cabin.window_gain * np.asarray(glass_w_m2, dtype=float))


def air_setpoint_c(heaters: Sequence[Heater], setpoint_c: float) -> float:
    """Setpoint for the air [degC]: lower by what radiant heat makes up for, 3 K at most, never into the frost."""
    allowance = min(RADIANT_MAX_K, max((h.radiant_k for h in heaters), default=0.0))
    return max(setpoint_c - allowance, min(setpoint_c, FROST_GUARD_C))


def step(
    cabin: Cabin,
    air_c: ArrayLike,
    structure_c: ArrayLike | None,
    outside_c: ArrayLike,
    gains_w: ArrayLike,
    setpoint_c: ArrayLike,
    heat_max_w: ArrayLike,
    hours: ArrayLike,
    counted: bool = True,
) -> CabinStep:
    """A piece of constant inputs, exact for any length: first-order air under an ideal thermostat. All broadcast.

    The thermostat gives everything until the air is at the setpoint (or nothing until it has cooled down to it), then
    what holds it there: nothing where gains alone carry it above, everything where that is too little, and the
    shortfall is the temperature. Equal to T' = median(a T + (1 - a) T_eq, setpoint, free + (1 - a) Q_max / UA),
    a = exp(-UA hours / C), but for a setpoint crossed on the way; two halves are always one whole.
    ``heat_max_w`` 0 is no heater, a setpoint of -inf no wish. ``heat_kwh`` is heat in the cabin, not its electricity.
    ``counted`` False leaves ``held_h`` at 0, for hours in which nobody asks.

    With a ``structure_c`` (and the cabin's structure keys) a second node exchanges with the air, in sub-steps of at
    most an hour or a quarter of the structure's time constant: the air meets the structure's mean of the sub-step,
    found in a first pass, and the structure relaxes exactly towards the air's mean. Source of both: lumped
    capacity, Cengel, Heat Transfer, chapter 4.
    """
    ua = ua_used_w_per_k(cabin)
    given = ua * np.asarray(outside_c, dtype=float) + np.asarray(gains_w, dtype=float)
    length = np.asarray(hours, dtype=float)
    air, source, setpoint, heat_max = _alike(length.shape, air_c, given, setpoint_c, heat_max_w)
    if structure_c is None or not cabin.structure_capacity_wh_per_k or not cabin.structure_w_per_k:
        node = Air(ua, cabin.thermal_capacity_wh_per_k, source, heat_max)
        air, heat_wh, held = _thermostat(node, air, setpoint, length, counted)
        return CabinStep(air, None if structure_c is None else np.asarray(structure_c), heat_wh / 1e3, held)
    return _two_nodes(cabin, air, np.asarray(structure_c, dtype=float), source, setpoint, heat_max, length, counted)


def _alike(shape: tuple[int, ...], *values: ArrayLike) -> list[Floats]:
    """Values of one common shape; most of them have it already."""
    arrays = [np.asarray(value, dtype=float) for value in values]
    whole = np.broadcast_shapes(shape, *(a.shape for a in arrays))
    return [a if a.shape == whole else np.broadcast_to(a, whole) for a in arrays]


def _two_nodes(
    cabin: Cabin,
    air: Floats,
    structure: Floats,
    source: Floats,
    setpoint: Floats,
    heat_max: Floats,
    hours: Floats,
    counted: bool,
) -> CabinStep:
    exchange, capacity = cabin.structure_w_per_k or 0.0, cabin.structure_capacity_wh_per_k or np.inf
    part_h = max(SUBSTEP_H / 12, min(SUBSTEP_H, capacity / exchange / 4))
    count = max(1, int(np.ceil(np.max(hours, initial=0.0) / part_h - 1e-9)))
    length, ua = hours / count, ua_used_w_per_k(cabin) + exchange
    turns = exchange * length / capacity
    fading = np.exp(-turns)
    share = np.where(turns > 1e-9, -np.expm1(-turns) / np.maximum(turns, 1e-12), 1.0)
    heat, held = np.zeros_like(air), np.zeros_like(air)
    for _ in range(count):
        before, middle = air, structure
        for last in (False, True):
            node = Air(ua, cabin.thermal_capacity_wh_per_k, source + exchange * middle, heat_max)
            air, more_wh, more_h = _thermostat(node, before, setpoint, length, counted and last)
            mean = _mean_c(node, before, air, more_wh, length)
            middle = mean + (structure - mean) * share
        heat, held = heat + more_wh, held + more_h
        structure = mean + (structure - mean) * fading
    return CabinStep(air, structure, heat / 1e3, held)


def _mean_c(node: Air, before: Floats, after: Floats, heat_wh: Floats, hours: Floats) -> Floats:
    """Mean air temperature of a piece from its own heat balance."""
    still = hours <= 0
    lost_wh = heat_wh + node.source_w * hours - node.capacity_wh_per_k * (after - before)
    return np.asarray(np.where(still, before, lost_wh / (node.ua_w_per_k * np.where(still, 1.0, hours))))


def _thermostat(
    node: Air, air: Floats, setpoint: Floats, hours: Floats, counted: bool
) -> tuple[Floats, Floats, Floats]:
    """Air [degC] after the piece, heat given [Wh], hours with the setpoint held (0 unless ``counted``).

    Most neither need heat nor reach the setpoint, or stand on it: only the others are worked through.
    """
    free = node.rest_c(0.0)
    end = _drift(node, air, free, hours)
    below = (air < setpoint) | (end < setpoint)
    if not below.any():
        return end, np.zeros_like(end), np.zeros_like(end) + (hours if counted else 0.0)
    need_w = node.ua_w_per_k * (setpoint - free)
    stands = (air == setpoint) & (need_w >= 0) & (need_w <= node.heat_max_w)
    end = np.where(stands, setpoint, end)
    heat_wh = np.asarray(np.where(stands, need_w, 0.0) * hours)
    held = np.asarray(np.zeros_like(end) + hours * counted)
    rest = np.asarray(below & ~stands)
    if rest.any():
        length = hours if np.ndim(hours) == 0 else np.broadcast_to(hours, air.shape)[rest]
        part = Air(node.ua_w_per_k, node.capacity_wh_per_k, node.source_w[rest], node.heat_max_w[rest])
        end[rest], heat_wh[rest], held[rest] = _worked_through(part, air[rest], setpoint[rest], length, counted)
    return end, heat_wh, held


def _worked_through(
    node: Air, air: Floats, setpoint: Floats, hours: Floats, counted: bool
) -> tuple[Floats, Floats, Floats]:
    """To the setpoint first, heating from below or cooling from above, then on it."""
    free, cold = node.rest_c(0.0), air < setpoint
    first_w = np.where(cold, node.heat_max_w, 0.0)
    first_rest = free + first_w / node.ua_w_per_k
    gap = first_rest - setpoint
    passes = np.where(cold, gap, -gap) > 0
    ratio = np.where(passes, first_rest - air, 1.0) / np.where(passes, gap, 1.0)
    first_h = np.minimum(np.where(passes, node.tau_h * np.log(ratio), np.inf), hours)
    then_w = np.minimum(np.maximum(node.ua_w_per_k * (setpoint - free), 0.0), node.heat_max_w)
    then_rest, then_h = free + then_w / node.ua_w_per_k, hours - first_h
    there = np.where(then_h > 0, setpoint, _drift(node, air, first_rest, hours))
    end = np.where(then_h > 0, _drift(node, there, then_rest, then_h), there)
    heat_wh = first_w * first_h + then_w * then_h
    if not counted:
        return end, heat_wh, np.zeros_like(end)
    level = setpoint - HELD_WITHIN_K
    held = _above(node, air, first_rest, first_h, level) + _above(node, there, then_rest, then_h, level)
    return end, heat_wh, held


def _drift(node: Air, start: Floats, rest: Floats, hours: Floats) -> Floats:
    return np.asarray(rest + (start - rest) * np.exp(-hours / node.tau_h))


def _time_to(node: Air, start: Floats, rest: Floats, level: Floats) -> Floats:
    """Hours from ``start`` to ``level`` on the way to ``rest``; 0 when there, inf when the way does not lead past."""
    passes = (start - level) * (rest - level) < 0
    ratio = np.where(passes, (rest - start) / np.where(passes, rest - level, 1.0), 1.0)
    return np.asarray(np.where(passes, node.tau_h * np.log(ratio), np.where(start == level, 0.0, np.inf)))


def _above(node: Air, start: Floats, rest: Floats, hours: Floats, level: Floats) -> Floats:
    """Hours of a drift spent at ``level`` or above."""
    crossing = np.minimum(_time_to(node, start, rest, level), hours)
    rises = (start < level) | ((start == level) & (rest >= level))
    return np.asarray(np.where(rises, hours - crossing, np.where(start == level, 0.0, crossing)))
