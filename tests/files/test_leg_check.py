"""Locks held against the boat: the classes of European waterways."""

from itertools import pairwise
from pathlib import Path

import pytest

from tests.files.support import pair, voyage_problems
from voyager.files.voyage_file import load_voyage

CLASSES = {"I": (38.5, 5.05), "II": (50.0, 6.6), "III": (67.0, 8.2), "IV": (80.0, 9.5), "Va": (95.0, 11.4)}
"""Length and beam of a class's vessel, m: ECMT Resolution 92/2, the lower figure where it gives two."""
SMALLER = tuple(pairwise(CLASSES))


def _locked(directory: Path, vessel: tuple[float, float], lock: tuple[float, float]) -> Path:
    """A hull of the given length and beam before a lock of the given length and beam."""
    boat = ("[hull]\n", f"[hull]\nwaterline_m = {vessel[0]}\nbeam_m = {vessel[1]}\n")
    leg = f'to = "Carlow"\nlocks = 1\nlock_length_m = {lock[0]}\nlock_beam_m = {lock[1]}\n'
    return pair(directory, boat=boat, voyage=('to = "Carlow"\n', leg))


@pytest.mark.parametrize(("less", "more"), SMALLER)
def test_a_vessel_of_one_class_does_not_fit_the_locks_of_the_class_below(tmp_path: Path, less: str, more: str) -> None:
    found = voyage_problems(_locked(tmp_path, CLASSES[more], CLASSES[less]))
    assert {key for _, _, key, _ in found} == {"leg[1].lock_length_m", "leg[1].lock_beam_m"}


@pytest.mark.parametrize(("less", "more"), SMALLER)
def test_it_fits_those_of_the_class_above(tmp_path: Path, less: str, more: str) -> None:
    assert load_voyage(_locked(tmp_path, CLASSES[less], CLASSES[more])).voyage.legs[0].locks == 1
