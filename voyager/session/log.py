"""The log of a voyage: its entries as plain values, added, changed, removed, imported; the plans kept in it.

Light: what is heavy is imported when it is asked for.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, Problems

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.logbook.entries import Entry
    from voyager.session.log_places import Way

Json = dict[str, Any]
Documents = Mapping[str, Any]
AHEAD = timedelta(minutes=10)


@dataclass(frozen=True)
class Of:
    """A sound voyage as its log sees it."""

    loaded: "Loaded"
    way: "Way"

    @property
    def capacity_kwh(self) -> float:
        return self.loaded.vessel.battery.capacity_kwh

    def told(self, entry: "Entry") -> Json:
        from voyager.session.log_values import entry_told

        return entry_told(entry, self.capacity_kwh, self.loaded.voyage.time_zone)


def sound(voyage: str, documents: Documents | None) -> Of:
    """The voyage with its boat; Problems where they are unsound."""
    from voyager.files.voyage_file import load_voyage
    from voyager.session.log_places import Way

    loaded = load_voyage(voyage, documents=documents)
    return Of(loaded, Way(loaded.voyage))


def entries(voyage: str, documents: Documents | None = None) -> list[Json]:
    """All entries in the order of time, as ``log_values.entry_told`` has them; none where no log is kept yet.

    ``documents`` as in ``session.plan``. Of an unsound voyage the log is told without percent and local time. Raises
    InputError where the log cannot be read, or there is no such voyage.
    """
    from voyager.session.log_values import entry_told
    from voyager.session.readable import readable

    found = kept_entries(voyage)
    if not found:
        readable(voyage)
        return []
    try:
        of = sound(voyage, documents)
    except Problems:
        return [entry_told(one, None, None) for one in found]
    return [of.told(one) for one in found]


def kept_entries(voyage: str) -> "tuple[Entry, ...]":
    """The same as they are kept."""
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as log:
        return log.entries()


def parse_entry(
    text: str, voyage: str, now: datetime, documents: Documents | None = None, *, changing: bool = False
) -> Json:
    """The values of one typed line, for ``add``: see ``log_typed.parse_line``. ``now`` aware; without a time it counts.

    ``changing``: for ``change``: what is not said stays as it is, the time too, and ``sun -`` takes a value out.
    """
    from voyager.session.log_typed import parse_line

    of = sound(voyage, documents)
    found = parse_line(text, of.way, of.capacity_kwh, now, clearing=changing)
    return found if changing else {"time_utc": now.replace(second=0, microsecond=0), **found}


def add(
    voyage: str,
    values: Mapping[str, object],
    now: datetime,
    *,
    source: str = "screen",
    plan: Mapping[str, Any] | None = None,
    documents: Documents | None = None,
    once: bool = False,
) -> Json:
    """Note an entry: ``{"entry": …, "notes": […]}``, on the disk when this returns.

    ``values`` by the names of an entry (``log_values.KEYS``), ``charge_percent`` may stand for ``charge_kwh``; without
    ``time_utc`` it is noted at ``now`` (aware). Place, kilometre and position are found from each other. ``plan``, an
    object of ``plan --json``, is kept with it. ``once``: one that says the same in all is in the log already, for a
    question may come twice. Raises InputError; NotSaved where the voyage can have no log.
    """
    from voyager.files.log import Log, log_path, refuse_unwritable
    from voyager.logbook.entries import Entry
    from voyager.session.log_values import with_values

    refuse_unwritable(voyage)
    of = sound(voyage, documents)
    entry = with_values(Entry(now.astimezone(UTC), source=source), values, of.capacity_kwh)
    with Log(log_path(voyage), create=True) as log:
        before = log.entries()
        entry, notes = placed_entry(of, entry, before)
        twin = next((one.ident for one in before if once and replace(one, ident=0) == entry), None)
        ident = log.add([entry])[0] if twin is None else twin
    if plan is not None:
        keep_plan(voyage, plan, now)
    notes = [*notes, *([] if twin else _same_time(entry, before)), *out_of_time(of, entry, now)]
    return {"entry": of.told(replace(entry, ident=ident)), "notes": notes}


def change(voyage: str, ident: int, values: Mapping[str, object], documents: Documents | None = None) -> Json:
    """Values of an entry anew, as in ``add``; what is not among them stays, None takes one away."""
    from voyager.files.log import Log, log_path, refuse_unwritable
    from voyager.session.log_values import with_values

    refuse_unwritable(voyage)
    of = sound(voyage, documents)
    with Log(log_path(voyage)) as log:
        others = [one for one in log.entries() if one.ident != ident]
        entry, notes = placed_entry(of, with_values(log.entry(ident), values, of.capacity_kwh), others)
        log.change(entry)
    return {"entry": of.told(entry), "notes": notes}


def remove(voyage: str, ident: int, documents: Documents | None = None) -> Json:
    """Take an entry out; it is given back as it was."""
    from voyager.files.log import Log, log_path, refuse_unwritable

    refuse_unwritable(voyage)
    of = sound(voyage, documents)
    with Log(log_path(voyage)) as log:
        entry = log.entry(ident)
        log.remove(ident)
    return {"entry": of.told(entry), "notes": []}


def placed_entry(of: Of, entry: "Entry", others: "Sequence[Entry]") -> "tuple[Entry, list[str]]":
    """The entry with what follows of where it is; a place that the voyage does not have is refused."""
    from voyager.session.log_places import last_km, placed

    if entry.place is not None and of.way.named(entry.place) is None:
        raise InputError(of.way.unknown(entry.place))
    before = last_km(one for one in others if one.time_utc <= entry.time_utc)
    (found,), notes = placed(of.way, [entry], before)
    return found, notes


def _same_time(entry: "Entry", others: "Sequence[Entry]") -> list[str]:
    """A sentence where an entry of the same minute says the same kind of thing: most likely it was typed twice."""
    told = ("charge_kwh", "solar_kwh", "shore_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh")
    for one in others:
        both = any(getattr(one, name) is not None and getattr(entry, name) is not None for name in told)
        if both and one.time_utc.replace(second=0) == entry.time_utc.replace(second=0):
            return [f"entry {one.ident} is of the same time; if one of the two is too many, remove it"]
    return []


def out_of_time(of: Of, entry: "Entry", now: datetime) -> list[str]:
    """A sentence where the time is most likely meant to be another: nothing is refused for it."""
    from zoneinfo import ZoneInfo

    from voyager.report.words import long_date

    zone = ZoneInfo(of.loaded.voyage.time_zone)
    noted = entry.time_utc.astimezone(zone)
    told = f"{long_date(noted.date().isoformat())} {noted:%H:%M}"
    if entry.time_utc > now + AHEAD:
        return [f"{told} is still to come; if another day is meant, change it and name the date"]
    if noted.date() < of.loaded.voyage.departs - timedelta(days=1):
        return [f"{told} is before the voyage departs, on {long_date(of.loaded.voyage.departs.isoformat())}"]
    return []


def plans_kept(voyage: str) -> int:
    """How many plans the log keeps."""
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as log:
        return len(log.plans())


def keep_plan(voyage: str, plan: Mapping[str, Any], now: datetime) -> int:
    """Keep the days of a plan (the object of ``plan --json``) in the log, as it was made at ``now``; its number."""
    from voyager.files.log import Log, log_path, refuse_unwritable
    from voyager.logbook.timeline import slim

    refuse_unwritable(voyage)
    with Log(log_path(voyage), create=True) as log:
        return log.keep_plan(now, slim(plan["days"]))


def keep_first_plan(voyage: str, now: datetime, progress: "Callable[[float, str], None] | None" = None) -> str | None:
    """Where the log keeps no plan yet: plan the voyage under its one sky and keep that, to hold the days against.

    A sentence where that cannot be done: the entries stand without it. None otherwise.
    """
    if plans_kept(voyage):
        return None
    from voyager.errors import Cancelled, VoyagerError
    from voyager.session.plan import plan

    try:
        keep_plan(voyage, plan(voyage, members=0, progress=progress), now)
    except Cancelled:
        raise
    except VoyagerError as fault:
        return f"no plan was kept to hold the days against: {fault}"
    return None


def import_file(voyage: str, file: str, *, counters: bool = False, documents: Documents | None = None) -> Json:
    """Readings of a CSV or a GPX track into the log: see ``log_import.imported``."""
    from voyager.session.log_import import imported

    of = sound(voyage, documents)
    return imported(voyage, of.way, of.capacity_kwh, file, counters)


def log_name(voyage: str) -> str:
    """Name of the voyage's log file, which may not be there yet."""
    import os

    from voyager.files.log import log_path

    return os.path.basename(log_path(voyage))
