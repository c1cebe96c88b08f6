"""The panes that open in the place of the board's lower part: which there are, made when first opened."""

from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.widget import Widget


@dataclass(frozen=True)
class Pane:
    """One pane: its ``name`` is the widget's id; the widget is made without arguments.

    It offers ``show(desk)``, and ``point(what, index)`` and ``answer(name, body)`` where it cares for them.
    """

    name: str
    module: str
    made_by: str
    title: str

    @property
    def there(self) -> bool:
        """Whether its module is."""
        return find_spec(self.module) is not None

    def make(self) -> "Widget":
        """A new one."""
        made: Widget = getattr(import_module(self.module), self.made_by)()
        return made


PANES = {
    pane.name: pane
    for pane in (
        Pane("leg", "voyager.tui.widgets.leg_form", "LegPane", "Leg"),
        Pane("places", "voyager.tui.widgets.places", "PlacesPane", "Places"),
        Pane("hours", "voyager.tui.widgets.hours", "HoursPane", "Hours"),
        Pane("map", "voyager.tui.widgets.map", "MapPane", "Map"),
        Pane("morning", "voyager.tui.widgets.morning", "MorningPane", "This morning"),
        Pane("evening", "voyager.tui.widgets.evening", "EveningPane", "This evening"),
        Pane("log", "voyager.tui.widgets.log", "LogPane", "Log"),
        Pane("actual", "voyager.tui.widgets.actual", "ActualPane", "Planned against actual"),
        Pane("fits", "voyager.tui.widgets.fits", "FitsPane", "Fits"),
        Pane("sure", "voyager.tui.widgets.sure", "SurePane", "How sure"),
        Pane("values", "voyager.tui.widgets.values", "ValuesPane", "Values"),
    )
}
