"""Which part of the earth a map shows, and its scale. Mercator degrees; no Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from voyager.tui.map_dots import km_per_degree
from voyager.tui.units import Units

Row = Mapping[str, Any]
Box = Sequence[float]

FINEST, COARSEST = 2e-4, 0.8
WIDEST = 540.0
"""No chart is asked for that goes farther round the earth."""
FIT_MARGIN = 0.10
NICE = (1, 2, 5)
LEAST_KM = 1e-6


@dataclass(frozen=True)
class View:
    """``x``, ``y``: the middle; ``dot``: size of a dot. Mercator degrees."""

    x: float
    y: float
    dot: float

    def zoomed(self, factor: float) -> "View":
        """Nearer for a factor above 1; held between the least and the whole earth."""
        return replace(self, dot=min(COARSEST, max(FINEST, self.dot / factor)))

    def zoomed_at(self, point: tuple[float, float], factor: float) -> "View":
        """Likewise, and a point stays where it is seen."""
        nearer = self.zoomed(factor)
        share = nearer.dot / self.dot
        return replace(nearer, x=point[0] + (self.x - point[0]) * share, y=point[1] + (self.y - point[1]) * share)

    def panned(self, columns: int, rows: int) -> "View":
        """Moved by cells, east and north."""
        return replace(self, x=self.x + 2 * columns * self.dot, y=max(-180.0, min(180.0, self.y + 4 * rows * self.dot)))


def fitted(bounds: Box | None, columns: int, rows: int) -> View | None:
    """The view that holds bounds [west, south, east, north] with room around them; None without bounds."""
    if bounds is None:
        return None
    west, south, east, north = bounds
    room = 1 + 2 * FIT_MARGIN
    dot = max((east - west) * room / (2 * columns), (north - south) * room / (4 * rows))
    return View((west + east) / 2, (south + north) / 2, min(COARSEST, max(FINEST, dot)))


def window(view: View, columns: int, rows: int, times: float = 1.0) -> dict[str, float]:
    """What a chart is to cover so that ``times`` the view's width and height can be drawn."""
    half_x, half_y = min(WIDEST / 2, columns * view.dot * times), 2 * rows * view.dot * times
    return {"west": view.x - half_x, "east": view.x + half_x, "south": view.y - half_y, "north": view.y + half_y,
            "dot": view.dot}  # fmt: skip


def covers(chart: Row, view: View, columns: int, rows: int) -> bool:
    """Whether a chart was made for at least this view and its fineness."""
    have = chart.get("window")
    if have is None:
        return False
    need = window(view, columns, rows)
    pairs = (("west", "east"), ("south", "north"))
    wide = all(have[low] <= need[low] and have[high] >= need[high] for low, high in pairs)
    return wide and have["dot"] <= view.dot * 1.01


def holds(view: View, point: tuple[float, float], columns: int, rows: int, share: float = 0.85) -> bool:
    """Whether a point lies well within the view."""
    east, north = abs(point[0] - view.x) / view.dot, abs(point[1] - view.y) / view.dot
    return east <= columns * share and north <= 2 * rows * share


def scale_bar(view: View, units: Units, widest: int, plain: bool) -> str:
    """``├────┤ 20 km``: the longest round length that fits, true in the middle of the view."""
    km = km_per_degree(view.y) * view.dot * 2
    per_cell = units.length_of(km) or km
    length = nice((widest - 1) * per_cell)
    cells = max(1, round(length / per_cell))
    ends, dash = ("|", "-") if plain else ("├┤", "─")
    return f"{ends[0]}{dash * (cells - 1)}{ends[-1]} {length:g} {units.length}"


def nice(most: float) -> float:
    """The largest of 1, 2, 5 times a power of ten that is not above ``most``."""
    power = best = LEAST_KM
    while power <= most:
        best = max((step * power for step in NICE if step * power <= most), default=best)
        power = round(power * 10, 12)
    return best
