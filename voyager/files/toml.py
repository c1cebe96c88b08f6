"""A TOML file from disk: its data and where each key stands, or one sentence on what it is instead."""

import os
import re
import stat
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

import tomli

from voyager.errors import Problem, Problems
from voyager.files.lines import Path, Positions, locate
from voyager.files.printable import printable

LARGEST_BYTES = 4_000_000
_DATE = re.compile(r"\d{4}-\d{1,2}-\d{1,2}(?!\d)")
_MOST_DATES = 200


@dataclass(frozen=True)
class Document:
    """``bad``: keys whose dates do not exist, each with its problem; ``data`` holds a stand-in there.

    ``sketched``: "voyage" or "boat" where the data come from a sketch; ``positions`` then only order the keys.
    """

    file: str
    data: dict[str, Any]
    positions: Positions
    bad: Mapping[Path, Problem] = field(default_factory=dict)
    sketched: str = ""


def read_toml(path: str | os.PathLike[str]) -> Document:
    """Read and parse one file.

    Raises Problems: not found, a directory, too large, not UTF-8, empty, not TOML (line and column).
    """
    file = os.fspath(path)
    return parse_toml(text_of(file, content_of(file)), file)


def fail(file: str, line: int, text: str) -> Problems:
    """A problem that keeps the whole file from being read."""
    return Problems([Problem(printable(file), line, "", printable(text))])


def content_of(file: str) -> bytes:
    try:
        mode = os.stat(file)
        if stat.S_ISDIR(mode.st_mode):
            raise fail(file, 1, "is a directory; name the file in it")
        if not stat.S_ISREG(mode.st_mode):
            raise fail(file, 1, "is not an ordinary file")
        if mode.st_size > LARGEST_BYTES:
            raise fail(file, 1, f"is {mode.st_size / 1e6:.0f} MB long; a boat or voyage file has some kilobytes")
        with open(file, "rb") as handle:
            return handle.read()
    except FileNotFoundError:
        raise fail(file, 1, "no such file; check its name and directory") from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its name cannot be a file's"
        raise fail(file, 1, f"cannot be read: {why}") from None


def text_of(file: str, content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise fail(file, 1, "is not UTF-8 but UTF-16 (byte 0); save it as UTF-8")
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        offset = error.start + (3 if content.startswith(b"\xef\xbb\xbf") else 0)
        line = content.count(b"\n", 0, offset) + 1
        text = f"is not UTF-8: byte {offset} is 0x{content[offset]:02x}; save it as UTF-8"
        raise fail(file, line, text) from None


def parse_toml(text: str, file: str) -> Document:
    """Parse TOML text; dates that do not exist are noted and the rest is read on."""
    wrong: list[tuple[int, int, str]] = []
    while True:
        try:
            data = tomli.loads(text)
            break
        except tomli.TOMLDecodeError as error:
            span = impossible_date(text, error)
            if span is None or len(wrong) == _MOST_DATES:
                raise _not_toml(file, error, wrong) from None
            wrong.append((error.lineno, span[0] - text.rfind("\n", 0, span[0]), text[slice(*span)]))
            text = text[: span[0]] + "2000-01-01" + text[span[1] :]
        except (RecursionError, ValueError) as error:
            why = "arrays or tables nested too deep" if isinstance(error, RecursionError) else "a number far too long"
            raise fail(file, 1, f"cannot be read: {why}") from None
    if not data:
        raise fail(file, 1, "is empty: it has no key at all")
    return _document(file, data, locate(text), wrong)


def _document(file: str, data: dict[str, Any], positions: Positions, wrong: list[tuple[int, int, str]]) -> Document:
    paths = [_path_at(positions, line, column) for line, column, _ in wrong]
    bad = {
        path: Problem(printable(file), line, dotted(path), no_such_date(word))
        for path, (line, _, word) in zip(paths, wrong, strict=True)
    }
    return Document(file, data, positions, bad)


def _path_at(positions: Positions, line: int, column: int) -> Path:
    """The last key or row that begins at or before a position."""
    return max(positions, key=lambda path: (positions[path] <= (line, column), positions[path], len(path)))


def impossible_date(text: str, error: tomli.TOMLDecodeError) -> tuple[int, int] | None:
    """Span of the date that stopped the parser, if one did."""
    starts = text.rfind("\n", 0, error.pos) + 1
    ends = text.find("\n", error.pos)
    for match in _DATE.finditer(text, starts, len(text) if ends < 0 else ends):
        touches = match.start() <= error.pos <= match.end()
        if touches and not date_exists(match[0]) and text[match.start() - 1 : match.start()] not in ('"', "'"):
            return match.span()
    return None


def date_exists(word: str) -> bool:
    """Whether ``word`` is a date written YYYY-MM-DD."""
    try:
        return len(word) == 10 and date.fromisoformat(word).isoformat() == word
    except ValueError:
        return False


def no_such_date(word: str) -> str:
    """The sentence for a text that looks like a date and is none, with the nearest that exists."""
    try:
        year, month, day = map(int, word.split("-"))
        meant = date(year, month, day)
    except ValueError:
        return f"there is no date {printable(word)}; dates are written YYYY-MM-DD" + _nearest_date(word)
    return f"{printable(word)} is no date as TOML writes it; write {meant.isoformat()}"


def _nearest_date(word: str) -> str:
    parts = word.split("-")
    if len(parts) != 3 or not all(part.isascii() and part.isdigit() for part in parts):
        return ""
    year, month, day = map(int, parts)
    for last in range(min(day, 31), 27, -1):
        if 1 <= year <= 9999 and 1 <= month <= 12 and date_exists(f"{year:04}-{month:02}-{last:02}"):
            return f"; the last of that month is {year:04}-{month:02}-{last:02}"
    return ""


def _not_toml(file: str, error: tomli.TOMLDecodeError, wrong: list[tuple[int, int, str]]) -> Problems:
    why = error.msg[:1].lower() + error.msg[1:]
    text = f"is not TOML: {why} (line {error.lineno}, column {error.colno})"
    earlier = [Problem(printable(file), line, "", no_such_date(word)) for line, _, word in wrong]
    return Problems(sorted([*earlier, Problem(printable(file), error.lineno, "", printable(text))]))


def dotted(path: Path) -> str:
    """A path as it is printed: leg[3].depth_m, rows counted from 1."""
    text = ""
    for part in path:
        text += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if text else part
    return printable(text)
