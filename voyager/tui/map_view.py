"""The map of the route as lines of runs: coast and route in braille dots, signs, names, a scale. No Textual here.

Points are (x, y) in Mercator degrees as the chart has them; a cell is two dots wide and four high.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from voyager.report.words import short_date
from voyager.tui.map_dots import BROAD, Frame, Ground, degrees_of, ground, strokes
from voyager.tui.map_names import Name, laid
from voyager.tui.map_window import View, scale_bar
from voyager.tui.past import LOGGED, is_past
from voyager.tui.runs import Line, Run, length
from voyager.tui.units import PLAIN, Units
from voyager.tui.words import cut, stretch

Row = Mapping[str, Any]

FOOT = 2
BRAILLE = 0x2800
SIGNS = {"place": "o", "plug": "╧", "pass": "×", "night": "•", "here": "◇", "boat": "◆"}
ASCII_SIGNS = {"place": "o", "plug": "P", "pass": "x", "night": "+", "here": "H", "boat": "@"}
SIGN_WORDS = {"place": "berth", "plug": "plug", "pass": "no berth", "night": "night on the way",
              "here": "here by the log", "boat": "boat"}  # fmt: skip
PARTS = ("coast", "route", "leg", "place", "plug", "pass", "night", "here", "boat", "name", "bold", "muted")
SPELT = str.maketrans({"→": ">", "…": "~"})
ON_LAND = "+land"
NOTHING_DRAWN = "No place of this voyage has a position yet."
NO_COAST = "no coast in this window"
NOT_FOR = "illustrative, not for navigation"


@dataclass(frozen=True)
class Scene:
    """What is drawn over the ground. ``day``: a row of the plan's ``days``; ``leg``: index of the one pointed at.

    ``plain``: with the letters of ASCII only. ``shaded``: land is seen by its background, else by dots here and there.
    ``now``: where the boat is by its log (``at``), where the plan goes on from there.
    """

    chart: Row
    days: Sequence[Row] = ()
    day: Row | None = None
    leg: int | None = None
    units: Units = PLAIN
    plain: bool = False
    shaded: bool = True
    now: Row | None = None


def boat_at(scene: Scene, day: Row | None = None) -> tuple[float, float] | None:
    """Where the boat lies in the evening of a day, of the scene's own where none is given; None where that is not said.

    At a place it is the place's own point.
    """
    day = day or scene.day
    if day is None or day.get("at") is None:
        return None
    place = next((place for place in scene.chart["places"] if place["name"] == day.get("mooring")), None)
    return degrees_of(day["at"], scene.chart["bounds"]) if place is None else (place["x"], place["y"])


def draw(scene: Scene, view: View | None, base: Ground | None, columns: int, height: int) -> list[Line]:
    """The map in ``height`` lines, the last two of them a legend and the scale."""
    if view is None:
        return [[Run(NOTHING_DRAWN)]]
    rows = max(1, height - FOOT)
    frame = Frame(view.x, view.y, view.dot, columns, rows)
    below = base if base is not None else ground(scene.chart, frame)
    cells = _ground_cells(below, scene)
    _draw_route(cells, scene, frame)
    marks = _marks(scene, frame)
    names = laid(_names(scene, marks), marks.keys(), cells.busy(), columns, rows)
    for (column, row), mark in marks.items():
        cells.put(column, row, (ASCII_SIGNS if scene.plain else SIGNS)[mark.sign], mark.sign, mark.does)
    for name in names:
        cells.clear(name.column - 1, name.row)
        cells.clear(name.column + len(name.text), name.row)
        for at, letter in enumerate(name.text):
            cells.put(name.column + at, name.row, letter, "bold" if name.strong else "name", name.does)
    return [
        *cells.lines(),
        _legend(scene, {mark.sign for mark in marks.values()}, below, columns),
        _foot(scene, view, below, columns),
    ]


@dataclass
class Cells:
    """Letters, parts and what a click does, by row and column."""

    text: list[list[str]]
    part: list[list[str]]
    land: Sequence[Sequence[int]]
    does: dict[tuple[int, int], str] = field(default_factory=dict)

    def put(self, column: int, row: int, letter: str, part: str, does: str = "") -> None:
        """One cell, which must be there."""
        self.text[row][column], self.part[row][column] = letter, part
        if does:
            self.does[column, row] = does

    def clear(self, column: int, row: int) -> None:
        """Nothing of the ground there, beside a name."""
        if 0 <= column < len(self.text[row]) and self.part[row][column] in ("coast", "muted"):
            self.text[row][column] = " "

    def busy(self) -> set[tuple[int, int]]:
        """Cells through which the route runs."""
        return {(x, y) for y, row in enumerate(self.part) for x, part in enumerate(row) if part in ("route", "leg")}

    def lines(self) -> list[Line]:
        """Neighbours of one part are one run."""
        return [self._line(row) for row in range(len(self.text))]

    def _line(self, row: int) -> Line:
        line: Line = []
        for column, (letter, part) in enumerate(zip(self.text[row], self.part[row], strict=True)):
            ink = part + ON_LAND if self.land[row][column] else part
            does = self.does.get((column, row), "")
            if line and line[-1].part == ink and line[-1].does == does:
                line[-1] = Run(line[-1].text + letter, ink, does)
            else:
                line.append(Run(letter, ink, does))
        return line


def _ground_cells(below: Ground, scene: Scene) -> Cells:
    text, part = [], []
    stipple = not scene.shaded or scene.plain
    for row, dots in enumerate(below.coast):
        land = below.land[row]
        letters = [_ground_letter(mask, land[column], stipple and _stippled(column, row), scene.plain)
                   for column, mask in enumerate(dots)]  # fmt: skip
        text.append(letters)
        part.append(["coast" if mask else "muted" for mask in dots])
    shade = below.land if scene.shaded else [bytes(len(dots)) for dots in below.coast]
    return Cells(text, part, shade)


def _ground_letter(mask: int, land: int, dotted: bool, plain: bool) -> str:
    if mask:
        return "." if plain else chr(BRAILLE + mask)
    return (":" if plain else "·") if land and dotted else " "


def _stippled(column: int, row: int) -> bool:
    return row % 2 == 0 and (column + row) % 4 == 0


def _draw_route(cells: Cells, scene: Scene, frame: Frame) -> None:
    """All legs, then the one pointed at."""
    for part, one in (("route", False), ("leg", True)):
        lines = [leg["line"] for leg in scene.chart["legs"] if (leg["index"] == scene.leg) == one]
        for row, dots in enumerate(strokes(lines, frame, BROAD)):
            for column, mask in enumerate(dots):
                if mask:
                    _route_dot(cells, column, row, mask, part, scene.plain)


def _route_dot(cells: Cells, column: int, row: int, mask: int, part: str, plain: bool) -> None:
    """Where legs meet in a cell their dots join; coast gives way to the route."""
    if cells.part[row][column] == "route" and not plain:
        mask |= ord(cells.text[row][column]) - BRAILLE
    cells.put(column, row, "#" if plain else chr(BRAILLE + mask), part)


@dataclass(frozen=True)
class Mark:
    """A sign on a cell; ``name`` of the place, ``rank`` the lower the sooner named."""

    sign: str
    name: str = ""
    rank: int = 9
    does: str = ""


def _marks(scene: Scene, frame: Frame) -> dict[tuple[int, int], Mark]:
    """Signs by cell; of several in one the last put stands: nights, then places by weight, then the boat."""
    found: dict[tuple[int, int], Mark] = {}
    for day in scene.days:
        if (cell := _cell(frame, boat_at(scene, day))) is not None:
            found[cell] = Mark("night")
    pointed = next((leg for leg in scene.chart["legs"] if leg["index"] == scene.leg), None)
    places = [(_rank(scene, pointed, place), place) for place in scene.chart["places"]]
    for rank, place in sorted(places, key=lambda one: -one[0]):
        cell = frame.cell((place["x"], place["y"]))
        if cell is not None:
            sign = "plug" if place["shore"] and place["moor"] else "place" if place["moor"] else "pass"
            does = "" if place["leg"] is None else f"leg({place['leg']})"
            found[cell] = Mark(sign, place["name"], rank, does)
    cell = None if scene.now is None else frame.cell(degrees_of(scene.now["at"], scene.chart["bounds"]))
    if cell is not None and scene.now is not None:
        there = found.get(cell, Mark("here"))
        found[cell] = replace(there, sign="here", name=there.name or f"km {scene.now['km']:.0f}", rank=0)
    cell = _cell(frame, boat_at(scene))
    if cell is not None and scene.day is not None:
        here = found.get(cell, Mark("boat"))
        found[cell] = replace(here, sign="boat", name=here.name or _lies(scene.day), rank=0)
    return found


def _cell(frame: Frame, point: tuple[float, float] | None) -> tuple[int, int] | None:
    return None if point is None else frame.cell(point)


def _rank(scene: Scene, pointed: Row | None, place: Row) -> int:
    """0 the boat's, 1 start and end, 2 ends of the leg pointed at, 3 plugs, 4 berths, 5 the rest."""
    if place["name"] in (scene.chart["start"], scene.chart["end"]):
        return 1
    if pointed is not None and place["name"] in (pointed["from"], pointed["to"]):
        return 2
    return 3 if place["shore"] else 4 if place["moor"] else 5


def _names(scene: Scene, marks: Mapping[tuple[int, int], Mark]) -> list[Name]:
    named = [(mark.rank, cell, mark) for cell, mark in marks.items() if mark.name]
    return [
        Name(_name(scene, mark.name), *cell, strong=mark.rank <= 2, does=mark.does)
        for _, cell, mark in sorted(named, key=lambda one: one[:2])
    ]


def _name(scene: Scene, name: str) -> str:
    ends = [key for key in ("start", "end") if scene.chart[key] == name]
    return _spelt(f"{cut(name, 20)} ({', '.join(ends)})" if ends else cut(name, 20), scene)


def _spelt(text: str, scene: Scene) -> str:
    """Names keep their letters; signs between them are those of ASCII where nothing else is to be used."""
    return text.translate(SPELT) if scene.plain else text


def _lies(day: Row) -> str:
    return str(day.get("mooring") or "")


def _foot(scene: Scene, view: View, below: Ground, width: int) -> Line:
    """The scale, and as many words as there is room for."""
    words = [NOT_FOR, "north up, Mercator", *(["coast 1:10 million"] if below.any_coast else [])]
    scale = scale_bar(view, scene.units, max(12, width // 4), scene.plain)
    told, gap = scale, ", " if scene.plain else " · "
    for word in words:
        told = f"{told}{gap}{word}" if len(told) + len(gap) + len(word) <= width else told
    return [Run(scale), Run(told[len(scale) :], "muted")]


def _legend(scene: Scene, seen: Collection[str], below: Ground, width: int) -> Line:
    """Where the boat is, the signs in sight, and whether there is a coast."""
    signs, day = ASCII_SIGNS if scene.plain else SIGNS, scene.day
    parts: list[Line] = []
    if day is not None:
        date = " ".join(short_date(day["date"]).split())
        which = LOGGED if is_past(day) else f"day {day['day']}"
        lies = cut(f"{which}, {date}: {_lies(day)}", width - 2)
        parts.append([Run(signs["boat"], "boat"), Run(f" {lies}", "bold")])
    leg = next((leg for leg in scene.chart["legs"] if leg["index"] == scene.leg), None)
    if leg is not None:
        ends = stretch(leg["from"], leg["to"], max(9, width // 3))
        parts.append([Run(_spelt(f"leg {leg['index'] + 1}: {ends}", scene), "leg")])
    if not below.any_coast:
        parts.append([Run(NO_COAST, "muted")])
    for sign in [sign for sign in SIGN_WORDS if sign in seen and sign != "boat"]:
        parts.append([Run(signs[sign], sign), Run(f" {SIGN_WORDS[sign]}", "muted")])
    line: Line = []
    for part in parts:
        gap: Line = [Run("   ")] if line else []
        if length([*line, *gap, *part]) <= width:
            line += [*gap, *part]
    return line
