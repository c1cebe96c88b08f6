"""The inverter (battery to alternating current) and the shore charger."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from voyager.boat.broken_line import along

Floats = NDArray[np.float64]
EUROPEAN_WEIGHTS = ((0.05, 0.03), (0.10, 0.06), (0.20, 0.13), (0.30, 0.10), (0.50, 0.48), (1.00, 0.20))
"""(share of rated load, weight): the European efficiency, Joint Research Centre, Ispra."""


@dataclass(frozen=True)
class Inverter:
    """``max_w`` None: none aboard. ``efficiency_by_load`` ((share of max_w, efficiency), ...) beats ``efficiency``."""

    max_w: float | None = None
    efficiency: float = 0.92
    efficiency_by_load: tuple[tuple[float, float], ...] = ()
    standby_w: float = 20.0
    always_on: bool = False
    inside_cabin: bool = True


@dataclass(frozen=True)
class ShoreCharger:
    """Charger on shore power: ``max_w`` is its output at the battery side."""

    max_w: float = 1500.0
    efficiency: float = 0.90


def efficiency(inverter: Inverter, ac_w: ArrayLike) -> Floats:
    """Efficiency [-] at the alternating load ``ac_w`` [W], standby apart: by line over load, level beyond its ends."""
    load = np.asarray(ac_w, dtype=float)
    if not inverter.efficiency_by_load or not inverter.max_w:
        return np.full_like(load, inverter.efficiency)
    return along(inverter.efficiency_by_load, load / inverter.max_w)


def european_efficiency(inverter: Inverter) -> float:
    """Mean efficiency [-] weighted over part loads, standby apart."""
    rated_w = inverter.max_w or 1.0
    return float(sum(weight * efficiency(inverter, share * rated_w) for share, weight in EUROPEAN_WEIGHTS))


def is_on(inverter: Inverter, ac_w: ArrayLike) -> NDArray[np.bool_]:
    """Where the inverter runs: with an alternating load, or always if it is left on; never where none is aboard."""
    load = np.asarray(ac_w, dtype=float)
    return np.asarray((inverter.max_w is not None) & ((load > 0) | inverter.always_on))


def unserved_w(inverter: Inverter, ac_w: ArrayLike) -> Floats:
    """The part of an alternating load that can't be served [W]: beyond ``max_w``; all of it where none is aboard."""
    return np.asarray(np.maximum(np.asarray(ac_w, dtype=float) - (inverter.max_w or 0.0), 0.0))


def dc_w(inverter: Inverter, ac_w: ArrayLike, on: ArrayLike) -> Floats:
    """Power at the battery's side [W] for ``ac_w`` [W]: P_ac / eta(load) + standby while ``on`` (or share of the hour).

    ``ac_w`` is taken as served: take ``unserved_w`` off it first. Where no inverter is aboard nothing is drawn and
    nothing lost; the whole load is then unserved. What is lost, ``dc_w - ac_w``, is heat where the inverter stands.
    """
    load = np.asarray(ac_w, dtype=float)
    if inverter.max_w is None:
        return np.zeros(np.broadcast_shapes(load.shape, np.shape(on)))
    return np.asarray(load / efficiency(inverter, load) + inverter.standby_w * np.asarray(on, dtype=float))


def charger_output_w(charger: ShoreCharger, socket_max_w: ArrayLike) -> Floats:
    """Greatest power into the boat [W] from a shore socket that gives ``socket_max_w`` [W]."""
    return np.asarray(np.minimum(charger.max_w, np.asarray(socket_max_w, dtype=float) * charger.efficiency))


def socket_w(charger: ShoreCharger, output_w: ArrayLike) -> Floats:
    """Power at the shore socket [W] while the charger gives ``output_w`` [W] to the boat."""
    return np.asarray(np.asarray(output_w, dtype=float) / charger.efficiency)
