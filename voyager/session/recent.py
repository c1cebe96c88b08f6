"""Voyages opened of late, files to choose from as a path is typed, names to propose. Light: no file is parsed here."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

MOST_LISTED: Final = 200
ENDING: Final = ".toml"


@dataclass(frozen=True)
class Found:
    """One line to choose: ``typed`` is what stands in the field when it is taken, ``path`` where it leads."""

    typed: str
    path: str
    folder: bool = False
    note: str = ""


def recent() -> list[str]:
    """Voyage files opened of late that are still there, the last one first."""
    from voyager.session.settings import load

    return [path for path in load()["recent"] if is_file(path)]


def found(text: str, base: str, kind: str, late: Sequence[str] = ()) -> list[Found]:
    """What fits a half-typed path as seen from a folder: files opened of late, then the folder's own.

    ``kind``: "voyage", "boat" or "any". Raises InputError where the folder can't be read.
    """
    from voyager.files.recent import entries, is_folder, sort

    head, tail = os.path.split(text)
    folder = whole(head, base)
    if text and not is_folder(folder):
        return []
    named = [Found(short(path), path, note=sort(path)[1]) for path in late if text.lower() in short(path).lower()]
    up = [Found(os.path.join(head, "..") + os.sep, os.path.dirname(folder), True)] if tail in {"", ".", ".."} else []
    inside = [
        Found(os.path.join(head, one.name) + (os.sep if one.folder else ""), os.path.join(folder, one.name),
              one.folder, one.note)
        for one in entries(folder, kind) if one.name.lower().startswith(tail.lower())
    ]  # fmt: skip
    files, folders = [one for one in inside if not one.folder], [one for one in inside if one.folder]
    known = {one.path for one in named}
    return [*named, *(one for one in files if one.path not in known), *folders, *up][:MOST_LISTED]


def completed(text: str, rows: Sequence[Found]) -> str:
    """A half-typed path with what all that fits it have in common."""
    names = [one.typed for one in rows if one.typed.lower().startswith(text.lower()) and not one.typed.endswith("../")]
    common = names[0] if names else text
    while not all(name.startswith(common) for name in names):
        common = common[:-1]
    return common if len(common) >= len(text) else text


def whole(text: str, base: str) -> str:
    """A typed path as a whole one: ``~`` is the home folder, the rest is seen from ``base``."""
    return os.path.abspath(os.path.join(base, os.path.expanduser(text.strip())))


def short(path: str) -> str:
    """A whole path with ``~`` for the home folder."""
    home = os.path.expanduser("~")
    return f"~{path[len(home) :]}" if home != os.sep and path.startswith(home + os.sep) else path


def is_folder(path: str) -> bool:
    """Whether there is such a folder."""
    from voyager.files import recent

    return recent.is_folder(path)


def is_file(path: str) -> bool:
    """Whether there is such a file."""
    from voyager.files import recent

    return recent.is_file(path)


def folder_of(path: str, to_write: bool = False) -> str:
    """The folder of a file; to write, the one worked in where that is read-only or the file came with voyager."""
    from voyager.files.recent import here, writable
    from voyager.files.shipped import shipped

    folder = os.path.dirname(os.path.abspath(path))
    return folder if not to_write or (writable(folder) and not shipped(path)) else here()


def proposed(path: str, ending: str = ENDING, more: str = "") -> str:
    """A name like that of a file, in ``folder_of`` it, that no file has yet."""
    from voyager.files.recent import free_name

    stem = os.path.splitext(os.path.basename(path))[0] + more
    return free_name(folder_of(path, to_write=True), stem, ending)


def fault(path: str, kind: str = "voyage") -> str | None:
    """One sentence where a file can't be opened as a voyage or a boat; None where it can, sound or not."""
    from voyager.files.recent import fault as found_fault

    return found_fault(path, kind)


def boats(path: str) -> list[Found]:
    """Boat files to begin a voyage with: those in the folders of a voyage and of those opened of late."""
    from voyager.errors import InputError
    from voyager.files.recent import entries, here

    rows = []
    for folder in dict.fromkeys((*map(folder_of, (path, *recent())), here())):
        try:
            known = [one for one in entries(folder, "boat") if not one.folder]
        except InputError:
            continue
        rows += [Found(short(os.path.join(folder, one.name)), os.path.join(folder, one.name), False, one.note)
                 for one in known]  # fmt: skip
    return rows[:MOST_LISTED]
