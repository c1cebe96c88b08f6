"""Looking for files to open: which of a folder's files are voyages or boats, told by their texts alone."""

import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from voyager.errors import InputError, NotSaved

ENDING = ".toml"
MOST = 500
LARGEST_BYTES = 1_000_000
SIGNS = {
    "voyage": re.compile(r"^[ \t]*(?:\[\[\s*leg\s*\]\]|leg\s*=)", re.M),
    "boat": re.compile(r"^[ \t]*(?:\[\s*(?:hull|battery)\s*\]|(?:hull|battery)\s*=)", re.M),
}
NAME = re.compile(r"^name\s*=\s*[\"']([^\"'\n]*)[\"']", re.M)
KEYS = {"voyage": ("leg", "place", "departs", "boat"), "boat": ("hull", "battery", "array")}


@dataclass(frozen=True)
class Entry:
    """A folder, or a file with the name that it gives itself."""

    name: str
    folder: bool
    note: str = ""


def entries(folder: str, kind: str) -> list[Entry]:
    """Folders of a folder, then its files of a kind ("voyage", "boat", "any"); hidden ones left out.

    Raises InputError, one sentence, where the folder can't be read.
    """
    try:
        found = sorted((one for one in os.scandir(folder) if not one.name.startswith(".")), key=lambda one: one.name)
    except OSError as error:
        raise InputError(f"{folder} can't be read: {error.strerror or error}") from None
    folders = [Entry(one.name, True) for one in found if _is_folder(one)]
    return [*folders, *_files(found[: 4 * MOST], kind)]


def _files(found: "list[os.DirEntry[str]]", kind: str) -> Iterator[Entry]:
    for one in [one for one in found if kind == "any" or one.name.endswith(ENDING)][:MOST]:
        if not _is_folder(one):
            kinds, name = ((kind,), "") if kind == "any" else sort(one.path)
            if kind in kinds:
                yield Entry(one.name, False, name)


def _is_folder(one: "os.DirEntry[str]") -> bool:
    try:
        return one.is_dir()
    except OSError:
        return False


def sort(path: str) -> tuple[tuple[str, ...], str]:
    """The kinds a file looks like, and the name it gives itself; nothing where it can't be read."""
    try:
        state = os.stat(path)
        return _sort(path, state.st_mtime_ns, state.st_size) if os.path.isfile(path) else ((), "")
    except (OSError, ValueError):
        return (), ""


@lru_cache(2 * MOST)
def _sort(path: str, changed: int, size: int) -> tuple[tuple[str, ...], str]:
    with open(path, "rb") as file:
        text = file.read(LARGEST_BYTES).decode("utf-8", "replace")
    name = NAME.search(text.split("\n[", 1)[0])
    return tuple(kind for kind, sign in SIGNS.items() if sign.search(text)), name[1] if name else ""


def is_file(path: str) -> bool:
    """Whether there is such a file."""
    return os.path.isfile(path)


def is_folder(path: str) -> bool:
    """Whether there is such a folder."""
    return os.path.isdir(path)


def here() -> str:
    """The folder worked in."""
    return os.getcwd()


def writable(folder: str) -> bool:
    """Whether files can be made in a folder."""
    return os.access(folder, os.W_OK)


def free_name(folder: str, stem: str, ending: str) -> str:
    """The stem, else the first of stem-2, stem-3 … that no file of the folder has yet, with the ending."""
    names = [stem, *(f"{stem}-{number}" for number in range(2, 1000))]
    return next((name for name in names if not os.path.lexists(os.path.join(folder, name + ending))), stem) + ending


def fault(path: str, kind: str) -> str | None:
    """One sentence where a file can't be opened as a voyage or a boat at all; None where it can, sound or not."""
    from voyager.files.sketch_read import read_source

    source = read_source(path)
    if source.problems is not None:
        return str(source.problems.problems[0])
    if any(key in source.data for key in KEYS[kind]):
        return None
    other = next((other for other in KEYS if any(key in source.data for key in KEYS[other])), None)
    what = f"it is a {other}'s" if other else "it has none of the keys of one"
    return f"{path} is no {kind} file: {what}"


def write_new(path: str, content: bytes, force: bool = False) -> None:
    """A file written whole, over another only where forced. Raises NotSaved, one sentence."""
    from voyager.files.atomic import locked, write_atomically, write_first

    folder = os.path.dirname(os.path.realpath(path))
    if os.path.isdir(path):
        raise NotSaved(f"{path} is a directory; name the file in it", "failed")
    if not os.path.isdir(folder):
        raise NotSaved(f"there is no folder {folder}; make it first, or write in another", "failed")
    try:
        if force:
            with locked(path):
                write_atomically(path, content)
        else:
            write_first(path, content)
    except FileExistsError:
        raise NotSaved(f"{path} is there already; write over it, or choose another name", "exists") from None
    except OSError as error:
        raise NotSaved(f"{path} could not be written: {error.strerror or error}", "failed") from None
