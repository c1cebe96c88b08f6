"""Reads GPX 1.0 and 1.1, tracks, routes and waypoints, as a stream that strangers' files cannot blow up.

A document type is refused (no entities are ever expanded), and so are files too large, too deep or of too many points,
and positions that are none. What is not of GPX's own (extensions) is passed over. Only the parser of the standard
library is used, so that what is read does not depend on what else is installed.
"""

import os
import re
from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from math import nan
from typing import Any, Final, NoReturn
from xml.parsers import expat

import numpy as np
from numpy.typing import NDArray

from voyager.errors import Problem, Problems
from voyager.files.printable import printable, shown
from voyager.files.toml import fail

Floats = NDArray[np.float64]
SPACES: Final = ("http://www.topografix.com/GPX/1/1", "http://www.topografix.com/GPX/1/0", "")
LARGEST_BYTES: Final = 500_000_000
MOST_POINTS: Final = 2_000_000
DEEPEST: Final = 64
LONGEST_TEXT: Final = 1000
CHUNK: Final = 65_536
FIRST_YEAR, LAST_YEAR = 1900, 2200
NUMBER: Final = re.compile(r"\s*[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d{1,3})?\s*")
ENCODING: Final = re.compile(
    r"utf-?8|utf-?16([bl]e)?|(us-)?ascii|iso-8859-([1-9]|1[013-6])|(windows-|cp)125[0-8]", re.IGNORECASE
)
"""Encodings that the parser reads, by themselves or by Python's tables of one byte a sign."""
POINTS: Final = {
    ("gpx", "trk", "trkseg", "trkpt"): "track",
    ("gpx", "rte", "rtept"): "route",
    ("gpx", "wpt"): "waypoint",
}
TEXTS: Final = ("name", "time")


@dataclass(frozen=True, eq=False)
class Points:
    """n points: degrees, and seconds since 1970 in UTC, nan where a point has no time or none that can be read."""

    lat: Floats
    lon: Floats
    time_s: Floats

    def __len__(self) -> int:
        return int(self.lat.size)


@dataclass(frozen=True, eq=False)
class Line:
    """A track or a route; a route, and a track that was never interrupted, has one part."""

    name: str
    parts: tuple[Points, ...]


@dataclass(frozen=True, eq=False)
class Gpx:
    """All of a file in its order; ``waypoint_names`` beside ``waypoints``. ``bad_times``: points whose time is none."""

    file: str
    tracks: tuple[Line, ...]
    routes: tuple[Line, ...]
    waypoints: Points
    waypoint_names: tuple[str, ...]
    bad_times: int = 0


def read_gpx(path: str | os.PathLike[str]) -> Gpx:
    """Everything in a GPX file. Raises Problems: one sentence with the line."""
    file = os.fspath(path)
    if os.path.isdir(file):
        raise fail(file, 1, "is a directory; name the file in it")
    reader = _Reader(file)
    try:
        with open(file, "rb") as handle:
            total = 0
            while chunk := handle.read(CHUNK):
                total += len(chunk)
                if total > LARGEST_BYTES:
                    reader.refuse(f"is larger than {LARGEST_BYTES // 1_000_000} MB; cut it into parts")
                reader.parser.Parse(chunk, False)
            if not total:
                raise fail(file, 1, "is empty; a GPX file is wanted")
            reader.parser.Parse(b"", True)
    except FileNotFoundError:
        raise fail(file, 1, "no such file; check its name and directory") from None
    except expat.ExpatError as error:
        why = expat.errors.messages.get(error.code, str(error.code))
        raise fail(file, error.lineno, f"is not whole XML: {why}; save or copy it again") from None
    except (OSError, ValueError) as error:
        why = error.strerror if isinstance(error, OSError) and error.strerror else "its name cannot be a file's"
        raise fail(file, 1, f"cannot be read: {why}") from None
    return reader.found()


@dataclass
class _Growing:
    """Points as they come."""

    lat: "array[float]" = field(default_factory=lambda: array("d"))
    lon: "array[float]" = field(default_factory=lambda: array("d"))
    time_s: "array[float]" = field(default_factory=lambda: array("d"))

    def add(self, lat: float, lon: float) -> None:
        self.lat.append(lat)
        self.lon.append(lon)
        self.time_s.append(nan)

    def points(self) -> Points:
        return Points(*(np.array(one, dtype=np.float64) for one in (self.lat, self.lon, self.time_s)))


@dataclass
class _Open:
    """A track or route as it comes."""

    name: str = ""
    parts: list[_Growing] = field(default_factory=list)

    def line(self) -> Line:
        return Line(self.name, tuple(part.points() for part in self.parts if part.lat))


class _Reader:
    def __init__(self, file: str) -> None:
        self.file, self.path = file, list[str]()
        self.tracks, self.routes = list[_Open](), list[_Open]()
        self.waypoints, self.names = _Growing(), list[str]()
        self.into, self.count, self.bad_times, self.text = self.waypoints, 0, 0, ""
        self.parser: Any = expat.ParserCreate(namespace_separator=" ")
        self.parser.buffer_text = True
        self.parser.XmlDeclHandler = self._declared
        self.parser.StartDoctypeDeclHandler = self.parser.EntityDeclHandler = self._doctype
        self.parser.StartElementHandler, self.parser.EndElementHandler = self._start, self._end
        self.parser.CharacterDataHandler = self._characters

    def refuse(self, text: str) -> NoReturn:
        """One sentence with the line that is being read."""
        raise Problems([Problem(printable(self.file), int(self.parser.CurrentLineNumber), "", text)])

    def found(self) -> Gpx:
        tracks, routes = (tuple(one.line() for one in lines) for lines in (self.tracks, self.routes))
        return Gpx(self.file, tracks, routes, self.waypoints.points(), tuple(self.names), self.bad_times)

    def _declared(self, _version: str, encoding: str | None, _alone: int) -> None:
        if encoding is not None and not ENCODING.fullmatch(encoding):
            self.refuse(f"is written in the encoding {shown(encoding)}, which is not read; save it as UTF-8")

    def _doctype(self, *_: object) -> None:
        self.refuse("has a document type or entities, which no GPX file needs; take it from another source")

    def _start(self, name: str, attributes: Mapping[str, str]) -> None:
        space, _, own = name.rpartition(" ")
        if not self.path and (own != "gpx" or space not in SPACES):
            self.refuse("is XML but no GPX 1.0 or 1.1: its outermost element is another")
        if len(self.path) >= DEEPEST:
            self.refuse(f"is nested deeper than {DEEPEST} elements, which no GPX file is")
        self.path.append(own if space in SPACES else name)
        self.text = ""
        path = tuple(self.path)
        if path == ("gpx", "trk"):
            self.tracks.append(_Open())
        elif path == ("gpx", "trk", "trkseg"):
            self._part(self.tracks[-1])
        elif path == ("gpx", "rte"):
            self.routes.append(_Open())
            self._part(self.routes[-1])
        elif path in POINTS:
            self._point(attributes, POINTS[path])

    def _part(self, line: _Open) -> None:
        self.into = _Growing()
        line.parts.append(self.into)

    def _point(self, attributes: Mapping[str, str], kind: str) -> None:
        self.count += 1
        if self.count > MOST_POINTS:
            self.refuse(f"has more than {MOST_POINTS:,} points; cut it into parts")
        if kind == "waypoint":
            self.into = self.waypoints
            self.names.append("")
        self.into.add(self._degrees(attributes, "lat", 90.0), self._degrees(attributes, "lon", 180.0))

    def _degrees(self, attributes: Mapping[str, str], name: str, most: float) -> float:
        text = attributes.get(name)
        if text is None:
            self.refuse(f"a point has no {name}")
        value = float(text) if len(text) < LONGEST_TEXT and NUMBER.fullmatch(text) else nan
        if not -most <= value <= most:
            self.refuse(f"{name} of a point must be a number of degrees from {-most:g} to {most:g}, is {shown(text)}")
        return value

    def _characters(self, text: str) -> None:
        if self.path[-1] in TEXTS and len(self.text) < LONGEST_TEXT:
            self.text += text[:LONGEST_TEXT]

    def _end(self, _: str) -> None:
        own, above = self.path[-1], tuple(self.path[:-1])
        if own == "time" and above in POINTS:
            self._timed(self.text)
        elif own == "name":
            self._named(above, printable(" ".join(self.text.split())))
        self.path.pop()
        self.text = ""

    def _timed(self, text: str) -> None:
        try:
            time = datetime.fromisoformat(text.strip())
            if not FIRST_YEAR <= time.year <= LAST_YEAR:
                raise ValueError
            self.into.time_s[-1] = (time if time.tzinfo else time.replace(tzinfo=UTC)).timestamp()
        except ValueError:
            self.bad_times += 1

    def _named(self, above: tuple[str, ...], name: str) -> None:
        if above == ("gpx", "trk"):
            self.tracks[-1].name = name
        elif above == ("gpx", "rte"):
            self.routes[-1].name = name
        elif above == ("gpx", "wpt"):
            self.names[-1] = name
