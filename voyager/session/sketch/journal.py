"""Every edit on disk at once, so that a crash loses none; offered back at the next start."""

import os
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from voyager.session.sketch.coded import applied, decoded, delta, encoded, sketch_in, sketch_out
from voyager.session.sketch.state import ROWS, Sketch, sketch_of

Step = tuple[Sketch, str]
FORMAT = 1
UNREADABLE = (LookupError, TypeError, ValueError, AttributeError, RecursionError)
BEFORE = "the voyage as these edits found it"


class Journal:
    """Edits of one voyage since it was last saved. Nothing is on disk before the first of them.

    No method raises for a disk that fails: ``news`` then gives one sentence, once, and ``saved`` tries again.
    """

    def __init__(self, path: str | os.PathLike[str], now: Sketch) -> None:
        self.path = os.fspath(path)
        self._taken, self._undone = [now], list[Sketch]()
        self._kept, self._kept_undone = [now], list[Sketch]()
        self._file: Any = None
        self._begun, self._failed, self._told, self._typing = False, False, False, False
        self._news: str | None = None

    @classmethod
    def begin(cls, path: str | os.PathLike[str], documents: Mapping[str, Any]) -> "Journal":
        """A journal for a voyage that has just been opened; one that a crash left stays beside it."""
        return cls(path, sketch_of(documents))

    @classmethod
    def resume(cls, path: str | os.PathLike[str], offer: Mapping[str, Any], base: Sketch) -> "Journal":
        """Goes on with the journal of an offer that was taken up: ``base`` as given to ``restored``."""
        from voyager.files import journal

        made, (taken, undone) = cls(path, base), restored(offer, base)
        if offer["base_matches"]:
            made._file = journal.again(offer["file"])
        if made._file is None:
            made._again(taken, undone)
            if not made._failed:
                forget(offer)
            return made
        first = sketch_in(offer["base"])
        made._begun = True
        made._taken, made._undone = [base, *(step for step, _ in taken)], [step for step, _ in reversed(undone)]
        made._kept, made._kept_undone = [first, *made._taken[1:]], list(made._undone)
        return made

    def _again(self, taken: list[Step], undone: list[Step]) -> None:
        """Tell all steps anew."""
        for sketch, label in (*taken, *undone):
            self.edit(self._taken[-1], sketch, label)
        for _ in undone:
            self.undo()

    def edit(self, before: Sketch, after: Sketch, label: str) -> None:
        """One edit, done."""
        if before != self._taken[-1]:
            if not self._begun:
                self._kept = [before]
            self._taken.append(before)
        self._taken.append(after)
        self._undone.clear()
        self._keep(after, label)

    def undo(self, now: Sketch | None = None) -> None:
        """The last edit was taken back; ``now`` is the sketch since then, where the journal should not know it."""
        if len(self._taken) > 1:
            self._undone.append(self._taken.pop())
        now = self._taken[-1] if now is None else now
        if len(self._kept) > 1 and self._kept[-2] == now:
            self._kept_undone.append(self._kept.pop())
            self._write({"do": "undo"})
        else:
            self._keep(now, "take back")

    def redo(self, now: Sketch | None = None) -> None:
        """The last one taken back was done again; ``now`` as in ``undo``."""
        if self._undone:
            self._taken.append(self._undone.pop())
        now = self._taken[-1] if now is None else now
        if self._kept_undone and self._kept_undone[-1] == now:
            self._kept.append(self._kept_undone.pop())
            self._write({"do": "redo"})
        else:
            self._keep(now, "do again")

    def typing(self, where: Mapping[str, Any] | None) -> None:
        """Text half typed into a cell (any plain values); None once the cell is closed."""
        if where is None and not self._typing:
            return
        self._write({"do": "typing", "where": None if where is None else encoded(where)})
        self._typing = where is not None

    def saved(self) -> None:
        """The files hold all edits: start afresh."""
        self._kept, self._kept_undone = [self._taken[-1]], []
        self._begun = self._failed = self._typing = False
        if self._file is not None:
            self._tried(self._file.empty)

    def close(self, clean: bool) -> None:
        """At the end; ``clean`` drops the edits, else they are offered at the next start."""
        if self._file is not None:
            self._file.close(keep=not clean and self._begun)
            self._file = None

    def news(self) -> str | None:
        """One sentence where edits are not being kept on disk, told once."""
        news, self._news = self._news, None
        return news

    def _keep(self, after: Sketch, label: str) -> None:
        """One edit in the file."""
        told = delta(self._kept[-1], after)
        self._kept.append(after)
        self._kept_undone.clear()
        self._write({"do": "edit", "label": label, "delta": told})

    def _write(self, record: Mapping[str, Any]) -> None:
        if not self._failed:
            self._tried(lambda: self._append(record))
        if record["do"] != "typing":
            self._typing = False

    def _append(self, record: Mapping[str, Any]) -> None:
        from voyager.files import journal

        if self._file is None:
            self._file = journal.fresh(self.path)
        if not self._begun:
            head = {"journal": FORMAT, "voyage": os.path.realpath(self.path), "base": sketch_out(self._kept[0])}
            self._file.append(head)
            self._begun = True
        self._file.append(record)

    def _tried(self, act: Callable[[], None]) -> None:
        try:
            act()
        except (OSError, ValueError, TypeError) as error:
            self._failed = True
            if not self._told:
                why = getattr(error, "strerror", None) or str(error)
                self._news = f"edits are not being kept on disk ({why}): what is not saved would be lost in a crash"
            self._told = True


def offered(path: str | os.PathLike[str], documents: Mapping[str, Any] | None = None) -> dict[str, Any] | None:
    """The newest journal of a voyage that a crash left, None where there is none; plain values, as ``restored`` takes.

    ``edits``: how many were done, ``undone``: how many taken back; ``typing``: what was half typed, or None; ``when``:
    ISO 8601, UTC; ``base_matches``: whether the files still say what they said when the edits began. ``documents``:
    what they say, where it is known.
    """
    from voyager.files import journal

    for file, records, when in journal.left(os.fspath(path)):
        if not records:
            journal.drop(file)
            continue
        try:
            offer = _offer(file, records, when)
            base = sketch_in(offer["base"])
        except UNREADABLE:
            journal.sweep(file)
            continue
        try:
            said = _documents(path) if documents is None else documents
            offer["base_matches"] = _matches(base, said)
        except UNREADABLE:
            continue
        if offer["edits"] or offer["undone"] or offer["typing"] is not None:
            return offer if offer["edits"] else {**offer, "typing": _as_opened(offer["typing"], base, sketch_of(said))}
        journal.drop(file)
    return None


def waiting(paths: Sequence[str]) -> list[str]:
    """Those of some voyages of which edits were left by a session that did not end."""
    from voyager.files.journal import left

    return [path for path in paths if any(records for _, records, _ in left(path))]


def _offer(file: str, records: list[dict[str, Any]], when: str) -> dict[str, Any]:
    """A journal of another format is left for the program that wrote it, for a month: ValueError."""
    if records[0]["journal"] != FORMAT:
        raise ValueError("another format")
    offer: dict[str, Any] = {"file": file, "base": records[0]["base"], "history": [], "typing": None, "when": when}
    for record in records[1:]:
        offer["typing"] = decoded(record.get("where"))
        if record["do"] != "typing":
            offer["history"].append(record)
    taken, undone = _steps(offer)
    return offer | {"edits": len(taken), "undone": len(undone)}


def _as_opened(typing: Any, base: Sketch, now: Sketch) -> Any:
    """What was half typed, in the row as it is known when its file has just been opened."""
    if not isinstance(typing, Mapping) or not isinstance(typing.get("row"), int):
        return typing
    pairs = (pair for name in ROWS.values() for pair in zip(getattr(base, name), getattr(now, name), strict=False))
    known = {was.ident: row.ident for was, row in pairs}
    return {**typing, "row": known.get(typing["row"], typing["row"])}


def _documents(path: str | os.PathLike[str]) -> Mapping[str, Any]:
    from voyager.files.sketch_read import read_pair

    return read_pair(os.fspath(path)).documents


def _matches(base: Sketch, documents: Mapping[str, Any]) -> bool:
    from voyager.files.save_text import reads_the_same

    said = base.documents()
    return all(reads_the_same(documents[kind], said[kind]) for kind in ("voyage", "boat"))


def restored(offer: Mapping[str, Any], base: Sketch) -> tuple[list[Step], list[Step]]:
    """Steps taken after ``base``, the sketch of the files as they are, and steps taken back, the nearest first.

    Where the files have changed since, the first step is what they said when the edits began.
    """
    taken, undone = _steps(offer)
    if not offer["base_matches"]:
        taken.insert(0, (sketch_in(offer["base"]), BEFORE))
    return taken, undone[::-1]


def _steps(offer: Mapping[str, Any]) -> tuple[list[Step], list[Step]]:
    """Steps done and steps taken back, each in the order in which that was."""
    base = sketch_in(offer["base"])
    taken, undone = list[Step](), list[Step]()
    for record in offer["history"]:
        if record["do"] == "edit":
            taken.append((applied(taken[-1][0] if taken else base, record["delta"]), str(record["label"])))
            undone.clear()
        elif record["do"] == "undo" and taken:
            undone.append(taken.pop())
        elif record["do"] == "redo" and undone:
            taken.append(undone.pop())
    return taken, undone


def forget(offer: Mapping[str, Any]) -> None:
    """The offer was dropped."""
    from voyager.files import journal

    journal.drop(offer["file"])
