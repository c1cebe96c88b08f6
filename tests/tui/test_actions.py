"""The one list of actions."""

from collections import Counter

from voyager.tui.actions import ACTIONS, SCOPES, bindings
from voyager.tui.app import VoyagerApp
from voyager.tui.screens.begin import NewField
from voyager.tui.screens.calendar import Month
from voyager.tui.screens.draw import EndField
from voyager.tui.screens.files import FileField
from voyager.tui.screens.help import HelpField, help_lines
from voyager.tui.screens.note import NoteField
from voyager.tui.screens.page import Page
from voyager.tui.screens.pick import PickList
from voyager.tui.screens.split import SplitField
from voyager.tui.widgets.actual import ActualPane
from voyager.tui.widgets.cellgrid import CellGrid
from voyager.tui.widgets.choices import Choice
from voyager.tui.widgets.days import DayList
from voyager.tui.widgets.evening import EveningPane
from voyager.tui.widgets.fit_list import FitList
from voyager.tui.widgets.hours import HoursPane
from voyager.tui.widgets.leg_form import LegForm
from voyager.tui.widgets.legs import Cell, LegTable
from voyager.tui.widgets.log_list import LogList
from voyager.tui.widgets.map import MapPane
from voyager.tui.widgets.morning import MorningPane
from voyager.tui.widgets.place_grid import PlaceGrid
from voyager.tui.widgets.sure import SurePane
from voyager.tui.widgets.values import ValueList

HOLDERS = {"app": VoyagerApp, "legs": LegTable, "cell": Cell, "days": DayList, "choice": Choice, "pick": PickList,
           "date": Month, "read": Page, "morning": MorningPane, "sure": SurePane, "hours": HoursPane,
           "evening": EveningPane, "map": MapPane, "files": FileField, "new": NewField, "help": HelpField,
           "values": ValueList, "fits": FitList, "actual": ActualPane, "log": LogList, "note": NoteField,
           "grid": CellGrid, "leg": LegForm, "places": PlaceGrid, "draw": EndField, "split": SplitField}  # fmt: skip


def test_every_binding_has_an_id_of_its_own():
    ids = [binding.id for scope in SCOPES for binding in bindings(scope)]
    assert all(ids)
    assert max(Counter(ids).values()) == 1


def test_no_key_means_two_things_in_one_place():
    for scope in SCOPES:
        keys = [key for action in ACTIONS if action.scope == scope for key in action.keys.split(",") if key]
        assert max(Counter(keys).values()) == 1, scope


def test_each_scope_is_bound_where_it_is_heard():
    assert set(HOLDERS) == set(SCOPES)
    for scope, holder in HOLDERS.items():
        assert [binding.id for binding in holder.BINDINGS] == [a.id for a in ACTIONS if a.scope == scope]


def test_each_action_exists():
    for action in ACTIONS:
        name = action.do.partition("(")[0]
        owner, _, method = name.rpartition(".")
        holder = VoyagerApp if owner == "app" else HOLDERS[action.scope]
        from voyager.tui.screens.pick import PickScreen

        assert hasattr(PickScreen if owner == "screen" else holder, f"action_{method}"), action.id


def test_help_is_made_of_the_list():
    text = "\n".join(line for _, line in help_lines())
    assert all(action.help in text for action in ACTIONS)


def test_signs_take_one_column():
    from rich.cells import cell_len

    from voyager.tui.words import MARKS

    for sign in [sign for sign, _ in MARKS.values()] + list("┃│╎▾•✗−→…–" + "▏▎▍▌▋▊▉█━╌░▒▀┃◂▸×▼┤▁▂▃▄▅▆▇±║▾"):
        assert cell_len(sign) == 1


def test_one_minus_sign_is_shown_for_the_key_everywhere():
    shown = {action.display for action in ACTIONS if action.keys.split(",")[0] == "minus"}
    assert shown == {"−"}
