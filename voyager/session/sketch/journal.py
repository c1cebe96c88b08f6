"""Every edit on disk at once, so that a crash loses none; offered back at the next start."""

import os
from collections.abc import Mapping
from typing import Any

from voyager.session.sketch.state import Sketch

Step = tuple[Sketch, str]


class Journal:
    """Edits of one voyage since it was last saved. Nothing is on disk before the first edit; no method raises for a
    disk that fails: ``news`` then gives one sentence, once."""

    @classmethod
    def begin(cls, path: str | os.PathLike[str], documents: Mapping[str, Any]) -> "Journal":
        """A journal for a voyage that has just been opened."""
        raise NotImplementedError

    @classmethod
    def resume(cls, path: str | os.PathLike[str], offer: Mapping[str, Any], base: Sketch) -> "Journal":
        """Goes on with the journal of an offer that was taken up."""
        raise NotImplementedError

    def edit(self, before: Sketch, after: Sketch, label: str) -> None:
        """One edit, done."""
        raise NotImplementedError

    def undo(self) -> None:
        """The last edit was taken back."""
        raise NotImplementedError

    def redo(self) -> None:
        """The last one taken back was done again."""
        raise NotImplementedError

    def typing(self, where: Mapping[str, Any] | None) -> None:
        """Text half typed into a cell; None once the cell is closed."""
        raise NotImplementedError

    def saved(self) -> None:
        """The files hold all edits: start afresh."""
        raise NotImplementedError

    def close(self, clean: bool) -> None:
        """At the end; ``clean`` drops the edits, else they are offered at the next start."""
        raise NotImplementedError

    def news(self) -> str | None:
        """One sentence where edits are not being kept on disk, told once."""
        raise NotImplementedError


def offered(path: str | os.PathLike[str]) -> dict[str, Any] | None:
    """``{"history", "typing", "when" (ISO), "edits", "base_matches", …}`` of the newest journal that a crash left."""
    raise NotImplementedError


def restored(offer: Mapping[str, Any], base: Sketch) -> tuple[list[Step], list[Step]]:
    """Steps taken after ``base``, and steps that had been taken back, the nearest first."""
    raise NotImplementedError


def forget(offer: Mapping[str, Any]) -> None:
    """The offer was dropped."""
    raise NotImplementedError
