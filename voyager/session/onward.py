"""On from the log: where the boat is by its last readings, as a departure and a start of the plan."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.logbook.entries import Entry
    from voyager.logbook.restart import Whereabouts

Json = dict[str, Any]
LOG = "log"
"""What stands for a start by the log."""


def onward(
    voyage_path: str, documents: Mapping[str, Any] | None = None, now: datetime | None = None
) -> Json | None:
    """``{"departs", "start", "day", "time_utc", "text"}`` by the log's last readings, None where no log is kept.

    ``now`` (aware): readings later than it are passed over. Raises InputError where the log says too little,
    Problems for unsound files.
    """
    from voyager.files.voyage_file import load_voyage

    entries = logged(voyage_path)
    if not entries:
        return None
    found = where(load_voyage(voyage_path, documents=documents), entries, now)
    return {
        "departs": found.departs, "start": found.start, "day": found.day, "text": found.text,
        "time_utc": f"{found.time_utc:%Y-%m-%dT%H:%M:%SZ}",
    }  # fmt: skip


def where(loaded: "Loaded", entries: "Sequence[Entry]", now: datetime | None = None) -> "Whereabouts":
    """Where the boat is by these readings."""
    from voyager.logbook.restart import whereabouts

    known = [one for one in entries if now is None or one.time_utc <= now]
    return whereabouts(known, loaded.voyage, loaded.vessel.battery.capacity_kwh)


def logged(voyage_path: str) -> "tuple[Entry, ...]":
    """What the voyage's log holds, in the order of time; nothing where there is none."""
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage_path)) as log:
        return log.entries()


@dataclass(frozen=True)
class Begun:
    """A voyage gone on with: ``loaded`` leaves on the day in which the boat is, ``file`` as its file has it."""

    loaded: "Loaded"
    file: "Loaded"
    where: "Whereabouts"
    entries: "tuple[Entry, ...]"


def begun(path: str, changes: Mapping[str, object] | None, documents: Mapping[str, Any] | None) -> Begun:
    """The voyage as it goes on from the day in which the boat is by its log.

    What the voyage asks keeps its own dates, those behind are over, and days lain where it asks for some count. A
    departure among the ``changes`` is refused, for the log says when. Raises InputError where there is no log.
    """
    from voyager.errors import InputError
    from voyager.files.voyage_file import load_voyage
    from voyager.logbook.restart import with_days_kept

    if changes and "departs" in changes:
        raise InputError("the log says when the boat goes on; leave the departure away")
    file, entries = load_voyage(path, changes, documents), logged(path)
    if not entries:
        raise InputError('this voyage has no log yet; note a reading with "voyager log" or say where the boat is')
    found = where(file, entries)
    return Begun(replace(file, voyage=with_days_kept(file.voyage, found)), file, found, entries)
