"""Where the boat is by its log: the day of the voyage, the hour in it, the kilometre of the route, the charge."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from voyager.errors import InputError
from voyager.logbook.entries import Entry
from voyager.planner.start import WHOLE, Start
from voyager.route.calendar import days
from voyager.route.line import Route, build_route
from voyager.route.project import along, next_passage
from voyager.route.voyage import Voyage

OFF_ROUTE_KM = 5.0
"""A position further from the line than this is not on this voyage."""
STALE_H = 1.0
"""A charge older than this against the position, or the other way round, is worth a word."""
END_KM, SAME_PLACE_KM = 0.05, 0.1


@dataclass(frozen=True)
class Whereabouts:
    """``departs``: the civil date of the day, from ``day_starts`` on, in which the boat is; ``day`` its number counted
    from the voyage's departure, 1 the first; ``time_utc`` of the later of the two readings; ``text`` in plain words.
    ``lain_days``: whole days, from one start of day to the next, for which it has lain where it is; ``arrived_today``:
    since this day has begun."""

    departs: date
    start: Start
    day: int
    time_utc: datetime
    text: str
    lain_days: int = 0
    arrived_today: bool = False


def whereabouts(entries: Sequence[Entry], voyage: Voyage, capacity_kwh: float) -> Whereabouts:
    """By the last reading that has a place and the last that has a charge.

    The boat is where it was noted last, at the time of the later of the two; the charge is the one noted last, not
    carried on, and the sentence says how old it is. A boat that lies at the first place before the voyage departs
    leaves with it, not earlier. Raises InputError where the log has neither, or only one.
    """
    route = build_route(voyage)
    placed = positions(entries, route, voyage)
    charged = [one for one in entries if one.charge_kwh is not None]
    if not placed or not charged:
        raise InputError(_lacking(bool(placed), bool(charged)))
    (place_utc, km), last = placed[-1], charged[-1]
    now = max(place_utc, last.time_utc)
    charge = min(max(last.charge_kwh or 0.0, 0.0), capacity_kwh)
    first, hours = day_of(now, voyage)
    text = _said(voyage, km, charge / capacity_kwh * 100, now, place_utc, last.time_utc)
    if first < voyage.departs and km <= SAME_PLACE_KM:
        first, hours = voyage.departs, 0.0
        text = f"{text} The voyage departs on {first} and the plan with it, with the charge noted then."
    number = (first - voyage.departs).days + 1
    began, into = day_of(_here_since(placed, km), voyage)
    lain = max((first - began).days - (1 if into > 0 else 0), 0)
    return Whereabouts(first, Start(hours, km, charge, True), number, now, text, lain, began == first and into > 0)


def _here_since(placed: Sequence[tuple[datetime, float]], km: float) -> datetime:
    """The first reading since which the boat has not been anywhere else."""
    since = placed[-1][0]
    for at, there in reversed(placed):
        if abs(there - km) > SAME_PLACE_KM:
            break
        since = at
    return since


def with_days_kept(voyage: Voyage, found: Whereabouts) -> Voyage:
    """The voyage on from there: the days that it asks for where the boat lies, less those that it has lain there.

    They are whole days after that of arrival, which is one more to stay where the plan begins in it.
    """
    ends = build_route(voyage).start_km[1:]
    legs = tuple(
        replace(leg, nights=_left(leg.nights, found)) if abs(km - found.start.km) <= SAME_PLACE_KM else leg
        for leg, km in zip(voyage.legs, ends.tolist(), strict=True)
    )
    return replace(voyage, departs=found.departs, legs=legs)


def _left(nights: int, found: Whereabouts) -> int:
    today = 1 if nights and found.arrived_today and found.start.hours > WHOLE else 0
    return max(nights - found.lain_days, 0) + today


def _lacking(placed: bool, charged: bool) -> str:
    what = "no charge" if placed else "no place" if charged else "neither a place nor a charge"
    mend = "both" if placed == charged else "a charge" if placed else "a place"
    return f"the log has {what} to plan on from; note a reading with {mend} first"


def _said(voyage: Voyage, km: float, percent: float, now: datetime, placed: datetime, charged: datetime) -> str:
    zone = ZoneInfo(voyage.time_zone)
    text = f"By the log at {now.astimezone(zone):%Y-%m-%d %H:%M}: km {km:.1f}, {percent:.0f} % in the battery."
    if (now - charged).total_seconds() > STALE_H * 3600:
        return f"{text} The charge was noted at {charged.astimezone(zone):%Y-%m-%d %H:%M} and has changed since."
    if (now - placed).total_seconds() > STALE_H * 3600:
        return f"{text} The place was noted at {placed.astimezone(zone):%Y-%m-%d %H:%M}; it is taken to lie there."
    return text


def day_of(moment: datetime, voyage: Voyage) -> tuple[date, float]:
    """The day of a moment by the voyage's own start of day, and the hours since it began."""
    local = moment.astimezone(ZoneInfo(voyage.time_zone)).date()
    around = days(local - timedelta(days=2), 4, voyage.time_zone, voyage.day_starts_min)
    at = np.datetime64(moment.astimezone(UTC).replace(tzinfo=None), "us")
    number = int(np.searchsorted(around.starts_utc.astype("datetime64[us]"), at, side="right")) - 1
    since = at - around.starts_utc[number].astype("datetime64[us]")
    return around.dates[number], float(since / np.timedelta64(1, "s")) / 3600


def positions(entries: Sequence[Entry], route: Route, voyage: Voyage) -> list[tuple[datetime, float]]:
    """Time and kilometre of every reading that says where the boat is: its place, its kilometre, else its position.

    A place is where the voyage has it now, whatever its kilometre was when it was noted. Of one that is passed more
    than once the passage nearest to that kilometre counts, without one the next from where the boat was. A position
    more than 5 km off the route, and a place that the voyage does not know, say nothing.
    """
    out: list[tuple[datetime, float]] = []
    for entry in entries:
        km = _km(entry, route, voyage, out[-1][1] if out else 0.0)
        if km is not None:
            out.append((entry.time_utc, km))
    return out


def _km(entry: Entry, route: Route, voyage: Voyage, before_km: float) -> float | None:
    passed = _passed(entry.place, route, voyage)
    if passed and entry.km is None:
        return next_passage(passed, before_km)
    if entry.km is not None:
        nearest = min(passed, key=lambda km: abs(km - (entry.km or 0.0)), default=entry.km)
        whole = float(route.start_km[-1])
        return min(max(nearest, 0.0), whole) if -END_KM <= nearest <= whole + END_KM else None
    if entry.lat is None or entry.lon is None:
        return None
    [km], [off_km] = along(route.line, [entry.lat], [entry.lon], before_km)
    return float(km) if off_km <= OFF_ROUTE_KM else None


def _passed(place: str | None, route: Route, voyage: Voyage) -> list[float]:
    """Kilometres at which the route passes a place."""
    if place is None:
        return []
    names = [voyage.legs[0].start, *(leg.end for leg in voyage.legs)]
    wanted = " ".join(place.split()).casefold()
    pairs = zip(names, route.start_km.tolist(), strict=True)
    return [km for name, km in pairs if " ".join(name.split()).casefold() == wanted]
