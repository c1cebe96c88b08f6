"""When is it too late to leave? The same voyage, boat and skies from one departure date after another."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.planner.tally import Voyages

Json = dict[str, Any]
Progress = Callable[[float, str], None]


def depart(
    path: str,
    dates: tuple[date, date],
    *,
    every: int = 1,
    sure: float = 0.8,
    members: int = 1000,
    seed: int = 1,
    changes: Mapping[str, object] | None = None,
    documents: Mapping[str, Any] | None = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Json:
    """The object ``depart`` of FILES section 6: departures from ``dates[0]`` to ``dates[1]``, ``every`` so many days.

    ``changes`` and ``documents`` as in ``plan``. Raises Problems for unsound files, InputError for dates in the wrong
    order, a departure in a season that the weather file does not hold, or more members than memory holds, Cancelled as
    ``plan``.
    """
    from voyager.files.voyage_file import load_voyage
    from voyager.planner.outlook import LONGEST_DAYS
    from voyager.session.odds import refuse_too_many
    from voyager.session.plan import ticker

    if dates[1] < dates[0]:
        raise InputError(f"the first departure {dates[0]} is after the last one {dates[1]}; write them as FIRST..LAST")
    tick = ticker(progress, cancelled)
    loaded = load_voyage(path, changes, documents)
    refuse_too_many(members, LONGEST_DAYS, loaded.record is not None)
    days = [dates[0] + timedelta(n) for n in range(0, (dates[1] - dates[0]).days + 1, max(every, 1))]
    _refuse_other_seasons(loaded, days)
    rows = []
    for number, day in enumerate(days):
        tick(number / len(days), f"leaving on {day}")
        rows.append(_departure(loaded, day, members, seed, _part(tick, number, len(days))))
    by = loaded.voyage.by
    return {
        "format": 1,
        "sure": sure,
        "by": by.isoformat() if by else None,
        "latest": _latest(rows, sure),
        "members": members,
        "seed": seed,
        "departures": rows,
    }


def _refuse_other_seasons(loaded: "Loaded", days: list[date]) -> None:
    """The file's own check is of the voyage's departure alone."""
    if loaded.record is None:
        return
    from voyager.files.weather_sun import misfit

    for day in days:
        if fault := misfit(loaded.record, (loaded.record.lat, loaded.record.lon), day, 1):
            raise InputError(fault)


def _part(tick: Progress, number: int, count: int) -> Progress:
    """Progress of one of ``count`` departures."""
    return lambda share, text: tick((number + share) / count, text)


def _departure(loaded: "Loaded", day: date, members: int, seed: int, tick: Progress) -> Json:
    from voyager.planner.outlook import look_many
    from voyager.session.odds import followed

    voyage = replace(loaded.voyage, departs=day)
    found = look_many(loaded.vessel, voyage, tick, record=loaded.record)
    through = followed(found.many, members, seed, loaded.record, tick)
    return departure_told(day, through.voyages, voyage.by, seed)


def departure_told(day: date, voyages: "Voyages", by: date | None, seed: int) -> Json:
    """One row of the comparison."""
    from voyager.planner.tally import tally

    odds: dict[str, Any] = tally(voyages, seed)
    arrival, shore, warmth, below = (odds[name] for name in ("arrival", "shore", "warmth", "below_reserve"))
    asked = warmth["asked_hours"]
    return {
        "departs": day.isoformat(),
        "arrival_p50": arrival["p50"],
        "arrival_p90": arrival["p90"],
        "in_time": None if by is None else _in_time(voyages, by),
        "shore_stops_mean": shore["stops_mean"],
        "warm_share": round(min(1.0, warmth["warm_hours_mean"] / asked), 3) if asked else None,
        "below_reserve": below["chance"],
    }


def _in_time(voyages: "Voyages", by: date) -> Json:
    """Chance of having made fast by the end of a date."""
    from voyager.planner.estimates import chance_told

    days = [number for number, day in enumerate(voyages.dates) if day <= by]
    return chance_told(int(voyages.arrived[days[-1]]) if days else 0, voyages.members)


def _latest(rows: list[Json], sure: float) -> str | None:
    """The last departure that is in time with the chance asked for."""
    good = [row["departs"] for row in rows if row["in_time"] and row["in_time"]["chance"] >= sure]
    return good[-1] if good else None
