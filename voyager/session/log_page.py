"""The log as the screens ask for it: lines understood while they are typed, kept, taken out, brought back.

Plain values in and out. Where the sketch on the screen is unsound its file counts: a reading can always be noted.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, NotSaved, Problems
from voyager.session import log
from voyager.session.log_line import as_line, shown_keys

if TYPE_CHECKING:
    from voyager.logbook.entries import Entry

Json = dict[str, Any]
Documents = Mapping[str, Any]


def page(voyage: str, documents: Documents) -> Json:
    """``{"entries": […], "refusal": why none can be noted, or None}``."""
    return {"entries": log.entries(voyage, documents), "refusal": _refusal(voyage)}


def _refusal(voyage: str) -> str | None:
    from voyager.files.log import refuse_unwritable

    try:
        refuse_unwritable(voyage)
    except NotSaved as fault:
        return str(fault)
    return None


def plans(voyage: str) -> Json:
    """How many entries and plans the log holds, the voyage's name with them."""
    return {"voyage": voyage, "entries": len(log.kept_entries(voyage)), "plans": log.plans_kept(voyage)}


def keep_shown(voyage: str, days: Sequence[Mapping[str, Any]], now: datetime) -> int:
    """Keep the days of a plan as the screens have them: the hours of each as JSON text. Its number."""
    whole = [{**day, "hours": json.loads(day["hours"])} for day in days]
    return log.keep_plan(voyage, {"days": whole}, now)


def understood(voyage: str, documents: Documents, text: str, now: datetime, row: Json | None) -> Json:
    """``{"text", "row", "notes", "why", "refusal", "last"}``: the entry that a line would make, nothing written.

    ``row``: the entry that is changed, None for a new one. ``why``: the sentence where the line can't be read, ``row``
    then the entry that its beginning makes. An empty line is neither. ``last``: the last entry of the log.
    """
    there = log.kept_entries(voyage)
    found: Json = {"text": text, "row": None, "notes": [], "why": None, "refusal": _refusal(voyage), "last": None}
    try:
        of = log.sound(voyage, _heeded(voyage, documents))
        found["last"] = of.told(there[-1]) if there else None
        words = text.split()
        while words and found["row"] is None:
            try:
                entry, found["notes"] = _made(of, " ".join(words), now, row, there)
                found["row"] = of.told(entry)
            except InputError as fault:
                found["why"] = found["why"] or getattr(fault, "brief", str(fault))
                words.pop()
    except InputError as fault:
        found["why"] = str(fault)
    return found


def kept(voyage: str, documents: Documents, text: str, now: datetime, row: Json | None) -> Json:
    """Note what a line says, or change the entry ``row`` to it: ``{"entry", "notes"}``. Raises InputError, NotSaved."""
    from voyager.session.log_typed import NotRead

    heeded = _heeded(voyage, documents)
    try:
        if row is None:
            values = log.parse_entry(text, voyage, now, heeded)
            return log.add(voyage, values, now, documents=heeded, once=True)
        return log.change(voyage, row["ident"], _changes(log.sound(voyage, heeded), text, row), heeded)
    except NotRead as fault:
        raise InputError(fault.brief) from None


def removed(voyage: str, documents: Documents, ident: int) -> Json:
    """Take an entry out: ``{"entry", "notes"}``."""
    return log.remove(voyage, ident, _heeded(voyage, documents))


def restored(voyage: str, row: Json) -> Json:
    """An entry as it was, under its own number, whether it was changed or taken out: ``{"ident"}``.

    ``row`` as ``session.log.entries`` tells it.
    """
    from voyager.files.log import Log, log_path, refuse_unwritable

    refuse_unwritable(voyage)
    with Log(log_path(voyage), create=True) as book:
        book.bring_back(_entry(row))
    return {"ident": row["ident"]}


def imported(voyage: str, documents: Documents, file: str, counters: bool) -> Json:
    """Readings of a file into the log: see ``log_import.imported``."""
    found = log.import_file(voyage, file, counters=counters, documents=_heeded(voyage, documents))
    return {"done": "imported", **found}


def _entry(row: Json) -> "Entry":
    from dataclasses import fields

    from voyager.logbook.entries import Entry

    time = datetime.fromisoformat(row["time_utc"])
    return Entry(time, **{one.name: row[one.name] for one in fields(Entry) if one.name != "time_utc"})


def _heeded(voyage: str, documents: Documents) -> Documents | None:
    """The sketch where it is sound, else None: what the files say."""
    try:
        log.sound(voyage, documents)
    except Problems:
        log.sound(voyage, None)
        return None
    return documents


def _made(
    of: log.Of, text: str, now: datetime, row: Json | None, there: "Sequence[Entry]"
) -> "tuple[Entry, list[str]]":
    from voyager.logbook.entries import Entry
    from voyager.session.log_typed import parse_line
    from voyager.session.log_values import with_values

    if row is None:
        values = parse_line(text, of.way, of.capacity_kwh, now)
        entry = with_values(Entry(now.replace(second=0, microsecond=0), source="screen"), values, of.capacity_kwh)
        made, notes = log.placed_entry(of, entry, there)
        return made, [*notes, *log.out_of_time(of, made, now)]
    former = next((one for one in there if one.ident == row["ident"]), None)
    if former is None:
        raise InputError("this entry was taken out of the log meanwhile")
    entry = with_values(former, _changes(of, text, row), of.capacity_kwh)
    return log.placed_entry(of, entry, [one for one in there if one.ident != former.ident])


def _changes(of: log.Of, text: str, row: Json) -> Json:
    """What a line says otherwise than the entry's own line; None for what it says no more."""
    from voyager.session.log_typed import parse_line

    then = datetime.fromisoformat(row["time_utc"])

    def read(line: str) -> Json:
        return parse_line(line, of.way, of.capacity_kwh, then, clearing=True)

    new = read(text)
    try:
        old = read(as_line(row))
    except InputError:
        old = dict.fromkeys(shown_keys(row), "")
    changes = {key: new.get(key) for key in {**old, **new} if old.get(key) != new.get(key)}
    return {key: value for key, value in changes.items() if key != "time_utc" or value is not None}
