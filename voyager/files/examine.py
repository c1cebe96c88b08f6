"""Holds a voyage file and its boat file to all that is asked of them, without building anything."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from voyager.errors import Problem, Problems
from voyager.files.boat_check import OFF, check_boat
from voyager.files.boat_model import BoatFile
from voyager.files.chain_check import check_chain
from voyager.files.changes import changed
from voyager.files.faults import Faults
from voyager.files.leg_check import check_fits, check_legs
from voyager.files.notes import boat_notes, voyage_notes
from voyager.files.printable import proposal
from voyager.files.read import read
from voyager.files.sketched import sketched
from voyager.files.toml import Document, fail, read_toml
from voyager.files.voyage_check import check_comfort_name, check_top
from voyager.files.voyage_model import VoyageFile
from voyager.files.weather_voyage import voyage_weather

if TYPE_CHECKING:
    from voyager.sky.record import Record

Documents = Mapping[str, Any]


@dataclass(frozen=True)
class Examined:
    """Two sound files as their models; ``notes`` are plain sentences on what is right but worth a word.

    ``record`` is the weather file that the voyage names.
    """

    voyage: VoyageFile
    boat: BoatFile
    voyage_path: str
    boat_path: str
    notes: tuple[str, ...]
    record: "Record | None" = None


def read_boat(document: Document) -> tuple[BoatFile, Faults]:
    """A boat file as its model with all its faults; only without faults may anything be built from it."""
    if "leg" in document.data and "hull" not in document.data:
        raise fail(document.file, 1, "is a voyage file (it has legs); a boat file with a [hull] is wanted here")
    faults = Faults(document)
    boat = read(BoatFile, faults)
    check_boat(boat, faults)
    return boat, faults


def examine(
    path: str | os.PathLike[str],
    changes: Mapping[str, object] | None = None,
    documents: Documents | None = None,
) -> Examined:
    """Read and check a voyage file and the boat file that it names.

    ``changes`` as in ``files.changes``; ``documents``, ``{"voyage": {...}, "boat": {...}}``, stand for what the files
    hold, and ``path`` only says what lies beside them; an empty boat is read from its file. Raises Problems with all
    that is wrong in both; InputError for a change that names no key or leg.
    """
    found = look(path, changes, documents)
    if found.boat is None or found.problems:
        raise Problems(found.problems)
    notes = (*voyage_notes(found.voyage, _given(found.document)), *found.weather_notes, *boat_notes(found.boat))
    return Examined(found.voyage, found.boat, found.document.file, found.boat_path, notes, found.record)


@dataclass(frozen=True)
class Looked:
    """Two files, sound or not: what is at fault in a model is None, ``problems`` say all of it, in order."""

    document: Document
    voyage: VoyageFile
    boat: BoatFile | None
    boat_path: str
    problems: tuple[Problem, ...]
    weather_notes: tuple[str, ...]
    record: "Record | None"


def look(
    path: str | os.PathLike[str],
    changes: Mapping[str, object] | None = None,
    documents: Documents | None = None,
) -> Looked:
    """As ``examine``; raises Problems only for a voyage file that is not one, or cannot be read at all."""
    document, asked = changed(_document(os.fspath(path), documents), changes)
    if "hull" in document.data and "leg" not in document.data:
        raise fail(document.file, 1, "is a boat file (it has a [hull]); name the voyage file")
    faults = Faults(document, asked)
    voyage = read(VoyageFile, faults)
    record, weather_notes = _check_alone(voyage, faults)
    boat_path, boat, boat_problems = _boat(voyage.boat, faults, documents)
    if boat:
        _check_together(voyage, boat, faults)
    problems = (*faults.in_order(), *boat_problems)
    return Looked(document, voyage, boat, boat_path, problems, weather_notes, record)


def _document(path: str, documents: Documents | None) -> Document:
    return read_toml(path) if documents is None else sketched("voyage", path, documents["voyage"])


def _check_alone(voyage: VoyageFile, faults: Faults) -> "tuple[Record | None, tuple[str, ...]]":
    """What needs no boat; the weather file's record and notes on it."""
    positions = check_chain(voyage, faults)
    check_legs(voyage, positions, faults)
    check_top(voyage, faults)
    if voyage.weather is None:
        return None, ()
    return voyage_weather(voyage, _beside(faults.document.file, voyage.weather), faults)


def _check_together(voyage: VoyageFile, boat: BoatFile, faults: Faults) -> None:
    """What is at fault in the boat file is None and passed over."""
    check_comfort_name(voyage, [*(boat.comfort or {}), OFF], faults)
    if boat.hull:
        check_fits(voyage, boat.hull, boat.name or "the boat", faults)


def _beside(file: str, name: str) -> str:
    return os.path.join(os.path.dirname(file), name)


def _boat(name: str | None, faults: Faults, documents: Documents | None) -> tuple[str, BoatFile | None, list[Problem]]:
    """The boat file that the voyage names, with its own problems; not found is a problem of the voyage."""
    path = _beside(faults.document.file, name) if name else ""
    if documents is not None and documents["boat"]:
        return path, *_read_boat(sketched("boat", path, documents["boat"]))
    if not name:
        return path, None, []
    if "\0" in path or not os.path.exists(path):
        others = _others(path, os.path.basename(faults.document.file))
        faults.add(("boat",), f'there is no boat file "{name}" (seen from the voyage file){others}')
        return path, None, []
    try:
        document = read_toml(path)
    except Problems as error:
        return path, None, list(error.problems)
    return path, *_read_boat(document)


def _read_boat(document: Document) -> tuple[BoatFile | None, list[Problem]]:
    try:
        boat, found = read_boat(document)
    except Problems as error:
        return None, list(error.problems)
    return boat, found.in_order()


def _others(path: str, own: str) -> str:
    """A proposal among the TOML files of the directory but for the voyage's own."""
    try:
        names = os.listdir(os.path.dirname(path) or ".")
    except (OSError, ValueError):
        return ""
    return proposal(os.path.basename(path), [name for name in names if name.endswith(".toml") and name != own])


def _given(document: Document) -> frozenset[str]:
    """Every key of the file, dotted, rows without their number."""
    return frozenset(".".join(part for part in path if isinstance(part, str)) for path in document.positions if path)
