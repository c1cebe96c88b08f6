"""Where the names of places stand on a map: beside their sign, over nothing that must be read. No Textual here."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

Cell = tuple[int, int]

CROSSED_AT_MOST = 2
"""Cells of the route that the name of a lesser place may cover."""


@dataclass(frozen=True)
class Name:
    """A name and the cell of its sign; once laid, of its first letter. ``strong`` ones may cover the route."""

    text: str
    column: int
    row: int
    strong: bool = False
    does: str = ""


def laid(
    names: Iterable[Name], signs: Collection[Cell], route: Collection[Cell], columns: int, rows: int
) -> list[Name]:
    """The names that find room, in the order given; none covers a sign or another name."""
    taken, crossed, out = set(signs), frozenset(route), []
    for name in names:
        spots = [spot for spot in _spots(name) if _fits(spot, columns, rows) and taken.isdisjoint(_cells(spot, 1))]
        costs = [(len(crossed.intersection(_cells(spot))), at) for at, spot in enumerate(spots)]
        if not costs:
            continue
        cost, best = min(costs)
        if cost <= CROSSED_AT_MOST or name.strong:
            out.append(spots[best])
            taken.update(_cells(spots[best]))
    return out


def _spots(name: Name) -> list[Name]:
    """Right, left, then above and below: the nearer to the sign the sooner."""
    x, y, size = name.column, name.row, len(name.text)
    corners = [(x + 2, y), (x - 1 - size, y), (x + 1, y - 1), (x + 1, y + 1), (x - size, y - 1), (x - size, y + 1),
               (x - size // 2, y - 1), (x - size // 2, y + 1)]  # fmt: skip
    return [Name(name.text, column, row, name.strong, name.does) for column, row in corners]


def _fits(name: Name, columns: int, rows: int) -> bool:
    return name.column >= 0 and name.column + len(name.text) <= columns and 0 <= name.row < rows


def _cells(name: Name, around: int = 0) -> list[Cell]:
    """The cells of a name, and ``around`` so many on either side."""
    return [(x, name.row) for x in range(name.column - around, name.column + len(name.text) + around)]
