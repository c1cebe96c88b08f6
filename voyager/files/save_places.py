"""Where a sketch's boat is kept, and how a voyage names the files beside it from another folder."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from voyager.files.save_text import reads_the_same
from voyager.files.sketch_read import boat_path, read_source, real, writable

Data = Mapping[str, Any]
NAMING = ("boat", "weather")
"""Keys of the voyage that name a file as seen from it."""


@dataclass(frozen=True)
class Place:
    """The boat goes to ``path``, made of the text at ``source``; ``expected``: the digest that is there now."""

    path: str
    source: str
    expected: str | None


def boat_place(
    path: str, target: str, voyage: dict[str, Any], boat: Data, stamp: Mapping[str, Any], remarks: Mapping[str, str]
) -> tuple[Place | None, tuple[str, ...]]:
    """Where the boat's data go, None where nothing has to be written, and notes on it."""
    old = str(stamp.get("boat_path") or "")
    if not boat:
        return None, ()
    here, changed = boat_path(path, voyage), not says(old, boat) or not _remarked(old, remarks)
    if not here:
        return None, ("the voyage names no boat file, so the boat was not written",) if changed else ()
    if target is path:
        return _place_here(here, old, changed, boat, stamp), ()
    if not changed and real(here) == old and writable(here):
        return None, ()
    if real(here) != old and os.path.exists(here) and not changed:
        return None, ()
    beside = _free(os.path.dirname(target), os.path.basename(here), target)
    return Place(beside, old or here, None), (f"the boat was written beside it: {beside}",)


def _place_here(here: str, old: str, changed: bool, boat: Data, stamp: Mapping[str, Any]) -> Place | None:
    """The file that it came from; another name in the voyage is another file."""
    if real(here) == old:
        return Place(here, here, stamp.get("boat"))
    if os.path.exists(here) and (not changed or says(here, boat)):
        return None
    return Place(here, old, None)


def says(file: str, boat: Data) -> bool:
    """Whether a boat file can be read and says what the data say."""
    source = read_source(file) if file else None
    return source is not None and source.problems is None and reads_the_same(source.data, boat)


def _remarked(file: str, remarks: Mapping[str, str]) -> bool:
    """Whether all remarks stand in a boat file already."""
    text = read_source(file).text if remarks else ""
    return all(remark in text for remark in remarks.values())


def _free(folder: str, name: str, voyage: str) -> str:
    """A name that no file has: the boat's own, else with the voyage's before it, else counted."""
    stem = os.path.splitext(os.path.basename(voyage))[0]
    names = [name, f"{stem}-{name}", *(f"{stem}-{number}-{name}" for number in range(2, 100))]
    paths = [os.path.join(folder, one) for one in names]
    return next((one for one in paths if not os.path.lexists(one) and real(one) != real(voyage)), paths[0])


def seen_from(path: str, target: str, voyage: Mapping[str, Any], place: Place | None) -> dict[str, str]:
    """The keys that name files, as the voyage at ``target`` must write them; only those that change."""
    found = {}
    for key in NAMING:
        name = voyage.get(key)
        if not isinstance(name, str) or not name or os.path.isabs(name) or "\0" in name:
            continue
        meant = os.path.join(os.path.dirname(path), name)
        if key == "boat" and place is not None:
            meant = place.path
        if real(os.path.join(os.path.dirname(target), name)) != real(meant):
            found[key] = _relative(meant, os.path.dirname(target))
    return found


def _relative(meant: str, folder: str) -> str:
    """Seen from a folder; whole where the two lie on different drives."""
    try:
        return os.path.relpath(real(meant), real(folder or ".")).replace(os.sep, "/")
    except ValueError:
        return real(meant)
