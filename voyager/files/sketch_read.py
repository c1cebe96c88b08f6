"""Both files of a voyage as they are to be edited: their texts and data, and what they were when they were read."""

import hashlib
import os
import re
import stat
from dataclasses import dataclass, field
from typing import Any

import tomli

from voyager.errors import Problems
from voyager.files.shipped import shipped
from voyager.files.toml import content_of, fail, impossible_date, parse_toml, text_of

_TIME = re.compile(r"(?:[Tt ]\d{1,2}:\d{2}[\d:.]*(?:[Zz]|[+-]\d{2}:\d{2})?)?")
MOST_DATES = 200
_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Source:
    """One file: ``text`` with line feeds and dates that do not exist put in quotes, ``data`` what that says.

    ``digest`` of its bytes, None where there is no such file; ``problems`` where it can't be read: no text, no data.
    """

    path: str
    text: str = ""
    data: dict[str, Any] = field(default_factory=dict)
    digest: str | None = None
    marked: bool = False
    returns: bool = False
    problems: Problems | None = None

    def bytes_of(self, text: str) -> bytes:
        """A new text in the file's own manner: line ends, mark of byte order."""
        ends = text.replace("\n", "\r\n") if self.returns else text
        return (_MARK if self.marked else b"") + ends.encode("utf-8")


def read_source(path: str) -> Source:
    """A file for editing; what keeps it from being read is in ``problems``."""
    try:
        content = content_of(path)
    except Problems as error:
        return Source(path, problems=error)
    digest = hashlib.sha256(content).hexdigest()
    try:
        text = _readable(text_of(path, content), path)
    except Problems as error:
        return Source(path, digest=digest, problems=error)
    returns = content.count(b"\r\n") * 2 > content.count(b"\n")
    return Source(path, text, tomli.loads(text), digest, content.startswith(_MARK), returns)


def _readable(text: str, path: str) -> str:
    """The text with quotes about dates that do not exist. Raises Problems where it is no TOML even so."""
    given = text
    for _ in range(MOST_DATES):
        try:
            if not tomli.loads(text):
                parse_toml(given, path)
            return text
        except tomli.TOMLDecodeError as error:
            span = impossible_date(text, error)
            if span is None:
                parse_toml(given, path)
                raise fail(path, error.lineno, "is not TOML") from None
            time = _TIME.match(text, span[1])
            ends = time.end() if time else span[1]
            text = f'{text[: span[0]]}"{text[span[0] : ends]}"{text[ends:]}'
        except (RecursionError, ValueError):
            break
    parse_toml(given, path)
    raise fail(path, 1, "cannot be read: too many dates that do not exist")


@dataclass(frozen=True)
class Pair:
    """A voyage file and the boat file that it names; the boat's path is empty where it names none."""

    voyage: Source
    boat: Source

    @property
    def documents(self) -> dict[str, Any]:
        """The data of both."""
        return {"voyage": self.voyage.data, "boat": self.boat.data}

    @property
    def stamp(self) -> dict[str, Any]:
        """What both files were when they were read, and which boat file it was."""
        return {"voyage": self.voyage.digest, "boat": self.boat.digest, "boat_path": real(self.boat.path)}


def read_pair(path: str) -> Pair:
    """Both files. Raises Problems where the voyage file can't be read."""
    voyage = read_source(path)
    if voyage.problems:
        raise voyage.problems
    boat = boat_path(path, voyage.data)
    return Pair(voyage, read_source(boat) if boat else Source(""))


def boat_path(path: str, voyage: dict[str, Any]) -> str:
    """The boat file that a voyage at ``path`` names, "" where it names none."""
    name = voyage.get("boat")
    return os.path.join(os.path.dirname(path), name) if isinstance(name, str) and name else ""


def real(path: str) -> str:
    """Where a path leads, symbolic links followed."""
    return os.path.realpath(path) if path and "\0" not in path else path


def writable(path: str) -> bool:
    """Whether a file may be written here: not of those shipped, not marked read-only, and its folder takes a new file.

    A file that is not there yet is writable where its folder is.
    """
    place = real(path)
    if shipped(place):
        return False
    folder = os.path.dirname(place)
    try:
        if os.path.exists(place) and not (os.access(place, os.W_OK) and os.stat(place).st_mode & 0o222):
            return False
        return bool(os.access(folder, os.W_OK) and stat.S_IMODE(os.stat(folder).st_mode) & 0o222)
    except (OSError, ValueError):
        return False
