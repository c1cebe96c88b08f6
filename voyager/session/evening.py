"""This evening, day by day: how to lie, what to raise, what to heat, what is in the battery, what tomorrow needs."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from voyager.boat.arrays import PanelArray
from voyager.planner import cautions
from voyager.planner.berth import Lie, Stay, lies
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.outlook import Outlook
from voyager.planner.raising import WORTH_KWH, raising
from voyager.planner.tonight import asked_hours, evening_kwh, heaters_kwh, is_moored, stay_of
from voyager.session.tomorrow import tomorrow_told
from voyager.session.values import Json, instant, kwh

LEAST_HEATER_KWH = 1e-4
ABEAM_SINE = 0.26
TONIGHT = ("heater", "fresh_air", "condensation", "frost", "cold_charging", "snow", "shore_safety", "no_way_out",
           "raised_wind")  # fmt: skip


def evenings_told(found: Outlook) -> list[Json]:
    """``evenings``: one object for every day that ends made fast."""
    frame, built, days = found.frame, found.built, found.schedule.days
    nights = [(day, after) for day, after in pairwise([*days, None]) if day is not None and is_moored(frame, day)]
    stays = [stay_of(frame, built, day, after) for day, after in nights]
    rows = zip(nights, stays, lies(frame, stays), strict=True)
    return [_evening(found, day, after, stay, lie) for (day, after), stay, lie in rows]


def _evening(found: Outlook, day: Day, after: Day | None, stay: Stay, lie: Lie) -> Json:
    frame = found.frame
    mooring = frame.route.moorings[stay.mooring]
    return {
        "day": day.day + 1,
        "mooring": mooring.name,
        "made_fast_utc": instant(frame, day.day, stay.from_h),
        "until_utc": instant(frame, day.day + 1, stay.until_h),
        **lie_told(frame.vessel.arrays, lie, "given" if len(lie.headings_deg) == 1 else
                   "bank" if mooring.either_way else "unknown"),
        "heat": _heat(frame, day),
        "charge_evening_kwh": kwh(evening_kwh(day)),
        "charge_end_kwh": kwh(day.ledger.charge_kwh[0, -1]),
        "wanted_kwh": kwh(day.floor_kwh + float(found.built.reserve_kwh[day.day, stay.mooring, day.night_step])),
        "plug_in": day.plugged,
        "shore_kwh": kwh(day.ledger.shore_kwh[0, day.evening :].sum()),
        "tomorrow": None if after is None else tomorrow_told(found, after),
        "cautions": _cautions(frame, day, lie, stay),
    }  # fmt: skip


def _cautions(frame: Frame, day: Day, lie: Lie, stay: Stay) -> list[str]:
    """What of the day's cautions bears on the night, and the wind on raised panels."""
    codes = set(cautions.of_day(frame, day, stay.mooring))
    limits = [array.raise_wind_max_mps for array in frame.vessel.arrays if array.raised]
    if any(max(lie.wind_mps, lie.poor_wind_mps) > limit for limit in limits):
        codes.add("raised_wind")
    return [code for code in TONIGHT if code in codes]


def lie_told(arrays: Sequence[PanelArray], lie: Lie, heading: str) -> Json:
    """``lie`` and ``arrays``: the best heading with what it gains, and at that heading each array's best mounting.

    ``heading``: ``given``, ``bank`` (bow to either end of it) or ``unknown``; a heading's gain is against the mean of
    those there are. ``panels_kwh`` what all arrays give so, ``gain_kwh`` how much of it raising brings.
    """
    best = lie.best(arrays)
    total = best.sum(axis=1)
    at = int(np.argmax(np.round(total, 9)))
    gain = float(total[at] - total.mean())
    side = None if lie.sun_deg is None else side_of(lie.sun_deg - lie.headings_deg[at])
    rows = [_array(array, lie, at, number) for number, array in enumerate(arrays)]
    return {
        "lie": {
            "heading": heading,
            "heading_deg": round(lie.headings_deg[at]) % 360,
            "gain_kwh": kwh(gain) if gain >= WORTH_KWH else 0.0,
            "sun_deg": None if lie.sun_deg is None else round(lie.sun_deg) % 360,
            "sun_side": side,
        },
        "arrays": rows,
        "panels_kwh": kwh(total[at]),
        "gain_kwh": kwh(sum(float(str(row["gain_kwh"])) for row in rows if row["do"] == "raise")),
        "wind_kmh": round(lie.wind_mps * 3.6, 1),
        "poor_wind_kmh": round(lie.poor_wind_mps * 3.6, 1),
    }


def side_of(relative_deg: float) -> str:
    """Where something lies as seen from the helm: ``starboard``, ``port``, ``ahead`` or ``astern`` (within 15°)."""
    across, along = np.sin(np.radians(relative_deg)), np.cos(np.radians(relative_deg))
    if abs(across) >= ABEAM_SINE:
        return "starboard" if across > 0 else "port"
    return "ahead" if along > 0 else "astern"


def _array(array: PanelArray, lie: Lie, at: int, number: int) -> Json:
    """What to do with one array, and where it then faces."""
    best = raising(array, lie, at, number)
    up = best.do == "raise"
    return {
        "name": array.name,
        "do": best.do,
        "why": best.why,
        "side": side_of(best.azimuth_deg) if up and array.moored_tilt_deg else None,
        "tilt_deg": array.moored_tilt_deg if up else array.tilt_deg,
        "faces_deg": round(lie.headings_deg[at] + best.azimuth_deg) % 360 if up else None,
        "gain_kwh": kwh(best.gain_kwh) if array.raised else 0.0,
        "raise_wind_max_kmh": round(array.raise_wind_max_mps * 3.6, 1) if array.raised else None,
    }


def _heat(frame: Frame, day: Day) -> Json:
    """Tonight's thermostat by the clock, hours that a heater runs, and what each heater draws."""
    heating = day.ledger.heating_kwh[0, day.evening :]
    comfort = frame.vessel.comfort[day.night_step]
    return {
        "comfort": comfort.name,
        "hours": [
            {
                "from_utc": instant(frame, day.day, first),
                "to_utc": instant(frame, day.day, last),
                "setpoint_c": setpoint,
            }
            for first, last, setpoint in asked_hours(frame, day)
        ],
        "otherwise_c": comfort.otherwise_c,
        "kwh": kwh(heating.sum()),
        "runs_h": int((heating > 1e-4).sum()),
        "heaters": [
            {"name": heater.name, "max_w": heater.max_w, "kwh": kwh(drawn)}
            for heater, drawn in heaters_kwh(frame, day)
            if drawn > LEAST_HEATER_KWH
        ],
    }
