"""The inverter (battery to alternating current) and the shore charger."""

from dataclasses import dataclass


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
