"""GPX texts for tests."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
SPACE = {version: f"http://www.topografix.com/GPX/{version.replace('.', '/')}" for version in ("1.0", "1.1")}
BEGIN = datetime(2027, 3, 2, 8, tzinfo=UTC)
Point = tuple[float, float, float | None]
"""Latitude, longitude, seconds since ``BEGIN``."""


def gpx(inside: str, version: str = "1.1") -> str:
    """A whole document."""
    return f'{HEAD}<gpx version="{version}" creator="tests" xmlns="{SPACE[version]}">\n{inside}\n</gpx>\n'


def point(tag: str, one: Point, inside: str = "") -> str:
    """A point of a track, route or alone."""
    lat, lon, seconds = one
    time = "" if seconds is None else f"<time>{(BEGIN + timedelta(seconds=seconds)).isoformat()}</time>"
    return f'<{tag} lat="{lat!r}" lon="{lon!r}">{time}{inside}</{tag}>'


def track(*parts: Iterable[Point], name: str = "day") -> str:
    """A track of these parts."""
    segments = "".join(f"<trkseg>{''.join(point('trkpt', one) for one in part)}</trkseg>\n" for part in parts)
    return f"<trk><name>{name}</name>{segments}</trk>"
