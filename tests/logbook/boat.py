"""A boat that lives its planned days otherwise: a log of it, its deviations known. Illustrative, not for navigation."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import Cabin, Comfort, Heater
from voyager.boat.hull import Hull
from voyager.boat.vessel import Hotel, Vessel
from voyager.logbook.entries import Entry
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

Floats = NDArray[np.float64]
START = datetime(2027, 3, 1, 8, tzinfo=UTC)
DAY_KM, PACE_W, UNDERWAY = 24.0, 400.0, (2, 6)
VESSEL = Vessel(
    "Wherry", Hull(50.0, waterline_m=12.0, motor_max_w=4000.0), (PanelArray("roof", 4000.0),),
    Battery(40.0, charge_max_w=20000.0, discharge_max_w=40000.0), hotel=Hotel((100.0,) * 24),
    cabin=Cabin(ua_w_per_k=60.0, fresh_air_m3_per_h=30.0), heaters=(Heater("stove", 1500.0, alternating=False),),
    comfort=(Comfort("even", ((0, 1440, 12.0),), 12.0), Comfort("off", (), 2.0)),
)  # fmt: skip


@lru_cache
def voyage(days: int = 12) -> Voyage:
    """A lake, straight north, without wind, with a place for every day's end."""
    places = tuple(Place(f"P{k}", 50.0 + 0.2 * k, 8.0) for k in range(days + 1))
    legs = tuple(
        Leg(f"P{k}", f"P{k + 1}", "lake", distance_km=DAY_KM, wind_mps=0.0, moor_anywhere=False) for k in range(days)
    )
    return Voyage("Lake", date(2027, 3, 1), "Etc/UTC", places, legs)


def speed_kmh(power_w: float, coefficient: float = 50.0) -> float:
    """P = c v^3 by hand."""
    return float((power_w / coefficient) ** (1 / 3) * 3.6)


@dataclass(frozen=True)
class Ways:
    """How the boat differs from its file and its plan: factors of hull, sun, heat loss; W more hotel; K colder."""

    hull: float = 1.0
    sun: float = 1.0
    heat: float = 1.0
    hotel_w: float = 0.0
    colder_k: float = 0.0


def planned_row(day: int, sun_kwh: float = 10.0, charge: float = 30.0) -> dict[str, Any]:
    """A planned day of constant loads, sun over eight hours, as ``plan --json`` has it; the battery by hand.

    Heating: 60 W/K over the 6 K between 12 and 6 degC, less 80 W of one person."""
    starts = START + timedelta(days=day)
    hours_gone = DAY_KM / speed_kmh(PACE_W)
    under = np.clip(np.arange(1, 25) - UNDERWAY[0], 0, 1) * np.clip(UNDERWAY[0] + hours_gone - np.arange(24), 0, 1)
    sun = np.where((np.arange(24) >= 1) & (np.arange(24) < 9), sun_kwh / 8, 0.0)
    motor, hotel, heat = PACE_W / 1e3 * under, np.full(24, 0.1), np.full(24, 0.28)
    charges = charge_after(charge, sun - motor - hotel - heat)
    hours = [
        {
            "ends_utc": f"{starts + timedelta(hours=h + 1):%Y-%m-%dT%H:%M:%SZ}", "underway_h": float(under[h]),
            "solar_kwh": float(sun[h]), "shore_kwh": 0.0, "propulsion_kwh": float(motor[h]),
            "hotel_kwh": float(hotel[h]), "heating_kwh": float(heat[h]), "spilled_kwh": 0.0,
            "charge_kwh": float(charges[h]), "cabin_c": 12.0, "setpoint_c": 12.0, "outside_c": 6.0,
        }
        for h in range(24)
    ]  # fmt: skip
    return {
        "day": day + 1, "date": f"{starts:%Y-%m-%d}", "starts_utc": f"{starts:%Y-%m-%dT%H:%M:%SZ}", "length_h": 24,
        "mark": "underway", "mooring": f"P{day + 1}", "start_km": DAY_KM * day, "end_km": DAY_KM * (day + 1),
        "casts_off_utc": f"{starts + timedelta(hours=UNDERWAY[0]):%Y-%m-%dT%H:%M:%SZ}",
        "made_fast_utc": f"{starts + timedelta(hours=UNDERWAY[0] + hours_gone):%Y-%m-%dT%H:%M:%SZ}",
        "hours_underway": hours_gone, "pace_w": PACE_W, "solar_kwh": float(sun.sum()), "shore_kwh": 0.0,
        "propulsion_kwh": float(motor.sum()), "hotel_kwh": 2.4, "heating_kwh": 24 * 0.28, "loss_kwh": 0.0,
        "spilled_kwh": 0.0, "charge_start_kwh": charge, "charge_evening_kwh": float(charges[9]),
        "charge_end_kwh": float(charges[-1]), "hours": hours,
    }  # fmt: skip


def charge_after(charge: float, net_kwh: Floats) -> Floats:
    """Charge after each hour: 0.98 of what goes in is stored, what comes out costs 1/0.98."""
    return np.asarray(charge + np.cumsum(np.where(net_kwh > 0, net_kwh * 0.98, net_kwh / 0.98)))


def lived(
    rows: Sequence[Mapping[str, Any]], ways: Ways, *, rng: np.random.Generator | None = None, noise: float = 0.0,
    columns: Sequence[str] = ("solar", "propulsion", "heating", "hotel"), suns: Floats | None = None,
) -> list[Entry]:  # fmt: skip
    """The log of a boat that did what was planned but is otherwise than its file: cast off, made fast, a reading each
    morning. ``noise``: relative scatter of each day's propulsion, heating, hotel."""
    charge, out = float(rows[0]["charge_start_kwh"]), []
    nothing = dict.fromkeys(("solar_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh"), 0.0)
    out.append(Entry(START, km=0.0, charge_kwh=charge, **nothing))
    for day, row in enumerate(rows):
        scatter = np.ones(3) if rng is None else 1 + noise * rng.standard_normal(3)
        sun, motor, heat, hotel = (
            np.asarray([hour[f"{name}_kwh"] for hour in row["hours"]])
            for name in ("solar", "propulsion", "heating", "hotel")
        )
        sun = sun * ways.sun * (1.0 if suns is None else suns[day])
        motor, heat = motor * ways.hull * scatter[0], (heat + 0.06 * ways.colder_k) * ways.heat * scatter[1]
        hotel = (hotel + ways.hotel_w / 1e3) * scatter[2]
        charge = float(charge_after(charge, sun - motor - heat - hotel)[-1])
        starts = START + timedelta(days=day)
        for hour, km in ((UNDERWAY[0], row["start_km"]), (UNDERWAY[0] + row["hours_underway"], row["end_km"])):
            out.append(Entry(starts + timedelta(hours=hour), km=km, outside_c=6.0 - ways.colder_k))
        sums = {"solar": sun, "propulsion": motor, "heating": heat, "hotel": hotel}
        kwh = {f"{name}_kwh": float(sums[name].sum()) for name in columns}
        out.append(Entry(starts + timedelta(days=1), km=row["end_km"], charge_kwh=charge, **kwh))
    return out
