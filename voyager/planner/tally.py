"""What a run through many skies comes to: the ``odds`` of a plan as plain values."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from voyager.planner.estimates import (
    chance_told,
    mean_se,
    quantiles,
    rank,
    shown,
    shown_chance,
    shown_mean,
    shown_se,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Json = dict[str, object]
SAME_KM = 1e-6
LEAST, MOST = 0.005, 0.995
"""Chances of arrival between which a date is listed."""


@dataclass(frozen=True)
class Voyages:
    """M members that followed one policy for D days.

    ``arrive_day`` (M,) day of arrival as a place in ``dates``, -1 never; ``arrive_days`` (M,) days from departure to
    making fast, read where the member arrives. ``plugged`` (M,D) whether the evening plugs in, ``plug_place`` (M,D)
    the mooring's number, -1 none, ``shore_kwh`` (M,D) at the socket. ``below`` (M,) any hour below the floor,
    ``not_held`` (M,) any day not held. ``solar_kwh`` … ``propulsion_kwh`` (M,) over the voyage; ``asked_h``,
    ``warm_h`` (M,) hours with a setpoint of the voyage's step, and those of them kept. ``charge_end_kwh``, ``km`` (M,D)
    as each day ends; nan where a member is followed no more. ``places`` names the moorings by their number.
    """

    arrive_day: Ints
    arrive_days: Floats
    plugged: Bools
    plug_place: Ints
    shore_kwh: Floats
    below: Bools
    not_held: Bools
    solar_kwh: Floats
    spilled_kwh: Floats
    heating_kwh: Floats
    propulsion_kwh: Floats
    asked_h: Floats
    warm_h: Floats
    charge_end_kwh: Floats
    km: Floats
    dates: Sequence[date]
    places: Sequence[str]

    @property
    def members(self) -> int:
        """Number of members M, 1 at least."""
        return len(self.arrive_day)

    @property
    def arrived(self) -> Ints:
        """Members that have arrived by the end of each day, (D,)."""
        days = self.arrive_day[self.arrive_day >= 0]
        return np.cumsum(np.bincount(days, minlength=len(self.dates)))


def tally(voyages: Voyages, seed: int) -> Json:
    """The object ``odds``, every figure with the digits that its standard error carries (``estimates``)."""
    members = voyages.members
    return {
        "members": members,
        "seed": seed,
        "arrival": _arrival(voyages),
        "shore": _shore(voyages),
        "below_reserve": chance_told(int(voyages.below.sum()), members),
        "not_held": chance_told(int(voyages.not_held.sum()), members),
        "energy": _energy(voyages),
        "warmth": _warmth(voyages),
        "days": _days(voyages),
    }


def _arrival(voyages: Voyages) -> Json:
    days = voyages.arrive_days[voyages.arrive_day >= 0]
    mean, se = mean_se(days) if len(days) else (None, None)
    never = (voyages.members - len(days)) / voyages.members
    return {
        **{f"p{percent}": _date_of(voyages, percent) for percent in (10, 50, 90)},
        "mean_days": None if mean is None else shown(mean, se),
        "se_days": shown_se(se),
        "by_date": _by_date(voyages),
        "never": shown_chance(never, voyages.members),
    }


def _date_of(voyages: Voyages, percent: int) -> str | None:
    """The first date by which this share of all members has arrived; None where fewer ever do."""
    enough = np.flatnonzero(voyages.arrived > rank(percent, voyages.members))
    return voyages.dates[enough[0]].isoformat() if len(enough) else None


def _by_date(voyages: Voyages) -> list[Json]:
    members = voyages.members
    rows = zip(voyages.dates, voyages.arrived.tolist(), strict=True)
    inside = ((day, count) for day, count in rows if LEAST <= count / members <= MOST)
    return [{"date": day.isoformat(), **chance_told(count, members)} for day, count in inside]


def shore_stops(voyages: Voyages) -> Ints:
    """Stays with a plug of each member, (M,): neighbouring evenings at one mooring are one stay.

    A stay counts once also where a plug is taken on some of its evenings only.
    """
    stay = np.cumsum(np.abs(np.diff(voyages.km, axis=1, prepend=-1.0)) > SAME_KM, axis=1)
    count = np.zeros(voyages.members, dtype=np.int64)
    last = np.full(voyages.members, -1, dtype=np.int64)
    for day in range(stay.shape[1]):
        new = voyages.plugged[:, day] & (stay[:, day] != last)
        count += new
        last = np.where(voyages.plugged[:, day], stay[:, day], last)
    return count


def _shore(voyages: Voyages) -> Json:
    stops, se = mean_se(shore_stops(voyages).astype(np.float64))
    return {
        "stops_mean": shown(stops, se),
        "stops_se": shown_se(se),
        **chance_told(int(voyages.plugged.any(axis=1).sum()), voyages.members),
        "kwh_mean": shown_mean(voyages.shore_kwh.sum(axis=1)),
        "places": _plug_places(voyages),
    }


def _plug_places(voyages: Voyages) -> list[Json]:
    """Each place that is plugged in at, the likeliest first; its energy is the mean of the members that use it."""
    used: dict[str, Bools] = {}
    for number in np.unique(voyages.plug_place[voyages.plugged]):
        here = voyages.plugged & (voyages.plug_place == number)
        name = voyages.places[number]
        used[name] = used[name] | here if name in used else here
    rows = [(int(here.any(axis=1).sum()), name) for name, here in used.items()]
    return [
        {
            "place": name,
            **chance_told(count, voyages.members),
            "kwh_mean": shown_mean(_kwh_of_users(voyages.shore_kwh, used[name])),
        }
        for count, name in sorted(rows, key=lambda row: (-row[0], row[1]))
    ]


def _kwh_of_users(shore_kwh: Floats, here: Bools) -> Floats:
    taken: Floats = np.where(here, shore_kwh, 0.0).sum(axis=1)
    return taken[here.any(axis=1)]


def _energy(voyages: Voyages) -> Json:
    names = ("solar_kwh", "spilled_kwh", "heating_kwh", "propulsion_kwh")
    return {f"{name}_mean": shown_mean(getattr(voyages, name)) for name in names}


def _warmth(voyages: Voyages) -> Json:
    return {
        "asked_hours": shown_mean(voyages.asked_h),
        "warm_hours_mean": shown_mean(voyages.warm_h),
        "warm_hours_p10": quantiles(voyages.warm_h, (10,))[0],
    }


def _days(voyages: Voyages) -> list[Json]:
    """One object a day until all have arrived."""
    arrived = voyages.arrived
    over = np.flatnonzero(arrived == voyages.members)
    return [_day(voyages, day, int(arrived[day])) for day in range(int(over[0]) + 1 if len(over) else len(arrived))]


def _km(voyages: Voyages, day: int) -> Floats:
    """Where all members are as a day ends (M,): those that have arrived where they did."""
    home = np.flatnonzero((voyages.arrive_day >= 0) & (voyages.arrive_day < day))
    km = voyages.km[:, day].copy()
    km[home] = voyages.km[home, voyages.arrive_day[home]]
    return km


def _day(voyages: Voyages, day: int, arrived: int) -> Json:
    charge, km = (column[~np.isnan(column)] for column in (voyages.charge_end_kwh[:, day], _km(voyages, day)))
    percents = ("p10", "p50", "p90")
    return {
        "day": day + 1,
        "date": voyages.dates[day].isoformat(),
        **{f"charge_end_{name}_kwh": value for name, value in zip(percents, quantiles(charge), strict=True)},
        **{f"km_{name}": value for name, value in zip(percents, quantiles(km), strict=True)},
        "arrived": shown_chance(arrived / voyages.members, voyages.members),
    }
