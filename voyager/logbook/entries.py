"""What a log holds: readings and events in the order of time, and the days as they were planned."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

READING, EVENT = "reading", "event"


@dataclass(frozen=True)
class Entry:
    """One line of the log; None where nothing was noted.

    ``time_utc`` aware, UTC. ``km`` of the route, ``place`` as the voyage names it. Charge counts from flat.
    Energies are what flowed since the entry before that has the same column. ``ident``: the log's own number, 0 until
    it is kept. ``source``: "screen", "command", or the file that it was imported from.
    """

    time_utc: datetime
    kind: str = READING
    place: str | None = None
    km: float | None = None
    lat: float | None = None
    lon: float | None = None
    charge_kwh: float | None = None
    solar_kwh: float | None = None
    shore_kwh: float | None = None
    propulsion_kwh: float | None = None
    heating_kwh: float | None = None
    hotel_kwh: float | None = None
    inside_c: float | None = None
    outside_c: float | None = None
    note: str = ""
    source: str = "command"
    ident: int = 0


@dataclass(frozen=True)
class KeptPlan:
    """The days as a plan had them at ``made_utc``: the ``days`` of ``plan --json``, without what a log doesn't need."""

    made_utc: datetime
    days: tuple[Mapping[str, Any], ...]
    ident: int = 0
