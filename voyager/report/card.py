"""The morning card's bands for print: few, none too narrow to act on, and each held wherever it is printed."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import ceil
from typing import Any

Row = Mapping[str, Any]
Bands = list[Row]
LIKELY = 0.05
"""Least chance of a morning that is printed."""
MOST_BANDS = 5
THIN = 0.02
"""Share of the capacity below which a band is too narrow to be read off a battery monitor."""
PLUG_SHARE = 0.93
"""Share of the ceiling up to which staying at a plug needs the floor alone (the guarantee of the planner)."""


@dataclass(frozen=True)
class Morning:
    """One day at one mooring; ``skies`` are its rows of the card, darkest first."""

    skies: tuple[Row, ...]

    @property
    def first(self) -> Row:
        """A row that tells day, mooring and chance."""
        return self.skies[0]


def mornings(card: Iterable[Row], first_day: int = 1) -> list[Morning]:
    """Mornings from a day on, likely enough to be printed: by day, the likeliest moorings first."""
    likely = [row for row in card if row["chance"] >= LIKELY and row["day"] >= first_day]
    together = groupby(likely, key=lambda row: (row["day"], row["km"], row["mooring"]))
    found = [Morning(tuple(rows)) for _, rows in together]
    return sorted(found, key=lambda one: (one.first["day"], -one.first["chance"], one.first["km"]))


def printed(bands: Sequence[Row], km: float, capacity_kwh: float, ceiling_kwh: float) -> Bands:
    """The bands of one sky as a page shows them: one a stop, none narrow, at most five where they go."""
    wide = thick(_one_a_stop(bands), capacity_kwh, ceiling_kwh)
    return _one_a_stop(merged(_one_a_stop(wide), km))


def said(band: Row) -> tuple[Any, ...]:
    """What a band asks for, its pace apart: where to, whether that is held and only in order to plug in."""
    return (band["do"], band.get("to"), band.get("to_km"), held(band), band.get("why"))


def held(band: Row) -> bool:
    """Whether the guarantee is met."""
    return bool(band.get("held", True))


def _one_a_stop(bands: Sequence[Row]) -> Bands:
    """Neighbours that ask for the same as one, at the pace of the lowest, which holds for all of them."""
    return [band for at, band in enumerate(bands) if not at or said(band) != said(bands[at - 1])]


def thick(bands: Sequence[Row], capacity_kwh: float, ceiling_kwh: float) -> Bands:
    """Bands narrower than ``THIN`` of the capacity merged into the one below where that one is held for them too.

    From the top down, so that narrow neighbours first make one that is wide enough, and again until none is left that
    the one now below it may take in. [kWh]
    """
    kept, before = list(bands), len(bands) + 1
    while len(kept) < before:
        before = len(kept)
        for place in range(len(kept) - 1, 0, -1):
            end = kept[place + 1]["from_kwh"] if place + 1 < len(kept) else ceiling_kwh
            narrow = end - kept[place]["from_kwh"] < THIN * capacity_kwh - 1e-9
            if narrow and held(kept[place]) and _holds_up_to(kept[place - 1], end, ceiling_kwh):
                del kept[place]
    return kept


def _holds_up_to(band: Row, end_kwh: float, ceiling_kwh: float) -> bool:
    """Whether a band is held up to a charge above it: what goes always is, what stays may lean on a plug."""
    return held(band) and (band["do"] == "go" or end_kwh <= PLUG_SHARE * ceiling_kwh + 1e-9)


def merged(bands: Sequence[Row], km: float, most: int = MOST_BANDS) -> Bands:
    """At most ``most`` bands: neighbouring bands that go become one, which does what the lower does.

    Going that is held at one charge is held at every higher one, so the lower band's stop and pace hold for all of the
    merged band. Pairs whose lower stop is the nearer are taken first, of these the one that gives up the fewest
    kilometres. Bands that have no such neighbour, or whose lower neighbour is not held, stay as they are.
    """
    kept = list(bands)
    while len(kept) > most:
        pairs = [n for n in range(len(kept) - 1) if _join(kept[n], kept[n + 1])]
        if not pairs:
            break
        del kept[min(pairs, key=lambda n: _given_up(kept[n], kept[n + 1], km)) + 1]
    return kept


def _join(lower: Row, upper: Row) -> bool:
    return lower["do"] == upper["do"] == "go" and held(lower)


def _given_up(lower: Row, upper: Row, km: float) -> tuple[bool, float]:
    """Whether the lower band's stop is not the nearer one on the same side, and how far the two are apart."""
    near, far = lower["to_km"] - km, upper["to_km"] - km
    return not 0 <= near * far >= near * near, abs(far - near)


def up(kwh: float) -> float:
    """A charge rounded up to a tenth: nobody goes on less than the band asks for."""
    return ceil(kwh * 10 - 1e-6) / 10
