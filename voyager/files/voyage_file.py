"""From a voyage file and the boat file that it names to the frozen voyage and vessel."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath

from voyager.boat.vessel import Vessel
from voyager.errors import Problem, Problems
from voyager.files.boat_file import build_vessel, read_boat
from voyager.files.boat_model import BoatFile
from voyager.files.chain_check import check_chain, check_on_land
from voyager.files.changes import changed
from voyager.files.faults import Faults
from voyager.files.leg_check import check_fits, check_legs
from voyager.files.notes import boat_notes, voyage_notes
from voyager.files.printable import proposal
from voyager.files.read import read
from voyager.files.toml import Document, fail, read_toml
from voyager.files.voyage_build import build_voyage
from voyager.files.voyage_check import check_comfort_name, check_top
from voyager.files.voyage_model import VoyageFile
from voyager.files.weather_file import weather_fault
from voyager.route.voyage import Voyage


@dataclass(frozen=True)
class Loaded:
    """A voyage with its boat, both sound; ``notes`` are plain sentences on what is right but worth a word."""

    voyage: Voyage
    vessel: Vessel
    voyage_path: str
    boat_path: str
    notes: tuple[str, ...] = ()

    @property
    def array_wp(self) -> float:
        """Rated power of all arrays, Wp."""
        return sum(array.rated_w for array in self.vessel.arrays)


def load_voyage(path: str | os.PathLike[str], changes: Mapping[str, object] | None = None) -> Loaded:
    """Read, check and build a voyage and its boat.

    ``changes`` as in ``files.changes``. Raises Problems with all that is wrong in both files; InputError for
    a change that names no key or leg.
    """
    document, asked = changed(read_toml(path), changes)
    if "hull" in document.data and "leg" not in document.data:
        raise fail(document.file, 1, "is a boat file (it has a [hull]); name the voyage file")
    faults = Faults(document, asked)
    model = read(VoyageFile, faults)
    _check_alone(model, faults)
    boat_path, boat, boat_problems = _boat(model.boat, faults)
    vessel = build_vessel(boat) if boat and not boat_problems else None
    if boat:
        check_comfort_name(model, [*(boat.comfort or {}), "off"], faults)
    if vessel:
        check_fits(model, vessel.hull, vessel.name, faults)
    if vessel is None or boat is None or faults.problems:
        raise Problems([*sorted(faults.problems), *sorted(boat_problems)])
    notes = (*voyage_notes(model, _given(document)), *boat_notes(boat, vessel))
    voyage = build_voyage(model, FilePath(document.file).stem)
    return Loaded(voyage, vessel, document.file, boat_path, notes)


def _check_alone(model: VoyageFile, faults: Faults) -> None:
    positions = check_chain(model, faults)
    check_on_land(model, positions, faults)
    check_legs(model, positions, faults)
    check_top(model, faults)
    if model.weather is not None and (fault := weather_fault(_beside(faults.document.file, model.weather))):
        faults.add(("weather",), fault)


def _beside(file: str, name: str) -> str:
    return os.path.join(os.path.dirname(file), name)


def _boat(name: str | None, faults: Faults) -> tuple[str, BoatFile | None, list[Problem]]:
    """The boat file that the voyage names, with its own problems; not found is a problem of the voyage."""
    if not name:
        return "", None, []
    path = _beside(faults.document.file, name)
    if "\0" in path or not os.path.exists(path):
        faults.add(("boat",), f'there is no boat file "{name}" (seen from the voyage file){_others(path)}')
        return path, None, []
    try:
        boat, found = read_boat(read_toml(path))
    except Problems as error:
        return path, None, list(error.problems)
    return path, boat, found.problems


def _others(path: str) -> str:
    """A proposal among the TOML files of the directory."""
    try:
        names = os.listdir(os.path.dirname(path) or ".")
    except (OSError, ValueError):
        return ""
    return proposal(os.path.basename(path), [name for name in names if name.endswith(".toml")])


def _given(document: Document) -> frozenset[str]:
    """Every key of the file, dotted, rows without their number."""
    return frozenset(".".join(part for part in path if isinstance(part, str)) for path in document.positions if path)
