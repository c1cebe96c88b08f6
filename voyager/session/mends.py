"""Where a plan falls short, by how much, and what would mend it: replays of the one sky with nights or a plug more."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from voyager.planner.dayrun import Day
from voyager.planner.outlook import Outlook, Tick, plan_frame
from voyager.session.telling import Json
from voyager.session.values import kwh

NIGHTS = (1, 2, 4)
PLUG_W = 3680.0


@dataclass(frozen=True)
class Mend:
    """Extra nights at a mooring, a plug there (``nights`` 0), or more charge to start with."""

    mooring: int
    nights: int
    start_percent: int | None = None


def short_told(found: Outlook, tick: Tick, mends: bool = True) -> Json | None:
    """``short``: the first day that is not held, None where all are; ``mends`` false: without what would mend it."""
    day = next((d for d in found.schedule.days if not d.choice.held), None)
    if day is None:
        return None
    end = found.frame.route.moorings[found.built.stops.mooring[day.end]]
    return {
        "day": day.day + 1,
        "date": found.frame.days.dates[day.day].isoformat(),
        "place": end.name,
        "short_kwh": kwh(_missing_kwh(found, day)),
        "mends": _mends(found, day, tick) if mends else [],
    }


def _missing_kwh(found: Outlook, day: Day) -> float:
    """The larger of floor - poor low and floor + HR(off) - poor evening, never below nought."""
    off = float(found.built.reserve_kwh[day.day, found.built.stops.mooring[day.end], found.frame.off])
    return max(0.0, day.floor_kwh - day.poor_low_kwh, day.floor_kwh + off - day.poor_evening_kwh)


def _mends(found: Outlook, day: Day, tick: Tick) -> list[Json]:
    out = []
    for mend in _candidates(found, day):
        tick(0.9, "what would mend it")
        if _works(_replayed(found, mend, tick), day, mend):
            out.append(_told(found, mend))
    return out


def _candidates(found: Outlook, day: Day) -> Iterator[Mend]:
    """Nights at the last place passed before the short day, fewest first, and a plug where the day begins or ends."""
    places = [n for n, m in enumerate(found.frame.route.moorings) if m.place is not None]
    start, end = (int(found.built.stops.mooring[stop]) for stop in (day.start, day.end))
    before = max((n for n in places if n <= start), default=0)
    if day.day == 0 and (percent := _start_percent(found, day)) <= 100:
        yield Mend(0, 0, percent)
    for nights in NIGHTS:
        yield Mend(before, nights)
    after = min((n for n in places if n >= max(start, end)), default=places[-1])
    for number in dict.fromkeys((before, after)):
        if found.frame.plugs_w[number] == 0:
            yield Mend(number, 0)


def _start_percent(found: Outlook, day: Day) -> int:
    """Whole percent of charge with which the first day would not be short."""
    return ceil((day.charge_start_kwh + _missing_kwh(found, day)) / found.frame.vessel.battery.capacity_kwh * 100)


def _replayed(found: Outlook, mend: Mend, tick: Tick) -> Outlook:
    def heard(share: float, text: str) -> None:
        tick(0.9, "what would mend it")

    if mend.start_percent is not None:
        fuller = replace(found.frame.voyage, charge_at_start_percent=float(mend.start_percent))
        return plan_frame(replace(found.frame, voyage=fuller), tick=heard)
    if mend.nights:
        return plan_frame(found.frame, {mend.mooring: mend.nights}, heard)
    moorings = [replace(m, shore_w=0.0) if _never(found) else m for m in found.frame.route.moorings]
    moorings[mend.mooring] = replace(moorings[mend.mooring], shore_w=PLUG_W)
    route = replace(found.frame.route, moorings=tuple(moorings))
    voyage = replace(found.frame.voyage, shore_power="last") if _never(found) else found.frame.voyage
    return plan_frame(replace(found.frame, route=route, voyage=voyage), tick=heard)


def _never(found: Outlook) -> bool:
    return found.frame.voyage.shore_power == "never"


def _works(found: Outlook, short: Day, mend: Mend) -> bool:
    """Whether it arrives with every day held; what the first morning lacks only a fuller start could mend."""
    given = short.day == 0 and mend.start_percent is None and short.charge_start_kwh < short.floor_kwh
    held = all(day.choice.held for day in found.schedule.days if day.day > 0 or not given)
    return found.schedule.arrived is not None and held


def _told(found: Outlook, mend: Mend) -> Json:
    name = found.frame.route.moorings[mend.mooring].name
    if mend.start_percent is not None:
        return {"text": f"start with {mend.start_percent} % in the battery", "nights": 0, "shore_at": None}
    if mend.nights:
        many = "night" if mend.nights == 1 else "nights"
        return {"text": f"stay {mend.nights} {many} more at {name}", "nights": mend.nights, "shore_at": None}
    return {"text": f"find shore power at {name}", "nights": 0, "shore_at": name}


def warmth_out_of_reach(found: Outlook) -> list[str]:
    """Dates on which floor and heating reserve of the voyage's own step exceed the ceiling somewhere on the plan."""
    dates = []
    for day in found.schedule.days:
        number = found.built.stops.mooring[day.end]
        floor = found.frame.weather.floor_kwh[day.day, found.frame.mooring_station[number]]
        need = floor + found.built.reserve_kwh[day.day, number, found.frame.wanted]
        if bool(np.asarray(need > found.frame.ceiling_kwh)):
            dates.append(found.frame.days.dates[day.day].isoformat())
    return dates
