"""What the plan says to a boat in the middle of a day: go on, slow to what, or stop where; and where return ends."""

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.marks import why
from voyager.planner.outing import slowest, trip_of
from voyager.planner.outlook import Outlook, Prospect
from voyager.planner.start import Start
from voyager.session.left import left_told, where_words
from voyager.session.values import instant
from voyager.session.whence import parse_start

__all__ = ["from_told", "parse_start"]

Json = dict[str, Any]
STAYS = {
    "asked": "as the voyage asks",
    "closed": "the way ahead is shut",
    "sea": "the sea is not taken to be fit",
    "daylight": "there is no more time to travel today",
    "recover": "the battery is to gain first",
    "low": "and plug in",
    "slack": "going on today gains nothing",
    "arrived": "the voyage ends here",
}


def from_told(found: Outlook | Prospect, start: Start) -> Json:
    """The object ``from``: what to do now, what is left where it turns out worse, where the way back ends."""
    shown = found.many if isinstance(found, Prospect) else found
    frame, day = shown.frame, shown.schedule.days[0]
    here = frame.route.moorings[frame.begin.mooring]
    charge = frame.start_kwh
    lat, lon = (float(one) for one in frame.route.position(start.km))
    out: Json = {
        "time_utc": instant(frame, 0, start.hours),
        "km": round(start.km, 3),
        "at": [round(lat, 4), round(lon, 4)],
        "charge_kwh": round(charge, 7),
        "charge_percent": round(charge / frame.vessel.battery.capacity_kwh * 100, 2),
    }
    return out | _advice(shown, day, here.name) | left_told(shown, day)


def _clock(frame: Frame, day: int, hours: float) -> str:
    """The time by the clock of the voyage's zone; with the date where it is another day's."""
    local = datetime.fromisoformat(instant(frame, day, hours)).astimezone(ZoneInfo(frame.voyage.time_zone))
    return f"{local:%H:%M}" if local.date() == frame.days.dates[0] else f"{local:%H:%M} on {local:%Y-%m-%d}"


def _advice(shown: Outlook, day: Day, here: str) -> Json:
    if day.sail is None and day.sea is None:
        return _stays(shown, day, here)
    frame = shown.frame
    end, landed, arrive_h, pace_w, kmh = trip_of(shown, day)
    told = {
        "to": frame.route.moorings[end].name,
        "to_km": round(frame.route.moorings[end].km, 3),
        "pace_w": round(pace_w),
        "speed_kmh": round(kmh, 2),
        "arrives_utc": instant(frame, landed, arrive_h),
        "held": day.choice.held,
    }
    by = f"made fast by {_clock(frame, landed, arrive_h)}"
    do, text = _going(shown, day, end, arrive_h, f"{kmh:.1f} km/h", by)
    return {"do": do} | told | {"text": text}


def _going(shown: Outlook, day: Day, end: int, arrive_h: float, speed: str, by: str) -> tuple[str, str]:
    """What to do and the sentence of a plan that is under way."""
    frame, where = shown.frame, where_words(shown.frame, end)
    if day.choice.flee:
        plugs = " and plug in" if frame.plugs_w[end] > 0 else ""
        if end < frame.begin.mooring:
            return "stop", f"Go no further: turn back to {where}{plugs}, at {speed}, {by}."
        return "slow", f"Nothing else holds: at {speed} to {where}{plugs}, {by}."
    if slowest(shown, day):
        return "slow", f"Slow to {speed} and stop at {where}, {by}: no faster pace is held from this charge."
    return "go", f"Go on at {speed} and stop at {where}, {by}."


def _stays(shown: Outlook, day: Day, here: str) -> Json:
    frame = shown.frame
    where = where_words(frame, frame.begin.mooring)
    told: Json = {
        "to": here, "to_km": round(frame.route.moorings[frame.begin.mooring].km, 3), "pace_w": None, "speed_kmh": None,
        "arrives_utc": None, "held": day.choice.held and frame.may_stay,
    }  # fmt: skip
    if frame.may_stay:
        reason = STAYS.get(why(frame, shown.built, day), "as planned")
        joint = " " if reason.startswith("and ") else ": "
        return {"do": "stop"} | told | {"text": f"Stop at {where} for today{joint}{reason}."}
    near = frame.begin.mooring + _nearer(frame)
    shelter = frame.route.moorings[near]
    text = (
        f"Nobody stays at {where}, and no mooring is held before travel closes: make for the nearest shelter, "
        f"{where_words(frame, near)}, with lights and a lookout, as slowly as the boat steers; call for help in good "
        "time. The days below reckon with travel hours only and leave the boat where it is until they begin."
    )
    return {"do": "go"} | told | {"to": shelter.name, "to_km": round(shelter.km, 3), "text": text}


def _nearer(frame: Frame) -> int:
    """Step to the next or the last mooring, whichever is nearer."""
    begin, moorings = frame.begin.mooring, frame.route.moorings
    ahead, behind = (abs(moorings[begin + k].km - moorings[begin].km) for k in (1, -1))
    return 1 if ahead <= behind else -1
