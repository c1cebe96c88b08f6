"""What the day after an evening needs: hours, locks and bridges, energy, charge, a plug."""

import numpy as np

from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame
from voyager.planner.marks import mark, why
from voyager.planner.outlook import Outlook
from voyager.planner.walks import Walker
from voyager.session.values import Json, instant, kwh


def tomorrow_told(found: Outlook, day: Day) -> Json:
    """``tomorrow``: ``needs_kwh`` is the least charge in the morning with which what is planned is held, null where
    nothing planned is held with any; ``opens``: hours of the locks and bridges on the way, null: always."""
    frame, built = found.frame, found.built
    off, fast = _times(frame, day)
    end = frame.route.moorings[built.stops.mooring[day.end]]
    return {
        "day": day.day + 1,
        "date": frame.days.dates[day.day].isoformat(),
        "mark": mark(built, day),
        "why": why(frame, built, day),
        "to": end.name,
        "casts_off_utc": off,
        "made_fast_utc": fast,
        "waiting_h": 0.0 if day.sail is None or day.sail.trips is None else round(float(day.sail.trips.wait_h[0]), 3),
        "propulsion_kwh": kwh(day.ledger.total("propulsion_kwh")[0]),
        "needs_kwh": _needs(found, day),
        "charge_start_kwh": kwh(day.charge_start_kwh),
        "plug_in": day.plugged,
        "plug_at": end.name if day.plugged else None,
        "opens": _opens(found, day),
    }


def _times(frame: Frame, day: Day) -> tuple[str | None, str | None]:
    """Casting off and making fast."""
    hours: tuple[float | None, float | None] = (None, None)
    if day.sea is not None:
        hours = day.sea.casts_off_h, day.sea.made_fast_h
    elif day.sail is not None and day.sail.trips is not None:
        hours = float(day.sail.trips.depart_h[0]), float(day.sail.trips.arrive_h[0])
    off, fast = (None if hour is None else instant(frame, day.day, hour) for hour in hours)
    return off, fast


def _needs(found: Outlook, day: Day) -> float | None:
    action = day.choice.action
    if action is None or (day.sea is not None and day.sea.casts_off_h is None):
        return None
    least = float(found.policy.problem.mornings[day.day].from_kwh[day.seen.cls, action])
    return kwh(max(least, 0.0)) if np.isfinite(least) else None


def _opens(found: Outlook, day: Day) -> list[Json]:
    """The legs with locks or bridges on the day's way, in order."""
    if day.sail is None:
        return []
    back = found.built.back if day.sail.back else None
    walker = back or found.built.ahead
    return [
        _leg(found.frame, walker, day, part.leg, part.locks)
        for part in day.sail.parts
        if part.km > 0 and (part.locks or walker.route.legs[part.leg].bridges)
    ]


def _leg(frame: Frame, walker: Walker, day: Day, number: int, locks: int) -> Json:
    leg = walker.route.legs[number]
    opens, shuts = (float(hour) for hour in walker.lock_h[day.day, number])
    always = not np.isfinite(opens)
    return {
        "from": leg.start,
        "to": leg.end,
        "locks": locks,
        "bridges": leg.bridges,
        "opens_utc": None if always else instant(frame, day.day, opens),
        "shuts_utc": None if always else instant(frame, day.day, shuts),
    }
