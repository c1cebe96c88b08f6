"""The pane "map": the route on its coast, moved and zoomed by keys or mouse, following the day or leg pointed at."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, ClassVar

from rich.style import Style
from textual import events
from textual.timer import Timer

from voyager.tui import map_view
from voyager.tui.actions import bindings, key_of
from voyager.tui.desk import Desk
from voyager.tui.map_dots import Frame, Ground, ground
from voyager.tui.map_view import ON_LAND, Scene
from voyager.tui.map_window import View, covers, fitted, holds, window
from voyager.tui.messages import Asked, Pointed, Stepped
from voyager.tui.runs import Line, Run
from voyager.tui.widgets.sheet import Sheet
from voyager.tui.words import wrapped

if TYPE_CHECKING:
    from voyager.session.sketch.state import Sketch

NAME = "map"
CHART = "voyager.session.map:chart"
STEP = 1.5
WAIT_S = 0.15
READING = "reading the coast …"
HINT = (
    f"{key_of('map-in')} {key_of('map-out')} zoom · arrows · {key_of('map-whole')} whole · "
    f"{key_of('map-back')} {key_of('map-on')} day · {key_of('map-close')} closes"
)


def _way(sketch: "Sketch") -> dict[str, list[dict[str, Any]]]:
    """What a chart is made of: the rows of places and legs with the keys that are drawn."""
    rows = (("place", sketch.places, ("name", "at", "shore_kw", "moor")), ("leg", sketch.legs, ("from", "to", "via")))
    return {name: [{key: row.get(key) for key in keys if key in row.values} for row in of] for name, of, keys in rows}


class MapPane(Sheet):
    """``view`` None: the whole route. The chart is asked for beside the plan; until it comes the former is drawn."""

    BINDINGS = bindings("map")
    COMPONENT_CLASSES: ClassVar[set[str]] = {f"map--{part}" for part in (*map_view.PARTS, "land")}

    def __init__(self) -> None:
        super().__init__(NAME)
        self.desk: Desk | None = None
        self.chart: Mapping[str, Any] | None = None
        self.view: View | None = None
        self.day: int | None = None
        self.leg: int | None = None
        self.asked: tuple[object, ...] = ()
        self.why = ""
        self.wait: Timer | None = None
        self.pending: list[Callable[[], None]] = []
        self.base: tuple[tuple[object, ...], Ground] | None = None

    def show(self, desk: Desk) -> None:
        """Take over what the desk holds; the view stays."""
        self.desk = desk
        self.border_title = f" Map{desk.former_words}: {HINT} "
        self._want()
        self.redraw()

    def point(self, what: str, index: int) -> None:
        """Follow the cursor: to a leg and the day on which it begins, or to a day."""
        rows = self._rows("days" if what == "day" else "legs")
        row = rows[index] if 0 <= index < len(rows) else {}
        self.leg = index if what == "leg" else None
        self.day = row.get("day" if what == "day" else "started_day", self.day)
        self._follow()

    def answer(self, name: str, body: Any) -> None:
        """The chart that was asked for."""
        if name == NAME and isinstance(body, Mapping):
            self.chart, self.why = body, ""
            pending, self.pending = self.pending, []
            for step in pending:
                step()
            self._want()
            self.redraw()

    def refused(self, name: str, why: str) -> None:
        """There is no chart; the former one stays."""
        self.why = why
        self.redraw()

    def on_show(self) -> None:
        self._want()
        super().on_show()

    def on_resize(self) -> None:
        self._want()
        super().on_resize()

    def _rows(self, key: str) -> list[Mapping[str, Any]]:
        plan = None if self.desk is None else self.desk.plan
        if plan is None or self.desk is None:
            return []
        return list(self.desk.days if key == "days" else plan[key])

    def _row(self) -> Mapping[str, Any] | None:
        """The row of the day shown, the first that is planned where none was pointed at."""
        days = self._rows("days")
        first = next((day for day in days if day["day"] == 1), None)
        return next((day for day in days if day["day"] == self.day), first)

    # the window

    @property
    def cells(self) -> tuple[int, int]:
        """Columns and rows of the map itself."""
        region = self.scrollable_content_region
        return max(1, region.width), max(1, region.height - map_view.FOOT)

    def _seen(self) -> View | None:
        """What is looked at."""
        if self.view is not None or self.chart is None:
            return self.view
        return fitted(self.chart["bounds"], *self.cells)

    def _want(self) -> None:
        """Ask for another chart, a moment from now, where the present one does not do."""
        if self.desk is None or not self.display or self.size.height == 0 or self.wait is not None:
            return
        if self.desk.opened is None or self._done():
            return
        if self.chart is None:
            self._ask()
        else:
            self.wait = self.set_timer(WAIT_S, self._ask)

    def _done(self) -> bool:
        """Whether the chart, come or asked for, is of these places and legs and reaches as far as the view."""
        view = self._seen()
        if self.desk is None or not self.asked or self.asked[0] != _way(self.desk.sketch):
            return False
        if view is None or self.asked[1:] == (view, self.size):
            return True
        return covers(self.chart or {}, view, *self.cells)

    def _ask(self) -> None:
        self.wait = None
        if self.desk is None:
            return
        view, way = self._seen(), _way(self.desk.sketch)
        wanted = None if view is None else window(view, *self.cells, times=2.0)
        self.asked = (way, view, self.size)
        self.post_message(Asked(NAME, CHART, self.desk.path, {"voyage": way, "boat": {}}, wanted))

    def _look(self, view: View | None) -> None:
        self.view = view
        self._want()
        self.redraw()

    def _follow(self) -> None:
        """Bring the boat, or the leg pointed at, into a view that was zoomed."""
        at = self._target()
        if self.view is not None and at is not None and not holds(self.view, at, *self.cells):
            self.view = View(*at, self.view.dot)
            self._want()
        self.redraw()

    def _target(self) -> tuple[float, float] | None:
        scene = self._scene()
        if scene is None:
            return None
        leg = next((leg for leg in scene.chart["legs"] if leg["index"] == self.leg), None)
        return map_view.boat_at(scene) if leg is None else tuple(leg["line"][len(leg["line"]) // 2])

    # drawing

    def _scene(self) -> Scene | None:
        if self.desk is None or self.chart is None:
            return None
        shaded = not (self.app.no_color or self.app.native_ansi_color or self.desk.ascii)
        plan = self.desk.plan or {}
        now = plan["from"] if plan.get("log") else None
        units, plain = self.desk.units, self.desk.ascii
        return Scene(self.chart, self._rows("days"), self._row(), self.leg, units, plain, shaded, now)

    def draw(self, width: int, height: int) -> list[Line]:
        scene = self._scene()
        if scene is None:
            return [[Run(text)] for text in wrapped(self.why or READING, width)]
        view = self._seen()
        return map_view.draw(scene, view, self._ground(view, width, height), width, height)

    def _ground(self, view: View | None, width: int, height: int) -> Ground | None:
        """Coast and land of the view, kept as long as they are the same."""
        if view is None or self.chart is None:
            return None
        key = (id(self.chart), view, width, height)
        if self.base is None or self.base[0] != key:
            rows = max(1, height - map_view.FOOT)
            self.base = key, ground(self.chart, Frame(view.x, view.y, view.dot, width, rows))
        return self.base[1]

    def _ink(self, part: str) -> Style:
        own = part.removesuffix(ON_LAND)
        style = self.rich_style
        if own != part:
            style += self.get_component_rich_style("map--land", partial=True)
        if own in map_view.PARTS:
            style += self.get_component_rich_style(f"map--{own}", partial=True)
        return style

    # what the user does; before the first chart has come it waits its turn

    def action_zoom(self, way: int) -> None:
        """Nearer or farther by half; the middle stays, from the whole route the boat or leg comes there."""
        view = self._seen()
        if self.chart is None:
            self.pending.append(lambda: self.action_zoom(way))
        elif view is not None:
            at = self._target() if self.view is None and way > 0 else None
            self._look((view if at is None else View(*at, view.dot)).zoomed(STEP**way))

    def _zoom_at(self, event: events.MouseEvent, way: int) -> None:
        """Likewise about the mouse."""
        event.stop()
        event.prevent_default()
        view, offset = self._seen(), event.get_content_offset(self)
        if view is not None and offset is not None:
            (wide, high), (x, y) = self.cells, offset
            at = view.x + (2 * x + 1 - wide) * view.dot, view.y - (4 * y + 2 - 2 * high) * view.dot
            self._look(view.zoomed_at(at, STEP**way))

    def action_pan(self, columns: int, rows: int) -> None:
        """By so many eighths of the pane, east and north."""
        view, (wide, high) = self._seen(), self.cells
        if self.chart is None:
            self.pending.append(lambda: self.action_pan(columns, rows))
        elif view is not None:
            self._look(view.panned(columns * max(1, wide // 8), rows * max(1, high // 8)))

    def action_whole(self) -> None:
        """The whole route again."""
        self._look(None)

    def action_boat(self) -> None:
        """The boat in the middle."""
        view, scene = self._seen(), self._scene()
        at = None if scene is None else map_view.boat_at(scene)
        if view is not None and at is not None:
            self._look(View(*at, view.dot))

    def action_day(self, by: int) -> None:
        """Another day of the plan."""
        numbers, row = [day["day"] for day in self._rows("days")], self._row()
        later = [] if row is None else [day for day in numbers if (day > row["day"] if by > 0 else day < row["day"])]
        if later:
            self.day, self.leg = min(later) if by > 0 else max(later), None
            self._follow()
            self.post_message(Stepped(self.day))

    def action_leg(self, index: int) -> None:
        """Point at a leg, as a click on its place does."""
        self.leg = index
        self.redraw()
        self.post_message(Pointed("leg", index))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._zoom_at(event, 1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._zoom_at(event, -1)
