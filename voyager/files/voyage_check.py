"""What the top table of a voyage file must fulfil beyond the kind and range of each key."""

from collections.abc import Iterable
from datetime import date
from zoneinfo import ZoneInfo, available_timezones

from voyager.files.clock import clock_text
from voyager.files.faults import Faults
from voyager.files.printable import nearest, proposal
from voyager.files.voyage_model import ForecastTable, VoyageFile

BRIGHTEST = 1.2
"""Of a cloudless day, at most, may be forecast: clear-sky models differ by a tenth."""
MJ_PER_KWH = 3.6
NEEDS_BY = ("fewest-shore", "calmest")


def check_top(voyage: VoyageFile, faults: Faults) -> None:
    """Tell ``faults`` what cannot be in the top table, the dates of the legs and the forecast."""
    _check_zone(voyage.time_zone, faults)
    _check_travel(voyage, faults)
    _check_by(voyage, faults)
    _check_leg_dates(voyage, faults)
    _check_forecast(voyage.forecast or [], faults)
    _check_bright(voyage, faults)


def _check_zone(name: str | None, faults: Faults) -> None:
    if name is None:
        return
    try:
        ZoneInfo(name)
    except (KeyError, ValueError, OSError):
        meant = proposal(name, available_timezones()) or '; write it such as "Europe/Dublin"'
        faults.add(("time_zone",), f'there is no time zone "{name}"{meant}')


def _check_travel(voyage: VoyageFile, faults: Faults) -> None:
    if not voyage.travel:
        return
    opens, shuts = voyage.travel
    if opens >= shuts:
        text = f"begins at {clock_text(opens)} and ends at {clock_text(shuts)}: the first must be earlier"
        faults.add(("travel",), text)
    elif voyage.day_starts is not None and shuts <= voyage.day_starts:
        text = f"ends at {clock_text(shuts)}, before the day starts ({clock_text(voyage.day_starts)}); set day_starts"
        faults.add(("travel",), text)


def _check_by(voyage: VoyageFile, faults: Faults) -> None:
    if voyage.by and voyage.departs and voyage.by < voyage.departs:
        faults.add(("by",), f"{voyage.by} lies before the departure, {voyage.departs}")
    if voyage.by is None and ("by",) not in faults.bad and voyage.aim in NEEDS_BY:
        faults.add(("aim",), f'the aim "{voyage.aim}" needs by, the date of arrival at the latest')


def _check_leg_dates(voyage: VoyageFile, faults: Faults) -> None:
    earliest: date | None = None
    for number, leg in enumerate(voyage.leg):
        for key, day in (("earliest", leg.earliest), ("latest", leg.latest)):
            if day and voyage.departs and day < voyage.departs:
                faults.add(("leg", number, key), f"{day} lies before the departure, {voyage.departs}")
        if leg.latest and earliest and leg.latest < earliest and not leg.earliest:
            faults.add(("leg", number, "latest"), f"{leg.latest} lies before an earlier leg's earliest, {earliest}")
        earliest = max(filter(None, (earliest, leg.earliest)), default=None)
    if earliest and voyage.by and voyage.by < earliest:
        faults.add(("by",), f"{voyage.by} lies before a leg's earliest, {earliest}")


def _check_forecast(rows: Iterable[ForecastTable], faults: Faults) -> None:
    seen: set[date] = set()
    for number, row in enumerate(rows):
        if row.date and row.date in seen:
            faults.add(("forecast", number, "date"), f"there is a forecast for {row.date} already")
        seen.add(row.date)
        path = ("forecast", number)
        given = [key for key in ("oktas", "ghi_kwh_m2") if (*path, key) in faults.document.positions]
        if len(given) == 2:
            faults.add((*path, "ghi_kwh_m2"), "oktas stands here too; give one of them")
        elif not given:
            faults.add((*path, "oktas"), "is missing: give oktas (0 to 8) or ghi_kwh_m2")


def _check_bright(voyage: VoyageFile, faults: Faults) -> None:
    """A forecast may not tell of more sun than a cloudless day has at the brightest place of the voyage."""
    rows = [(n, row) for n, row in enumerate(voyage.forecast or []) if row.date and row.ghi_kwh_m2]
    lats = [place.at[0] for place in voyage.place or [] if place.at]
    if not rows or not lats:
        return
    from voyager.sky.forecast import clear_day_kwh_m2

    for number, row in rows:
        clear = float(clear_day_kwh_m2(lats, row.date.timetuple().tm_yday).max())
        if row.ghi_kwh_m2 and row.ghi_kwh_m2 > BRIGHTEST * clear:
            text = f"is {row.ghi_kwh_m2:g}, a cloudless {row.date} has {clear:.1f}"
            mend = f"; {row.ghi_kwh_m2 / MJ_PER_KWH:.2g} may be meant, if it was in MJ/m²"
            faults.add(("forecast", number, "ghi_kwh_m2"), text + mend)


def check_comfort_name(voyage: VoyageFile, ladder: list[str], faults: Faults) -> None:
    """Tell ``faults`` of a step that the boat's ladder does not have."""
    if voyage.comfort is not None and voyage.comfort not in ladder:
        near = nearest(voyage.comfort, ladder)
        meant = f'; did you mean "{near}"?' if near else ""
        text = f'the boat has no comfort step "{voyage.comfort}"{meant} (it has {", ".join(ladder)})'
        faults.add(("comfort",), text)
