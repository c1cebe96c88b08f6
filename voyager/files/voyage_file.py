"""From a voyage file and the boat file that it names to the frozen voyage and vessel."""

import os
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from voyager.boat.vessel import Vessel
from voyager.files.boat_file import build_vessel
from voyager.files.examine import examine
from voyager.files.voyage_build import build_voyage
from voyager.route.voyage import Voyage

if TYPE_CHECKING:
    from voyager.sky.record import Record


@dataclass(frozen=True)
class Loaded:
    """A voyage with its boat, both sound; ``notes`` are plain sentences on what is right but worth a word.

    ``record`` is the weather file that the voyage names, None where it names none.
    """

    voyage: Voyage
    vessel: Vessel
    voyage_path: str
    boat_path: str
    notes: tuple[str, ...] = ()
    record: "Record | None" = None

    @property
    def array_wp(self) -> float:
        """Rated power of all arrays, Wp."""
        return sum(array.rated_w for array in self.vessel.arrays)


def load_voyage(
    path: str | os.PathLike[str],
    changes: Mapping[str, object] | None = None,
    documents: Mapping[str, Any] | None = None,
) -> Loaded:
    """Read, check and build a voyage and its boat.

    ``changes`` as in ``files.changes``, ``documents`` as in ``files.examine``. Raises Problems with all that is
    wrong in both files; InputError for a change that names no key or leg.
    """
    sound = examine(path, changes, documents)
    return Loaded(
        voyage=build_voyage(sound.voyage, Path(sound.voyage_path).stem),
        vessel=build_vessel(sound.boat),
        voyage_path=sound.voyage_path,
        boat_path=sound.boat_path,
        notes=sound.notes,
        record=sound.record,
    )
