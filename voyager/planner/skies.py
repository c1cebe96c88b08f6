"""The skies that a voyage may meet: drawn from the climate and its forecast, or real sequences of a weather file."""

from dataclasses import fields, replace
from typing import TYPE_CHECKING

import numpy as np

from voyager.planner.frame import Frame
from voyager.planner.kinds import air_ahead
from voyager.sky.chances import prior_of
from voyager.sky.draws import Skies, draw

if TYPE_CHECKING:
    from voyager.sky.record import Record

BYTES_A_MEMBER_DAY, BYTES_MEASURED = 400, 1000
"""What one member takes for each day: the skies, the draws they come from, and what is counted, with room to spare;
and with the measured hours of a weather file."""


def skies_of(frame: Frame, members: int, seed: int, days: int, record: "Record | None" = None) -> Skies:
    """Skies of ``members`` over the first ``days`` of a frame."""
    known, dates, skill = frame.climate, frame.days.dates[:days], frame.voyage.forecast_skill
    told = bool(np.isfinite(known.mean).any())
    forecast = {"mean": known.mean[:days], "spread": known.spread[:days]} if told else {}
    if record is None:
        drawn = draw(seed, members, dates, frame.stations.mean_lat, skill, **forecast)
        return _with_air(frame, days, drawn) if told else drawn
    from voyager.sky.record import record_skies

    found = record_skies(
        record,
        seed,
        members,
        dates,
        skill,
        starts_utc=frame.days.starts_utc[:days],
        lon_deg=float(frame.stations.lon[0]),
        **forecast,
    )
    found = _with_air(frame, days, found) if told else found
    if found.wind_mps is None or known.wind_table is None:
        return found
    return replace(found, sea=known.rank(found.wind_mps))


def _with_air(frame: Frame, days: int, skies: Skies) -> Skies:
    """Where the forecast tells the air too, its own mean stands, not what its clearness says of the air."""
    known, day_of_year, lat = frame.climate, frame.days.day_of_year, frame.stations.mean_lat
    prior = prior_of(day_of_year.astype(float), lat, known.mean, known.spread)
    return replace(skies, air_score=skies.air_score - air_ahead(known, prior, day_of_year, lat)[:days])


def some(skies: Skies, first: int, last: int) -> Skies:
    """Members ``first`` to ``last`` (exclusive)."""
    values = {f.name: getattr(skies, f.name) for f in fields(Skies)}
    return replace(skies, **{name: value[first:last] for name, value in values.items() if value is not None})
