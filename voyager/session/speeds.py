"""The speeds of a voyage's boat: power and range by speed, and what the sun alone sustains hour by hour."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.water import froude
from voyager.files.units import KM_PER_NM
from voyager.files.voyage_file import load_voyage
from voyager.session.here import Here, here
from voyager.session.sustained import by_hour

Floats = NDArray[np.float64]

KMH = 3.6
FINE_KMH, COARSE_KMH = 0.5, 1.0


def speeds(
    path: str,
    day: str | None = None,
    place: str | None = None,
    charge: str | float | None = None,
    documents: Mapping[str, Any] | None = None,
) -> dict[str, object]:
    """The ``speeds`` object of FILES section 6 for a voyage file.

    ``day`` YYYY-MM-DD, ``place`` a name, ``charge`` in kWh or like ``"61%"``; None: departure, first place, starting
    charge; ``documents`` as in ``plan``. ``range_km`` is the charge above the reserve over the energy per km at the
    battery. Raises InputError or Problems.
    """
    at = here(load_voyage(path, documents=documents), day, place, charge)
    limits = at.limits_mps
    return {
        "place": at.place.name,
        "date": at.days.first.isoformat(),
        "charge_kwh": round(at.charge_kwh, 3),
        "water": at.leg.water,
        "depth_m": at.leg.depth_m,
        "speeds": [_row(at, kmh / KMH, limits) for kmh in _steps_kmh(limits)],
        "by_hour": by_hour(at),
        "limits_kmh": {name: None if v is None else round(v * KMH, 2) for name, v in limits.items()},
    }


def _steps_kmh(limits: dict[str, float | None]) -> Floats:
    """Even speeds from about the least that steers to one past the motor's greatest, km/h."""
    low, high = (limits["steerable"] or 0.0) * KMH, (limits["motor"] or 0.0) * KMH
    step = FINE_KMH if high <= 16 else COARSE_KMH
    return np.arange(max(np.floor(low / step), 1.0), np.ceil(high / step) + 1.5) * step


def _row(at: Here, speed_mps: float, limits: dict[str, float | None]) -> dict[str, object]:
    hull, battery = at.vessel.hull, at.vessel.battery
    power = float(at.power_w(speed_mps))
    wh_per_km = power / (speed_mps * KMH)
    stored_wh = max(at.charge_kwh - battery.reserve_kwh, 0.0) * 1000
    waterline = hull.waterline_m
    return {
        "speed_kmh": round(speed_mps * KMH, 3),
        "speed_kn": round(speed_mps * KMH / KM_PER_NM, 3),
        "power_w": round(power, 1),
        "wh_per_km": round(wh_per_km, 2),
        "range_km": round(stored_wh / wh_per_km, 1) if wh_per_km > 0 else None,
        "froude": None if waterline is None else round(float(froude(speed_mps, waterline)), 3),
        "limit": _limit(speed_mps, limits),
    }


def _limit(speed_mps: float, limits: dict[str, float | None]) -> str | None:
    """The first limit that the speed breaks, the hardest first."""
    if speed_mps < (limits["steerable"] or 0.0) - 1e-9:
        return "steerable"
    upper: tuple[str, ...] = ("motor", "shallow", "cube_law")
    return next((name for name in upper if (top := limits[name]) is not None and speed_mps > top + 1e-9), None)
