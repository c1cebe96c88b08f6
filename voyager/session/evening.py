"""This evening, day by day: how to lie, what to raise, what to heat, what is in the battery, what tomorrow needs."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from voyager.boat.arrays import PanelArray
from voyager.boat.cabin import Piece
from voyager.energy.loads import heater_limits, hotel
from voyager.planner import cautions
from voyager.planner.actions import Built
from voyager.planner.berth import Lie, Stay, lies
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame, pieces_of
from voyager.planner.outlook import Outlook
from voyager.session.tomorrow import tomorrow_told
from voyager.session.values import Json, instant, kwh

WORTH_KWH = 0.01
"""Less than this is no reason to touch a line or a panel."""
ABEAM_SINE = 0.26
TONIGHT = ("heater", "fresh_air", "condensation", "frost", "cold_charging", "snow", "shore_safety", "no_way_out",
           "raised_wind")  # fmt: skip


def evenings_told(found: Outlook) -> list[Json]:
    """``evenings``: one object for every day that ends made fast."""
    frame, built, days = found.frame, found.built, found.schedule.days
    nights = [(day, after) for day, after in pairwise([*days, None]) if day is not None and _moored(frame, day)]
    stays = [_stay(frame, built, day, after) for day, after in nights]
    rows = zip(nights, stays, lies(frame, stays), strict=True)
    return [_evening(found, day, after, stay, lie) for (day, after), stay, lie in rows]


def _moored(frame: Frame, day: Day) -> bool:
    fast = day.sea is None or day.sea.made_fast_h is not None
    return fast and day.day + 1 < len(frame.days.dates)


def _stay(frame: Frame, built: Built, day: Day, after: Day | None) -> Stay:
    """From making fast (a boat that lay all day: from the evening) to casting off, or to the next evening."""
    mooring = int(built.stops.mooring[day.end])
    begins = float(day.evening)
    if day.sea is not None and day.sea.made_fast_h is not None:
        begins = day.sea.made_fast_h
    elif day.sail is not None and day.sail.trips is not None:
        begins = float(day.sail.trips.arrive_h[0])
    ends = float(frame.windows.evening[day.day + 1, frame.mooring_station[mooring]])
    if after is not None and after.sea is not None and after.sea.casts_off_h is not None:
        ends = after.sea.casts_off_h
    elif after is not None and after.sail is not None and after.sail.trips is not None:
        ends = float(after.sail.trips.depart_h[0])
    return Stay(day.day, mooring, begins, ends)


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
        "charge_evening_kwh": kwh(_charge_evening(day)),
        "charge_end_kwh": kwh(day.ledger.charge_kwh[0, -1]),
        "wanted_kwh": kwh(day.floor_kwh + float(found.built.reserve_kwh[day.day, stay.mooring, day.night_step])),
        "plug_in": day.plugged,
        "shore_kwh": kwh(day.ledger.shore_kwh[0, day.evening :].sum()),
        "tomorrow": None if after is None else tomorrow_told(found, after),
        "cautions": _cautions(frame, day, lie, stay),
    }  # fmt: skip


def _charge_evening(day: Day) -> float:
    return float(day.ledger.charge_kwh[0, day.evening - 1]) if day.evening else day.charge_start_kwh


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
    """What to do with one array: ``fixed``, ``raise`` or ``flat``, and why flat: ``wind`` or ``no-gain``."""
    flat, raised, over = (float(way[at, number]) for way in (lie.flat, lie.raised, lie.mirrored))
    gain, mirrored = max(raised, over) - flat, over > raised
    do, why = "raise", None
    if not array.raised:
        do = "fixed"
    elif lie.wind_mps > array.raise_wind_max_mps:
        do, why = "flat", "wind"
    elif gain < WORTH_KWH:
        do, why = "flat", "no-gain"
    azimuth = -array.moored_azimuth_deg if mirrored else array.moored_azimuth_deg
    return {
        "name": array.name,
        "do": do,
        "why": why,
        "side": side_of(azimuth) if do == "raise" and array.moored_tilt_deg else None,
        "tilt_deg": array.moored_tilt_deg if do == "raise" else array.tilt_deg,
        "faces_deg": round(lie.headings_deg[at] + azimuth) % 360 if do == "raise" else None,
        "gain_kwh": kwh(gain) if array.raised else 0.0,
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
            for first, last, setpoint in _asked(frame, day)
        ],
        "otherwise_c": comfort.otherwise_c,
        "kwh": kwh(heating.sum()),
        "runs_h": int((heating > 1e-4).sum()),
        "heaters": _heaters(frame, day),
    }


def _asked(frame: Frame, day: Day) -> list[tuple[float, float, float]]:
    """From, to (hours from the day's start) and setpoint of the hours asked for from the evening on."""
    pieces = [p for p in pieces_of(frame, day.day, day.night_step) if p.hour >= day.evening and p.asked]
    found: list[tuple[float, float, float]] = []
    for piece in pieces:
        first, last = _span(piece)
        if found and abs(found[-1][1] - first) < 1e-6 and found[-1][2] == piece.setpoint_c:
            first = found.pop()[0]
        found.append((first, last, piece.setpoint_c))
    return found


def _span(piece: Piece) -> tuple[float, float]:
    first = piece.hour + piece.start_h
    return first, first + piece.hours


def _heaters(frame: Frame, day: Day) -> list[Json]:
    """The heaters that run tonight, thriftiest first, as the simulator takes them."""
    hours = slice(day.evening, day.ledger.heating_kwh.shape[1])
    local = frame.days.local_hour[day.day][hours]
    lived = frame.lived_h(day.day)
    left = day.ledger.heating_kwh[0, hours] * 1e3 / (1.0 if lived is None else np.maximum(lived[hours], 1e-9))
    rows: list[Json] = []
    for heater, limit in heater_limits(frame.vessel, hotel(frame.vessel, local)[1]):
        watts = np.minimum(left, limit)
        left = left - watts
        used = watts if lived is None else watts * lived[hours]
        if used.sum() > 0.1:
            rows.append({"name": heater.name, "max_w": heater.max_w, "kwh": kwh(used.sum() / 1e3)})
    return rows
