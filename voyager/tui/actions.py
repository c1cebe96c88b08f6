"""The one list of actions: key bindings, footer, help screen and command palette all read it."""

from collections.abc import Mapping
from dataclasses import dataclass

from textual.binding import Binding, BindingType

from voyager.tui.key_names import key_words

UNBOUND = "unbound-"
"""Begins the name of a key that nothing sends: of actions without a key."""
_OWN: dict[str, tuple[str, ...]] = {}


@dataclass(frozen=True)
class Action:
    """One thing a user can do; ``scope`` says where its keys are heard, ``show`` whether the footer names it."""

    id: str
    keys: str
    do: str
    label: str
    help: str
    scope: str = "app"
    show: bool = False
    display: str | None = None


SCOPES = {
    "app": "Anywhere",
    "legs": "In the legs",
    "grid": "In a table",
    "leg": "In the values of a leg",
    "places": "In the places and points",
    "cell": "While typing into a cell",
    "days": "In the days",
    "hours": "In the hours of a day",
    "morning": "On the morning card",
    "evening": "On the evening card",
    "log": "In the log",
    "note": "While noting a reading",
    "actual": "In planned against actual",
    "sure": "In the odds",
    "map": "On the map",
    "values": "In the values",
    "fits": "On the page of fits",
    "choice": "On a choice",
    "pick": "In a list of choices",
    "date": "In the calendar",
    "split": "While splitting a leg",
    "draw": "While drawing a leg",
    "files": "While choosing a file",
    "new": "While beginning a voyage",
    "read": "In a page to read",
    "help": "In this help",
}


def _reading(scope: str, what: str) -> tuple[Action, ...]:
    """What all panes of one day have in common."""
    return (
        Action(f"{scope}-back", "left", "day(-1)", "Day back", "The day before", scope),
        Action(f"{scope}-on", "right", "day(1)", "Day on", "The next day", scope),
        Action(f"{scope}-up", "up", "scroll_by(-1)", "Up", "One line up", scope),
        Action(f"{scope}-down", "down", "scroll_by(1)", "Down", "One line down", scope),
        Action(f"{scope}-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", scope),
        Action(f"{scope}-page-down", "pagedown,space", "scroll_by(10)", "Page down", "Ten lines down", scope),
        Action(f"{scope}-read", "enter", "app.details", "Read", "Read all about the day", scope),
        Action(f"{scope}-close", "escape", "close", "Close", f"Close {what}", scope),
    )


ACTIONS = (
    Action("departs", "d", "choose('departs')", "Departs", "Pick the day of departure"),
    Action("sky", "s", "choose('sky')", "Sky", "Pick the sky to plan for"),
    Action("aim", "a", "choose('aim')", "Aim", "Pick what to plan for"),
    Action("by", "b", "choose('by')", "By", "Pick the day to have arrived by"),
    Action("comfort", "c", "choose('comfort')", "Comfort", "Pick the comfort to be kept"),
    Action("earlier", "left_square_bracket", "shift(-1)", "Earlier", "Depart one day earlier", display="["),
    Action("later", "right_square_bracket", "shift(1)", "Later", "Depart one day later", display="]"),
    Action("undo", "u,ctrl+z", "undo", "Undo", "Take the last change back", show=True),
    Action("redo", "r,ctrl+y", "redo", "Redo", "Make it again"),
    Action("morning", "m,f6", "pane('morning')", "Morning", "Open or close the card of this morning", show=True),
    Action("evening", "e,f7", "pane('evening')", "Evening", "Open or close the card of this evening", show=True),
    Action("forecast", "f", "forecast", "Forecast", "Enter the cloud of this morning's day: f, then 0 to 8 eighths"),
    Action("sure", "o,f8", "pane('sure')", "How sure", "Open or close the odds: how sure the plan is", show=True),
    Action("values", "v,f9", "pane('values')", "Values", "Open or close the values of voyage and boat", show=True),
    Action("units", "U", "units", "Units", "Pick km/h or knots, km or miles, °C or °F"),
    Action("dismiss", "k", "dismiss", "Dismiss", "Compare with the former plan no more"),
    Action("save", "ctrl+s", "save", "Save", "Write the changes into the files", show=True, display="^s"),
    Action("save-as", "S", "save_as", "Save as", "Write the voyage under another name"),
    Action("open", "ctrl+o", "open", "Open", "Open another voyage"),
    Action("new", "N", "new", "New", "Begin a new voyage"),
    Action("copy", "y,alt+y", "copy", "Copy", "Copy the table in focus, for a spreadsheet"),
    Action("copy-file", "Y,alt+w", "copy_file", "Write table", "Write the table in focus to a CSV file"),
    Action("leg", "l,f10", "pane('leg')", "Leg", "Open or close all values of the leg under the cursor"),
    Action("places", "p,f3", "pane('places')", "Places", "Open or close the places and waypoints", show=True),
    Action("hours", "h,f4", "pane('hours')", "Hours", "Open or close the day under the cursor hour by hour", show=True),
    Action("map", "g,f5", "pane('map')", "Map", "Open or close the map of the route", show=True),
    Action("note", "n,alt+n", "note", "Note", "Note a reading: where the boat is, its charge, the sun, a remark"),
    Action("log", "L,f12", "pane('log')", "Log", "Open or close the log of the voyage"),
    Action("onward", "F,alt+f", "onward", "From here", "Plan on from the log's last reading; or the whole voyage"),
    Action("actual", "A,alt+a", "pane('actual')", "Actual", "Open or close planned against actual, day by day"),
    Action("fits", "T,alt+t", "pane('fits')", "Fits", "Open or close the fits: measurements to values of the boat"),
    Action("need", "j", "need", "Next need", "To the next day that takes shore power or is not held"),
    Action("whole", "z", "whole", "Larger", "Give the open pane the whole board, or its part again"),
    Action("details", "i", "details", "Details", "Read all about the leg or day under the cursor", show=True),
    Action("cautions", "w", "cautions", "Cautions", "Read every caution of this plan", show=True),
    Action("stop", "x", "stop", "Stop, go on", "Stop planning and keep what is shown; or plan on"),
    Action("look", "t", "look", "Look", "Change between dark, light and 16 colours"),
    Action("ascii", "", "ascii", "ASCII", "Draw with ASCII signs alone, or with all signs again"),
    Action("tour", "", "tour", "Tour", "Four lines on how to begin"),
    Action("write-keys", "", "write_keys", "Key file", "Write a key file to edit, with every action and its keys"),
    Action("help", "question_mark,f1", "help", "Help", "Every key, those of this place first", show=True, display="?"),
    Action("palette", "ctrl+p", "command_palette", "Find", "Find an action by name"),
    Action("quit", "q,ctrl+q", "quit", "Quit", "Leave voyager", show=True),
    Action("interrupt", "ctrl+c", "quit", "Quit", "Leave voyager"),
    Action("grid-up", "up", "move(-1, 0)", "Up", "One row up", "grid"),
    Action("grid-down", "down", "move(1, 0)", "Down", "One row down", "grid"),
    Action("grid-left", "left", "move(0, -1)", "Left", "One column left", "grid"),
    Action("grid-right", "right", "move(0, 1)", "Right", "One column right; there are more beyond the edge", "grid"),
    Action("grid-page-up", "pageup", "page(-1)", "Page up", "One page up", "grid"),
    Action("grid-page-down", "pagedown", "page(1)", "Page down", "One page down", "grid"),
    Action("grid-first", "home,ctrl+home", "end(-1)", "First", "First row", "grid"),
    Action("grid-last", "end,ctrl+end", "end(1)", "Last", "Last row", "grid"),
    Action(
        "edit", "enter", "edit", "Change", "Change the value; on From at a gap, take where the leg above ends", "legs"
    ),
    Action("type", "f2", "type", "Type", "Type over the value; names, letters and figures begin it too", "legs"),
    Action(
        "clear",
        "delete,backspace",
        "clear",
        "Clear",
        "Take the value away: the speed is free, no night is stayed",
        "legs",
    ),
    Action("more", "plus", "nudge(1)", "More", "One step more", "legs", display="+"),
    Action("less", "minus", "nudge(-1)", "Less", "One step less", "legs", display="−"),
    Action("leg-add", "ctrl+n,insert", "add", "Add", "A new leg below", "legs"),
    Action("leg-duplicate", "ctrl+d", "duplicate", "Double", "The leg once more below", "legs"),
    Action("leg-remove", "ctrl+x,ctrl+delete", "remove", "Remove", "Remove the leg, or the legs marked", "legs"),
    Action("leg-up", "alt+up", "shift(-1)", "Leg up", "Move the leg one row up", "legs"),
    Action("leg-down", "alt+down", "shift(1)", "Leg down", "Move the leg one row down", "legs"),
    Action("leg-split", "slash", "split", "Split", "Split the leg at a mooring or a kilometre", "legs", display="/"),
    Action("leg-join", "ampersand", "join", "Join", "Make one leg of this and the one below", "legs", display="&"),
    Action("leg-reverse", "ctrl+r", "reverse", "Reverse", "The voyage the other way round", "legs"),
    Action("leg-back", "ctrl+b", "back", "And back", "There and back: the way back is added", "legs"),
    Action("leg-draw", "ctrl+t,ctrl+g", "draw", "Draw", "A new leg between two typed positions", "legs"),
    Action("mark-up", "shift+up", "mark(-1)", "Mark up", "Mark legs from here up", "legs"),
    Action("mark-down", "shift+down", "mark(1)", "Mark down", "Mark legs from here down", "legs"),
    Action("leg-copy", "ctrl+k,alt+c", "copy", "Copy legs", "Copy the leg, or the legs marked, to paste them", "legs"),
    Action("leg-edit", "enter,f2", "edit", "Change", "Change the value; letters or figures begin it too", "leg"),
    Action("leg-clear", "delete,backspace", "clear", "Clear", "Take the value away; the default then holds", "leg"),
    Action("leg-more", "plus", "nudge(1)", "More", "One step more; yes; the next of the choices", "leg", display="+"),
    Action("leg-less", "minus", "nudge(-1)", "Less", "One step less; no; the choice before", "leg", display="−"),
    Action("leg-before", "left", "leg(-1)", "Leg back", "The leg before", "leg"),
    Action("leg-after", "right", "leg(1)", "Leg on", "The next leg", "leg"),
    Action("leg-close", "escape", "close", "Close", "Close the leg", "leg"),
    Action("place-edit", "enter,f2", "edit", "Change", "Change the value; letters or figures begin it too", "places"),
    Action("place-clear", "delete,backspace", "clear", "Clear", "Take the value away", "places"),
    Action("place-more", "plus", "nudge(1)", "More", "One step more", "places", display="+"),
    Action("place-less", "minus", "nudge(-1)", "Less", "One step less", "places", display="−"),
    Action("place-add", "ctrl+n,insert", "add", "Add", "A new place or point below", "places"),
    Action("place-remove", "ctrl+x,ctrl+delete", "remove", "Remove", "Remove the place or point", "places"),
    Action("place-up", "alt+up", "shift(-1)", "Move up", "Move the place or point one row up", "places"),
    Action("place-down", "alt+down", "shift(1)", "Move down", "Move the place or point one row down", "places"),
    Action("place-leg-back", "ctrl+left", "leg(-1)", "Leg back", "The points of the leg before", "places"),
    Action("place-leg-on", "ctrl+right", "leg(1)", "Leg on", "The points of the next leg", "places"),
    Action("place-draw", "ctrl+t,ctrl+g", "draw", "Draw", "A new leg between two typed positions", "places"),
    Action("place-close", "escape", "close", "Close", "Close the places", "places"),
    Action("cell-take", "enter,down", "finish(1, 0)", "Take", "Take it and go one row down", "cell", True, "Enter"),
    Action("cell-take-up", "up", "finish(-1, 0)", "Take, up", "Take it and go one row up", "cell"),
    Action("cell-take-on", "tab", "finish(0, 1)", "Take, on", "Take it and go on to the right", "cell", True),
    Action("cell-take-back", "shift+tab", "finish(0, -1)", "Take, back", "Take it and go on to the left", "cell"),
    Action("cell-drop", "escape", "drop", "Leave as it was", "Leave the cell as it was", "cell", show=True),
    Action("days-up", "up", "move(-1)", "Up", "One day up", "days"),
    Action("days-down", "down", "move(1)", "Down", "One day down", "days"),
    Action("days-page-up", "pageup", "page(-1)", "Page up", "One page up", "days"),
    Action("days-page-down", "pagedown", "page(1)", "Page down", "One page down", "days"),
    Action("days-first", "home", "move(-9999)", "First", "First day", "days"),
    Action("days-last", "end", "move(9999)", "Last", "Last day", "days"),
    Action("days-open", "enter", "app.details", "Read", "Read all about the day", "days"),
    Action("morning-back", "left", "day(-1)", "Day back", "The morning before", "morning"),
    Action("morning-on", "right", "day(1)", "Day on", "The next morning", "morning"),
    Action("morning-up", "up", "other(-1)", "Berth back", "Wake at another place, nearer the start", "morning"),
    Action("morning-down", "down", "other(1)", "Berth on", "Wake at another place, farther on", "morning"),
    Action("morning-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", "morning"),
    Action("morning-page-down", "pagedown", "scroll_by(10)", "Page down", "Ten lines down", "morning"),
    Action("morning-read", "enter", "app.details", "Read", "Read every band in full", "morning"),
    Action("morning-close", "escape", "close", "Close", "Close the card", "morning"),
    Action(
        "morning-unforecast", "delete,backspace", "unforecast", "No forecast", "Take this day's forecast out", "morning"
    ),
    *_reading("hours", "the hours"),
    *_reading("evening", "the evening card"),
    Action("log-edit", "enter,f2", "edit", "Change", "Change the entry in the line that is typed for it", "log", True),
    Action("log-remove", "delete,backspace,ctrl+x", "remove", "Take out", "Take the entry out", "log", True),
    Action("log-import", "I", "bring", "Import", "Bring readings of a CSV or a GPX track into the log", "log", True),
    Action("log-add", "insert,ctrl+n", "app.note", "Note", "Note a reading", "log"),
    Action("log-up", "up", "move(-1)", "Up", "One entry up", "log"),
    Action("log-down", "down", "move(1)", "Down", "One entry down", "log"),
    Action("log-page-up", "pageup", "page(-1)", "Page up", "One page up", "log"),
    Action("log-page-down", "pagedown,space", "page(1)", "Page down", "One page down", "log"),
    Action("log-first", "home", "move(-99999999)", "First", "The first entry", "log"),
    Action("log-last", "end", "move(99999999)", "Last", "The last entry", "log"),
    Action("log-close", "escape", "close", "Close", "Close the log", "log"),
    Action("note-take", "enter", "take", "Keep", "Keep the reading", "note"),
    Action("note-drop", "escape", "drop", "Leave", "Leave it; a new reading half typed is offered again", "note"),
    *_reading("actual", "planned against actual"),
    Action("actual-first", "home", "day(-9999)", "First", "The first day of the log", "actual"),
    Action("actual-last", "end", "day(9999)", "Last", "The last day of the log", "actual"),
    Action("sure-up", "up", "scroll_by(-1)", "Up", "One line up", "sure"),
    Action("sure-down", "down", "scroll_by(1)", "Down", "One line down", "sure"),
    Action("sure-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", "sure"),
    Action("sure-page-down", "pagedown,space", "scroll_by(10)", "Page down", "Ten lines down", "sure"),
    Action("sure-close", "escape", "close", "Close", "Close the odds", "sure"),
    Action("map-in", "plus,equals_sign", "zoom(1)", "Nearer", "Show less of the map, larger", "map", display="+"),
    Action("map-out", "minus", "zoom(-1)", "Farther", "Show more of the map, smaller", "map", display="−"),
    Action("map-whole", "0", "whole", "Whole", "Show the whole route", "map"),
    Action("map-boat", "home", "boat", "To the boat", "Bring the boat to the middle", "map"),
    Action("map-up", "up", "pan(0, 1)", "North", "Move north", "map"),
    Action("map-down", "down", "pan(0, -1)", "South", "Move south", "map"),
    Action("map-left", "left", "pan(-1, 0)", "West", "Move west", "map"),
    Action("map-right", "right", "pan(1, 0)", "East", "Move east", "map"),
    Action("map-page-up", "pageup", "pan(0, 6)", "Far north", "Move far north", "map"),
    Action("map-page-down", "pagedown", "pan(0, -6)", "Far south", "Move far south", "map"),
    Action("map-back", "comma", "day(-1)", "Day back", "The day before", "map", display=","),
    Action("map-on", "full_stop", "day(1)", "Day on", "The next day", "map", display="."),
    Action("map-read", "enter", "app.details", "Read", "Read all about the leg or day", "map"),
    Action("map-close", "escape", "close", "Close", "Close the map", "map"),
    Action("values-up", "up", "move(-1)", "Up", "One value up", "values"),
    Action("values-down", "down", "move(1)", "Down", "One value down", "values"),
    Action("values-page-up", "pageup", "page(-1)", "Page up", "One page up", "values"),
    Action("values-page-down", "pagedown", "page(1)", "Page down", "One page down", "values"),
    Action("values-first", "home", "move(-9999)", "First", "First value", "values"),
    Action("values-last", "end", "move(9999)", "Last", "Last value", "values"),
    Action("values-group-up", "shift+up,ctrl+up", "group(-1)", "Group up", "To the group before", "values"),
    Action("values-group-down", "shift+down,ctrl+down", "group(1)", "Group down", "To the next group", "values"),
    Action("values-edit", "enter,f2", "edit", "Change", "Type over the value, or add what the line says", "values"),
    Action("values-more", "plus,equals_sign,right", "nudge(1)", "More", "A step more", "values", display="+"),
    Action("values-less", "minus,left", "nudge(-1)", "Less", "A step less", "values", display="−"),
    Action("values-much-more", "shift+right,ctrl+right", "nudge(10)", "Much more", "Ten steps more", "values"),
    Action("values-much-less", "shift+left,ctrl+left", "nudge(-10)", "Much less", "Ten steps less", "values"),
    Action("values-clear", "delete,backspace", "clear", "Default", "Back to the default", "values"),
    Action("values-remove", "ctrl+x,ctrl+delete", "remove", "Take out", "Take out this array, heater, step", "values"),
    Action("values-find", "slash", "find", "Find", "Find a value, Tab goes to the next", "values", display="/"),
    Action("values-close", "escape", "close", "Close", "Close the values", "values"),
    Action("fits-put", "b", "offer", "Into the boat", "Put what was found into the boat file", "fits", True),
    Action("fits-picture", "P", "picture", "Picture", "Write the plot as a picture, SVG or PNG", "fits", True),
    Action("fits-choose", "enter,f2", "choose", "Choose", "The next kind, a file, the option; say yes", "fits"),
    Action("fits-up", "up", "move(-1)", "Up", "One row up", "fits"),
    Action("fits-down", "down", "move(1)", "Down", "One row down; beyond the last row the text", "fits"),
    Action("fits-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", "fits"),
    Action("fits-page-down", "pagedown,space", "scroll_by(10)", "Page down", "Ten lines down", "fits"),
    Action("fits-first", "home", "end(-1)", "First", "To the first row", "fits"),
    Action("fits-last", "end", "end(1)", "Last", "To the end of the text", "fits"),
    Action("fits-back", "left", "turn(-1)", "Kind back", "The kind of fit before", "fits"),
    Action("fits-on", "right", "turn(1)", "Kind on", "The next kind of fit", "fits"),
    Action("fits-more", "plus,equals_sign", "nudge(1)", "More", "A step more; the next choice", "fits", display="+"),
    Action("fits-less", "minus", "nudge(-1)", "Less", "A step less; the choice before", "fits", display="−"),
    Action("fits-clear", "delete,backspace", "clear", "Default", "Back to what holds where nothing is said", "fits"),
    Action("fits-again", "ctrl+r", "again", "Fit again", "Read the file and fit once more", "fits"),
    Action("fits-stop", "x", "stop", "Stop", "Give up the search for the next measurement; else planning", "fits"),
    Action("fits-close", "escape", "close", "Close", "Leave the boat as it is; close the fits", "fits"),
    Action("choice-open", "enter,space,down", "open", "Open", "Open its list", "choice"),
    Action("pick-take", "enter", "select", "Take", "Take the choice under the cursor (or type its letter)", "pick"),
    Action("pick-up", "up", "cursor_up", "Up", "One choice up", "pick"),
    Action("pick-down", "down", "cursor_down", "Down", "One choice down", "pick"),
    Action("pick-drop", "escape", "screen.drop", "Leave", "Leave it as it was", "pick"),
    Action("date-left", "left", "days(-1)", "Day back", "One day back", "date"),
    Action("date-right", "right", "days(1)", "Day on", "One day on", "date"),
    Action("date-up", "up", "days(-7)", "Week back", "One week back", "date"),
    Action("date-down", "down", "days(7)", "Week on", "One week on", "date"),
    Action("date-month-back", "pageup", "months(-1)", "Month back", "One month back", "date"),
    Action("date-month-on", "pagedown", "months(1)", "Month on", "One month on", "date"),
    Action("date-rub", "backspace", "rub", "Rub out", "Rub out the last figure typed", "date"),
    Action("date-none", "delete", "none", "None", "No date, where none is needed", "date"),
    Action("date-take", "enter", "take", "Take", "Take the date; figures as 2027-03-05 may be typed", "date"),
    Action("date-drop", "escape", "drop", "Leave", "Leave it as it was", "date"),
    Action("draw-take", "enter", "take", "Take", "Take the leg", "draw"),
    Action("draw-other", "tab,shift+tab,down,up", "other", "Other", "To the other end", "draw"),
    Action("draw-drop", "escape", "drop", "Leave", "Leave it as it was", "draw"),
    Action("split-take", "enter", "take", "Split", "Split there", "split"),
    Action("split-up", "up", "go(-1)", "Mooring back", "The mooring before", "split"),
    Action("split-down", "down", "go(1)", "Mooring on", "The next mooring", "split"),
    Action("split-drop", "escape", "drop", "Leave", "Leave it as it was", "split"),
    Action("files-take", "enter", "take", "Take", "Take the file, or go into the folder", "files"),
    Action("files-complete", "tab", "complete", "Complete", "Complete what is typed", "files"),
    Action("files-up", "up", "go(-1)", "Up", "One line up", "files"),
    Action("files-down", "down", "go(1)", "Down", "One line down", "files"),
    Action("files-page-up", "pageup", "go(-8)", "Page up", "Eight lines up", "files"),
    Action("files-page-down", "pagedown", "go(8)", "Page down", "Eight lines down", "files"),
    Action("files-drop", "escape", "drop", "Leave", "Leave it as it was", "files"),
    Action("new-take", "enter", "take", "Take", "On to the next line; from the last one begin the voyage", "new"),
    Action("new-next", "tab,down", "other(1)", "Next", "The next line", "new"),
    Action("new-before", "shift+tab,up", "other(-1)", "Before", "The line before", "new"),
    Action("new-drop", "escape", "drop", "Leave", "Begin none", "new"),
    Action("read-close", "escape,q,enter", "close", "Close", "Close the page", "read"),
    Action("read-up", "up", "scroll_by(-1)", "Up", "One line up", "read"),
    Action("read-down", "down", "scroll_by(1)", "Down", "One line down", "read"),
    Action("read-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", "read"),
    Action("read-page-down", "pagedown,space", "scroll_by(10)", "Page down", "Ten lines down", "read"),
    Action("help-close", "escape,enter,f1", "close", "Close", "Close the help", "help"),
    Action("help-up", "up", "scroll_by(-1)", "Up", "One line up", "help"),
    Action("help-down", "down", "scroll_by(1)", "Down", "One line down", "help"),
    Action("help-page-up", "pageup", "scroll_by(-10)", "Page up", "Ten lines up", "help"),
    Action("help-page-down", "pagedown", "scroll_by(10)", "Page down", "Ten lines down", "help"),
)


def bindings(scope: str) -> list[BindingType]:
    """The Textual bindings of one scope, each with the action's id; the user's own keys are laid over them later."""
    return [
        Binding(a.keys or UNBOUND + a.id, a.do, a.label, show=a.show, key_display=a.display, id=a.id)
        for a in ACTIONS
        if a.scope == scope
    ]


def take_own_keys(own: Mapping[str, tuple[str, ...]]) -> None:
    """From now on name these keys, by action, in the place of the usual ones; told once, before any screen is made."""
    _OWN.clear()
    _OWN.update(own)


def keys_of(action: Action) -> tuple[str, ...]:
    """The keys of an action: the user's own, else the usual ones."""
    return _OWN[action.id] if action.id in _OWN else tuple(action.keys.split(",")) if action.keys else ()


def key_of(ident: str) -> str:
    """The key of the action of that id as a person reads it."""
    return key_names(next(action for action in ACTIONS if action.id == ident))


def key_names(action: Action) -> str:
    """The first key of an action as a person reads it; empty where it has none."""
    if action.id not in _OWN and action.display:
        return action.display
    return next(map(key_words, keys_of(action)), "")
