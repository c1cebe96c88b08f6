"""What a plan takes for granted, in plain sentences."""

from typing import TYPE_CHECKING

import numpy as np

from voyager.session.mends import warmth_out_of_reach

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.planner.frame import Frame
    from voyager.session.plan import Found
    from voyager.sky.record import Record

FORTNIGHT = {
    "cautious": "the fortnight that one in five falls below",
    "middling": "an even fortnight",
    "good": "the fortnight that one in five exceeds",
}
BUILT_IN = "Sun: NASA MERRA-2 2011-2015 clearness, bias corrected; air: ITU-R P.1510-1; wind: common practice."
NOT_HELD_CHANCE = 0.1


def assumptions(found: "Found", loaded: "Loaded") -> list[str]:
    """``assumptions`` of a plan, the notes on its files last."""
    frame = found.shown.frame
    sky = frame.voyage.sky
    out = [
        f"Sky: one {sky} sky, {FORTNIGHT[sky]}; its arrival date is no percentile.",
        f"Horizon: {found.shown.policy.problem.days} days.",
        "Held means: on a poor day of this climate charge stays above the floor and the evening's reserve is there.",
        BUILT_IN if loaded.record is None else _record(loaded),
        *_forecast(frame),
        *_beyond(frame),
        *_sea(found, frame),
        *_odds(found, loaded),
        *_warmth(found),
    ]
    return [*out, *loaded.notes]


def _record(loaded: "Loaded") -> str:
    from voyager.files.weather_sun import YEAR_ENOUGH_DAYS

    record = loaded.record
    if record is None:
        return BUILT_IN
    days = len(record.days.dates)
    span = f"{days} days" if days < YEAR_ENOUGH_DAYS else f"{record.years} year{'s' if record.years != 1 else ''}"
    return (
        f"Sun, air and wind: weather file {record.name} ({record.kind}, {span}), for the whole route; skies are real "
        "sequences of its days, a few days earlier or later, at its own hours; what it lacks is the built-in climate."
    )


def _at_its_word(record: "Record") -> str:
    from voyager.files.weather_sun import YEAR_ENOUGH_DAYS

    few = len(record.days.dates) < YEAR_ENOUGH_DAYS
    return "the file is taken at its word" + (", and so few days of weather make the odds too sure" if few else "")


def _forecast(frame: "Frame") -> list[str]:
    days = int(np.isfinite(frame.climate.mean).sum())
    if not days:
        return []
    skill = frame.voyage.forecast_skill
    return [
        f"Forecast: sun of {days} day{'s' if days > 1 else ''}, with a skill of {skill:g} on the first that falls by 7 "
        "% a day; after its last day it fades into the climate."
    ]


def _beyond(frame: "Frame") -> list[str]:
    """A date far off is probably a slip of the pen; those before the departure are in the file's notes."""
    last = frame.days.dates[-1]
    far = [row.date for row in frame.voyage.forecast if row.date > last]
    return [f"The forecast for {far[0]} lies beyond the days planned, to {last}, and is not used."] if far else []


def _sea(found: "Found", frame: "Frame") -> list[str]:
    if not any(leg.water in ("coastal", "open") for leg in frame.voyage.legs):
        return []
    waits = "In the one sky a coastal place costs (1 - p)/p days of waiting when cautious, half of that when middling."
    drawn = "Coastal mornings are fit to go by chance (fit_to_go), drawn once a day for the whole boat."
    known = "Where a forecast or a weather file tells the wind it is compared with wind_max_kmh instead."
    return [waits, *([drawn] if found.members else []), known]


def _odds(found: "Found", loaded: "Loaded") -> list[str]:
    if found.through is None:
        return []
    skill = found.shown.frame.voyage.forecast_skill
    own = "the climate itself may be off by 6 % (one sd)" if loaded.record is None else _at_its_word(loaded.record)
    out = [
        f"Odds: {found.members} skies (seed {found.seed}), each followed hour by hour by the policy of five classes of "
        f"morning, which are known with a skill of {skill:g}; {own}.",
    ]
    chance = float(found.through.voyages.not_held.mean())
    if chance > NOT_HELD_CHANCE:
        out.append(f"In {chance:.0%} of the skies some day is not held: carry a way to charge, or more reserve.")
    return out


def _warmth(found: "Found") -> list[str]:
    from voyager.session.plan import comfort_name

    voyage, dates = found.shown.frame.voyage, warmth_out_of_reach(found.shown)
    if not dates:
        return []
    never = voyage.shore_power == "never"
    instead = "no plug is used: a colder step is kept" if never else "there it leans on plugs or a colder step"
    days = f"{len(dates)} day{'s' if len(dates) > 1 else ''}, first on {dates[0]}"
    lead = f"Comfort '{comfort_name(found.shown)}': floor and heating reserve exceed what the battery holds"
    return [f"{lead} on {days}; {instead}."]
