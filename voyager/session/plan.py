"""A voyage file in, a plan out: the object of ``plan --json``."""

import os
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from voyager.errors import Cancelled

if TYPE_CHECKING:
    from voyager.boat.vessel import Vessel
    from voyager.planner.outlook import Outlook

Json = dict[str, object]

Progress = Callable[[float, str], None]


def plan(
    path: str,
    changes: Mapping[str, object] | None = None,
    *,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Json:
    """Plan a voyage under its one sky. ``changes`` as the screens make them (departs, sky, aim, by, comfort, legs).

    Raises Problems for unsound files, Cancelled where ``cancelled`` says so between two parts of the work.
    """
    from voyager.files.voyage_file import load_voyage

    tick = _ticker(progress, cancelled)
    tick(0.0, "files")
    loaded = load_voyage(path, changes)
    tick(0.05, "sun and climate")
    from voyager.planner.outlook import look
    from voyager.session.mends import short_told
    from voyager.session.stuck import stuck_told
    from voyager.session.telling import cautions_told, days_told, legs_told

    found = look(loaded.vessel, loaded.voyage, tick)
    tick(0.85, "what would mend it")
    days = days_told(found.frame, found.built, found.schedule)
    legs = legs_told(found.frame, found.built, found.schedule)
    arrived = found.schedule.arrived
    return {
        "format": 1,
        "voyage": _voyage(found, loaded.voyage_path),
        "boat": _boat(loaded.vessel, loaded.boat_path, loaded.array_wp),
        "arrives": found.frame.days.dates[arrived].isoformat() if arrived is not None else None,
        "short": short_told(found, tick),
        "stuck": stuck_told(found),
        "days": days,
        "legs": legs,
        "odds": None,
        "card": [],
        "cautions": cautions_told(found.frame, days, legs, found.schedule),
        "assumptions": _assumptions(found, loaded.notes),
        "choices": {"comfort": [step.name for step in loaded.vessel.comfort]},
    }


def _ticker(progress: Progress | None, cancelled: Callable[[], bool] | None) -> Progress:
    def tick(share: float, text: str) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled("stopped before the plan was finished")
        if progress is not None:
            progress(share, text)

    return tick


def _voyage(found: "Outlook", file: str) -> Json:
    voyage = found.frame.voyage
    return {
        "name": voyage.name,
        "file": os.path.basename(file),
        "departs": voyage.departs.isoformat(),
        "time_zone": voyage.time_zone,
        "day_starts": f"{voyage.day_starts_min // 60:02d}:{voyage.day_starts_min % 60:02d}",
        "sky": voyage.sky,
        "aim": voyage.aim,
        "by": voyage.by.isoformat() if voyage.by else None,
        "comfort": _comfort(found),
        "heating_reserve_nights": voyage.heating_reserve_nights,
        "shore_power": voyage.shore_power,
        "members": 0,
        "seed": None,
        "distance_km": round(float(found.frame.route.start_km[-1]), 3),
    }


def _comfort(found: "Outlook") -> str:
    """Name of the step that the voyage asks for, the first of the boat where it names none."""
    return found.frame.vessel.comfort[found.frame.wanted].name


def _boat(vessel: "Vessel", file: str, array_wp: float) -> Json:
    return {
        "name": vessel.name,
        "file": os.path.basename(file),
        "array_wp": array_wp,
        "capacity_kwh": vessel.battery.capacity_kwh,
        "ceiling_kwh": round(vessel.battery.ceiling_kwh, 6),
        "reserve_kwh": round(vessel.battery.reserve_kwh, 6),
    }


def _assumptions(found: "Outlook", notes: tuple[str, ...]) -> list[str]:
    from voyager.session.mends import warmth_out_of_reach

    voyage = found.frame.voyage
    fortnight = {
        "cautious": "the fortnight that one in five falls below",
        "middling": "an even fortnight",
        "good": "the fortnight that one in five exceeds",
    }
    out = [
        f"Sky: one {voyage.sky} sky, {fortnight[voyage.sky]}; its arrival date is no percentile.",
        f"Horizon: {len(found.frame.days.dates)} days.",
        "Held means: on a poor day of this climate charge stays above the floor and the evening's reserve is there.",
        "Sun: NASA MERRA-2 2011-2015 clearness, bias corrected; air: ITU-R P.1510-1; wind: common practice.",
        "Coastal mornings cost waiting days by the file's fit_to_go; no sea is forecast.",
    ]
    dates = warmth_out_of_reach(found)
    if dates:
        never = voyage.shore_power == "never"
        instead = "no plug is used: a colder step is kept" if never else "there it leans on plugs or a colder step"
        days = f"{len(dates)} day{'s' if len(dates) > 1 else ''}, first on {dates[0]}"
        lead = f"Comfort '{_comfort(found)}': floor and heating reserve exceed what the battery holds"
        out.append(f"{lead} on {days}; {instead}.")
    return [*out, *notes]
