"""A sketch's data back into its two files: only what was changed, only over what was read, whole or not at all."""

import hashlib
import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from typing import Any

import tomli

from voyager.errors import NotSaved
from voyager.files.atomic import locked, sweep, write_atomically
from voyager.files.into_remarks import with_remarks
from voyager.files.save_places import boat_place, says, seen_from
from voyager.files.save_text import reads_the_same, rewritten
from voyager.files.shipped import shipped
from voyager.files.sketch_read import Source, boat_path, read_source, real, writable

Data = Mapping[str, Any]


@dataclass(frozen=True)
class Saved:
    """``top``: keys of the voyage's top table that now read otherwise, as a boat's path seen from another folder."""

    path: str
    written: tuple[str, ...]
    stamp: dict[str, Any]
    notes: tuple[str, ...]
    top: dict[str, str]


@dataclass(frozen=True)
class _Wish:
    """Data for the file at ``path``, made of the text at ``source``; ``expected``: the digest it must still have."""

    path: str
    source: str
    data: Data
    expected: str | None
    remarks: Mapping[str, str] | None = None


def save_pair(
    path: str,
    documents: Mapping[str, Data],
    stamp: Mapping[str, Any],
    to: str | None = None,
    force: bool = False,
    remarks: Mapping[str, str] | None = None,
) -> Saved:
    """Write the voyage and the boat of a sketch, each only if its data differ from what its file says.

    ``stamp`` as it was read with the files; with ``to`` the voyage goes there, and a changed boat beside it. ``force``
    writes over what was changed outside, or over what is there. ``remarks`` by dotted path of the boat go beside their
    values. Raises NotSaved, one sentence.
    """
    target = path if to is None or real(to) == real(path) else to
    voyage, boat = dict(documents["voyage"]), documents["boat"]
    place, notes = boat_place(path, target, voyage, boat, stamp, remarks or {})
    top = {} if target is path else seen_from(path, target, voyage, place)
    voyage |= top
    wishes = [_Wish(target, path, voyage, stamp.get("voyage") if target is path else None)]
    if place is not None:
        wishes.insert(0, _Wish(place.path, place.source, boat, place.expected, remarks or {}))
    with _alone([wish.path for wish in wishes]):
        made = [(wish, *_made(wish)) for wish in wishes]
        contents = [(wish, content) for wish, content, _ in made if content is not None]
        for wish, _ in contents:
            _refuse(wish, force)
        _write(contents)
    written = {wish.path: content for wish, content in contents}
    told = (*notes, *(note for wish, content, notes in made if content is not None for note in notes))
    told += () if target is path else _log_stays(path, target)
    return Saved(target, tuple(written), _stamp(target, voyage, boat, stamp, written), told, top)


@contextmanager
def _alone(paths: Sequence[str]) -> Iterator[None]:
    with ExitStack() as stack:
        for path in sorted(set(map(real, paths))):
            try:
                stack.enter_context(locked(path))
            except TimeoutError as error:
                raise NotSaved(f"{path} could not be written: {error}; nothing was written", "failed") from None
            sweep(path)
        yield


def _made(wish: _Wish) -> tuple[bytes | None, tuple[str, ...]]:
    """The new content of a file, None where it says so already, and notes on it."""
    source = read_source(wish.source)
    stays = wish.path == wish.source and source.problems is None and reads_the_same(source.data, wish.data)
    if stays and not wish.remarks:
        return None, ()
    try:
        text, notes = (source.text, ()) if stays else rewritten(source.text, wish.data)
        if wish.remarks is not None:
            text, more = with_remarks(text, tomli.loads(text), source.data, wish.remarks)
            notes = (*notes, *more)
        if stays and text == source.text:
            return None, ()
        content = source.bytes_of(text)
    except UnicodeEncodeError as error:
        what = f"U+{ord(error.object[error.start]):04X} in a text is half a sign; type that text anew"
        raise NotSaved(f"{wish.path} could not be written: {what}; nothing was written", "failed") from None
    except ValueError as error:
        raise NotSaved(f"{wish.path} could not be written: {error}; nothing was written", "failed") from None
    return content, (*notes, *_lost(wish, source))


def _log_stays(path: str, target: str) -> tuple[str, ...]:
    """A log belongs to the name of a voyage: what that means for one that goes on under another."""
    from voyager.files.log import log_path

    old, new = log_path(path), log_path(target)
    if os.path.exists(new):
        return (f"{new} was there already: it is now the log of this voyage",)
    if os.path.exists(old):
        take = f"to take it along, leave voyager and copy {old} to {new}"
        return (f"the log stays with {os.path.basename(path)}; {take}",)
    return ()


def _lost(wish: _Wish, source: Source) -> tuple[str, ...]:
    if source.problems is not None and source.digest is not None:
        return (f"{wish.source} could no longer be read as TOML, so its comments were not kept",)
    return ()


def _refuse(wish: _Wish, force: bool) -> None:
    folder, there = os.path.dirname(real(wish.path)), os.path.exists(wish.path)
    if os.path.isdir(wish.path):
        raise NotSaved(f"{wish.path} is a directory; name the file in it", "failed")
    if not os.path.isdir(folder):
        raise NotSaved(f"there is no folder {folder}; make it first, or save in another", "failed")
    if not force:
        _refuse_changed(wish, there)
    if shipped(wish.path):
        raise NotSaved(f"{wish.path} comes with voyager and stays as it is; save under another name", "read-only")
    if not writable(wish.path):
        what = "is read-only" if there else "lies in a folder that is read-only"
        raise NotSaved(f"{wish.path} {what}; save under another name", "read-only")


def _refuse_changed(wish: _Wish, there: bool) -> None:
    if wish.expected is None and there:
        raise NotSaved(f"{wish.path} is there already; write over it, or choose another name", "exists")
    if wish.expected is not None and not there:
        text = f"{wish.path} was taken away since it was opened; write it again, or save under another name"
        raise NotSaved(text, "changed-outside")
    if there and read_source(wish.path).digest != wish.expected:
        text = (
            f"{wish.path} was changed by another program since it was opened; write over it, or save under another name"
        )
        raise NotSaved(text, "changed-outside")


def _write(contents: Sequence[tuple[_Wish, bytes]]) -> None:
    """The boat first: a voyage must not name a boat that is not there."""
    done: list[str] = []
    for wish, content in contents:
        try:
            write_atomically(wish.path, content)
        except OSError as error:
            before = f"{done[0]} was written before it, and is sound" if done else "nothing was written"
            text = f"{wish.path} could not be written: {error.strerror or error}; {before}"
            raise NotSaved(text, "failed") from None
        done.append(wish.path)


def _stamp(
    target: str, voyage: dict[str, Any], boat: Data, stamp: Data, written: Mapping[str, bytes]
) -> dict[str, Any]:
    """What both files are now; a file that was not written is what it was when it was read.

    Another boat that is there, and says something else, was never read: the data are still those of the one before.
    """
    here = boat_path(target, voyage)
    digests = {real(path): hashlib.sha256(content).hexdigest() for path, content in written.items()}
    place, digest = stamp.get("boat_path"), stamp.get("boat")
    if real(here) in digests:
        place, digest = real(here), digests[real(here)]
    elif real(here) != place and (not boat or says(here, boat)):
        place, digest = real(here), read_source(here).digest if here else None
    return {"voyage": digests.get(real(target), stamp.get("voyage")), "boat": digest, "boat_path": place or ""}
