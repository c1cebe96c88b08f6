"""A voyage file in, a plan out: the object of ``plan --json``."""

import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from voyager.errors import Cancelled

if TYPE_CHECKING:
    from voyager.boat.vessel import Vessel
    from voyager.files.voyage_file import Loaded
    from voyager.planner.many import Followed
    from voyager.planner.outlook import Outlook
    from voyager.planner.start import Start

Json = dict[str, object]

Progress = Callable[[float, str], None]


def plan(
    path: str,
    changes: Mapping[str, object] | None = None,
    *,
    documents: Mapping[str, Any] | None = None,
    members: int = 0,
    seed: int = 1,
    start: "str | Start | None" = None,
    progress: Progress | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Json:
    """Plan a voyage: under its one sky, or with ``members`` for many, whose odds and morning card then stand beside it.

    ``changes`` as the screens make them (departs, sky, aim, by, comfort, legs); ``documents``, ``{"voyage", "boat"}``,
    stand for what the files hold; ``start`` plans on from the middle of
    the first day ("14:00 km 63 61%"), or from the last readings of the voyage's log ("log"), whose days then stand in
    ``past``. Raises Problems for unsound files, InputError for more members than memory holds,
    Cancelled where ``cancelled`` says so between two parts of the work.
    """
    tick = ticker(progress, cancelled)
    tick(0.0, "files")
    loaded, begin, before = begun_at(path, changes, documents, start)
    tick(0.05, "sun and climate")
    found = _found(loaded, members, seed, begin, tick)
    tick(0.9, "what would mend it")
    return told(loaded, found, tick) | before


@dataclass(frozen=True)
class Found:
    """What a plan is told from: the outlook that is shown, the one of the one sky, the run through many skies."""

    shown: "Outlook"
    one: "Outlook"
    through: "Followed | None"
    members: int
    seed: int
    start: "Start | None"


def begun_at(
    path: str,
    changes: Mapping[str, object] | None,
    documents: Mapping[str, Any] | None,
    start: "str | Start | None",
) -> "tuple[Loaded, Start | None, Json]":
    """The voyage, where its plan begins, and what else the plan then tells: the days past, if the log says where."""
    from voyager.files.voyage_file import load_voyage
    from voyager.session.onward import LOG, begun
    from voyager.session.past import past_told

    if start == LOG:
        found = begun(path, changes, documents)
        return found.loaded, found.where.start, past_told(found)
    loaded = load_voyage(path, changes, documents)
    if not isinstance(start, str):
        return loaded, start, {}
    from voyager.session.midday import parse_start

    return loaded, parse_start(start, loaded), {}


def _found(loaded: "Loaded", members: int, seed: int, begin: "Start | None", tick: Progress) -> Found:
    from voyager.planner.outlook import LONGEST_DAYS, look, look_many
    from voyager.session.odds import followed, refuse_too_many

    if members <= 0:
        one = look(loaded.vessel, loaded.voyage, tick, record=loaded.record, start=begin)
        return Found(one, one, None, 0, seed, begin)
    refuse_too_many(members, LONGEST_DAYS, loaded.record is not None)
    both = look_many(loaded.vessel, loaded.voyage, tick, record=loaded.record, start=begin)
    through = followed(both.many, members, seed, loaded.record, tick)
    return Found(both.many, both.one, through, members, seed, begin)


def told(loaded: "Loaded", found: Found, tick: Progress, *, whole: bool = True) -> Json:
    """The object of ``plan --json``; not ``whole``: a draft, whose evenings, card, assumptions and mends come later."""
    from voyager.planner.tally import tally
    from voyager.session.assumptions import assumptions
    from voyager.session.card import card_told
    from voyager.session.evening import evenings_told
    from voyager.session.mends import short_told
    from voyager.session.morning import keep
    from voyager.session.stuck import stuck_told
    from voyager.session.telling import cautions_told, days_told, legs_told

    shown, through = found.shown, found.through
    keep(shown)
    frame, built, schedule = shown.frame, shown.built, shown.schedule
    days, legs = days_told(frame, built, schedule), legs_told(frame, built, schedule)
    arrived = schedule.arrived
    return {
        "format": 1,
        **_from(found),
        "voyage": _voyage(found, loaded.voyage_path),
        "boat": _boat(loaded.vessel, loaded.boat_path, loaded.array_wp),
        "arrives": frame.days.dates[arrived].isoformat() if arrived is not None else None,
        "short": short_told(shown, tick, mends=whole),
        "stuck": stuck_told(found.one) if arrived is None else None,
        "days": days,
        "legs": legs,
        "evenings": evenings_told(shown) if whole else [],
        "odds": None if through is None else tally(through.voyages, found.seed),
        "card": [] if through is None or not whole else card_told(shown, through, lambda: tick(0.95, "card")),
        "cautions": cautions_told(frame, days, legs, schedule),
        "assumptions": assumptions(found, loaded) if whole else [],
        "choices": {"comfort": [step.name for step in loaded.vessel.comfort]},
    }


def _from(found: Found) -> Json:
    """``from``, where the plan begins in the middle of a day."""
    if found.start is None:
        return {}
    from voyager.session.midday import from_told

    return {"from": from_told(found.shown, found.start)}


def ticker(progress: Progress | None, cancelled: Callable[[], bool] | None) -> Progress:
    """One callback of both: progress is told, and work stops where it is no longer wanted."""

    def tick(share: float, text: str) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled("stopped before the plan was finished")
        if progress is not None:
            progress(share, text)

    return tick


def _voyage(found: Found, file: str) -> Json:
    voyage, shown = found.shown.frame.voyage, found.shown
    return {
        "name": voyage.name,
        "file": os.path.basename(file),
        "departs": voyage.departs.isoformat(),
        "time_zone": voyage.time_zone,
        "day_starts": f"{voyage.day_starts_min // 60:02d}:{voyage.day_starts_min % 60:02d}",
        "sky": voyage.sky,
        "aim": voyage.aim,
        "by": voyage.by.isoformat() if voyage.by else None,
        "comfort": comfort_name(shown),
        "heating_reserve_nights": voyage.heating_reserve_nights,
        "shore_power": voyage.shore_power,
        "members": found.members,
        "seed": found.seed if found.members else None,
        "distance_km": round(float(shown.frame.route.start_km[-1]), 3),
    }


def comfort_name(found: "Outlook") -> str:
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
