"""Where a boat is in the middle of a day, as a skipper writes it: ``14:00 km 63 61%``."""

import re
from difflib import get_close_matches
from typing import TYPE_CHECKING

from voyager.errors import InputError
from voyager.files.units import KM_PER_NM
from voyager.planner.start import Start
from voyager.route.calendar import days
from voyager.route.line import build_route

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.route.voyage import Voyage

NUMBER = r"([-+]?[0-9]+(?:\.[0-9]+)?)"
CLOCK = re.compile(r"(?<![\w:.])([0-9]{1,2}):([0-9]{2})(?![\w:.])")
CHARGE = re.compile(rf"(?<![\w.]){NUMBER}\s*(%|kwh(?!\w))", re.IGNORECASE)
DISTANCE = re.compile(rf"(?<![\w.-])(?:(km|nm)\s*{NUMBER}|{NUMBER}\s*(km|nm))(?![\w.])", re.IGNORECASE)
DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
EXAMPLE = 'write it like "14:00 km 63 61%"'
LONGEST = 80


def parse_start(text: str, loaded: "Loaded") -> "Start":
    """Time, place and charge of ``14:00 km 63 61%``, in any order; the day is that of the voyage's departure.

    The place is a kilometre, a nautical mile (``nm 34``) or a place's name, the charge percent or kWh; without one it
    is the charge that the voyage starts with. Raises InputError in one sentence.
    """
    rest = " ".join(text.split())
    if date := DATE.search(rest):
        raise _wrong(text, f"names a date; leave it out there and say it so: --depart {date[0]}")
    named, rest = _named_km(rest, loaded.voyage)
    clock, rest = _only(CLOCK, rest, text, "time")
    charge, rest = _only(CHARGE, rest, text, "charge")
    point, rest = _only(DISTANCE, rest, text, "distance")
    if clock is None:
        raise _wrong(text, f"says no time; {EXAMPLE}")
    if left := " ".join(rest.replace(",", " ").split()):
        raise _wrong(text, _unknown(left, loaded.voyage))
    if (point is None) == (named is None):
        raise _wrong(text, f"says {'two places' if point else 'no place'}; {EXAMPLE}")
    km = named if point is None else _km(point)
    hours, km = _hours(text, clock, loaded.voyage), _on_route(text, km or 0.0, loaded.voyage)
    return Start(hours, km, _kwh(text, charge, loaded))


def _wrong(text: str, what: str) -> InputError:
    return InputError(f'--from "{text if len(text) <= LONGEST else text[:LONGEST] + "…"}" {what}')


def _only(pattern: re.Pattern[str], rest: str, text: str, what: str) -> tuple[re.Match[str] | None, str]:
    """The one match of a pattern, and the text without it."""
    found = list(pattern.finditer(rest))
    if len(found) > 1:
        raise _wrong(text, f"says more than one {what}; {EXAMPLE}")
    if not found:
        return None, rest
    return found[0], f"{rest[: found[0].start()]}, {rest[found[0].end() :]}"


def _kms(voyage: "Voyage") -> list[tuple[str, float]]:
    """Names of the places in the order in which they are met, and where."""
    names = [voyage.legs[0].start, *(leg.end for leg in voyage.legs)]
    return list(zip(names, build_route(voyage).start_km.tolist(), strict=True))


def _named_km(rest: str, voyage: "Voyage") -> tuple[float | None, str]:
    """Kilometre of a place named in the text, and the text without it."""
    places = _kms(voyage)
    for name in sorted({name for name, _ in places}, key=lambda one: (-len(one), one)):
        found = re.search(rf"(?<!\w){re.escape(' '.join(name.split()))}(?!\w)", rest, re.IGNORECASE)
        if found is None:
            continue
        km = [at for one, at in places if one == name]
        if len(km) > 1:
            often = ", ".join(f"km {at:.1f}" for at in km)
            raise InputError(f"--from: {name} is passed more than once ({often}); give the kilometre")
        return km[0], f"{rest[: found.start()]} {rest[found.end() :]}"
    return None, rest


def _unknown(rest: str, voyage: "Voyage") -> str:
    near = get_close_matches(rest, [name for name, _ in _kms(voyage)], 1)
    return f'has a part "{rest}" that is no place of the voyage; ' + (f"did you mean {near[0]}?" if near else EXAMPLE)


def _km(found: re.Match[str]) -> float:
    unit = (found[1] or found[4]).lower()
    return float(found[2] or found[3]) * (KM_PER_NM if unit == "nm" else 1.0)


def _on_route(text: str, km: float, voyage: "Voyage") -> float:
    whole = _kms(voyage)[-1][1]
    if not -1e-9 <= km <= whole + 0.05:
        raise _wrong(text, f"is not on the route, which runs from km 0 to km {whole:.1f}")
    return min(max(km, 0.0), whole)


def _hours(text: str, found: re.Match[str], voyage: "Voyage") -> float:
    """Hours from the start of the day of departure to a clock time."""
    minutes = int(found[1]) * 60 + int(found[2])
    if int(found[2]) > 59 or minutes >= 24 * 60:
        raise _wrong(text, f"has no clock time in {found[0]}; times run from 00:00 to 23:59")
    starts = voyage.day_starts_min
    if minutes < starts:
        clock = f"{starts // 60:02d}:{starts % 60:02d}"
        raise _wrong(text, f"lies before the day starts at {clock} and belongs to the day before; plan from {clock} on")
    first = days(voyage.departs, 1, voyage.time_zone, starts)
    return max(0.0, float(first.hours_from_start(0, minutes)))


def _kwh(text: str, found: re.Match[str] | None, loaded: "Loaded") -> float | None:
    if found is None:
        return None
    full = loaded.vessel.battery.capacity_kwh
    kwh = float(found[1]) * (full / 100 if found[2] == "%" else 1.0)
    if not 0 <= kwh <= full * (1 + 1e-9):
        raise _wrong(text, f"has a charge that the battery cannot have; it holds 0 to {full:g} kWh (100 %)")
    return min(kwh, full)
