"""What stands above and below the board: what is wrong or short, and the plan in a few lines. No Textual here.

What is said of a plan is imported once there is one: the first paint comes before.
"""

from typing import Any

from voyager.tui import words
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.past import now_lines
from voyager.tui.worker import MEMBERS

Line = tuple[str, str]
FAULTS_MAX = 3
NO_ODDS = "The plan under one sky is shown, without odds; {} plans on."
FEW_ODDS = "The odds shown are of few skies; {} plans on."
FORMER = "The former plan is shown; {} takes the last change back."
PAUSED = "Planning pauses until this is mended; saving is allowed."
PROVISIONAL = f"Provisional, under one sky: {MEMBERS[-1]:,} skies are being computed."


def lines(desk: Desk) -> list[Line]:
    """Troubles first, then what is wrong with the sketch, then what is short in the plan."""
    if desk.trouble is not None:
        return [*_alarms(desk.trouble.splitlines()), *_stands(desk)]
    if desk.faults:
        count = len(desk.faults)
        more = f" {count} faults, the first {FAULTS_MAX}:" if count > FAULTS_MAX else ""
        former = " The former plan is shown." if desk.plan is not None else ""
        return [("plain", f"{PAUSED}{former}{more}"), *_alarms([fault["text"] for fault in desk.faults[:FAULTS_MAX]])]
    if desk.plan is None:
        return []
    from voyager.tui.details import short_lines

    return [*now_lines(desk.plan), *short_lines(desk.plan)]


def _stands(desk: Desk) -> list[Line]:
    """What is shown although the last edit could not be planned to its end."""
    if desk.former:
        return [("plain", FORMER.format(key_of("undo")))]
    if desk.plan is None or not desk.draft:
        return []
    return [("plain", (NO_ODDS if desk.plan["odds"] is None else FEW_ODDS).format(key_of("stop")))]


def _alarms(texts: list[Any]) -> list[Line]:
    return [("alarm", f"✗ {text}") for text in texts]


def waiting(desk: Desk) -> str:
    """Why there is no plan."""
    if desk.shown is None:
        return "reading …"
    return "planning …" if desk.ticket else "not planned yet"


def totals(desk: Desk, width: int, wide: bool) -> list[Line]:
    """Arrival, odds and cautions; in a line each where it is narrow, the cautions giving way to what moved."""
    if desk.plan is None:
        return [("plain", "reading the voyage …" if desk.shown is None else waiting(desk)), ("plain", "")]
    from voyager.tui.details import caution_line, total_line

    room = width - 3
    cautions = [("caution", words.cut(f"! {caution_line(desk.plan)}", room * (2 if wide else 1)))]
    told = [("title", total_line(desk.plan, desk.units, None if wide else room)), *_odds(desk, room)]
    return told if moved(desk, width, wide) and not wide else [*told, *cautions]


def _odds(desk: Desk, room: int) -> list[Line]:
    """How sure it is in one line, or that this is not yet known."""
    odds = (desk.plan or {}).get("odds")
    if odds is not None:
        from voyager.tui.sure_view import line

        return [("plain", line(odds, room))]
    return [("plain", PROVISIONAL)] if desk.draft and desk.ticket else []


def moved(desk: Desk, width: int, wide: bool) -> list[Line]:
    """What moved since the plan that is kept to compare with; none where there is none."""
    if desk.baseline is None:
        return []
    from voyager.tui.moved_view import lines

    return lines(desk, width, wide)
