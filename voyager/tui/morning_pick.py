"""Which card to show: that of a day, at the plan's own berth or at the one picked. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.tui import morning_now
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.morning import Berth, BerthKey, berths
from voyager.tui.morning_view import MorningView

Row = Mapping[str, Any]
DROP = "Del"
NO_ROW = "No card: the boat wakes at {} on this day in fewer than one of a hundred skies."


def view(desk: Desk, number: int, picked: BerthKey | None, left: Row | None = None) -> MorningView | None:
    """What there is to show of a morning; None before there is any plan. ``left``: its fallback and point of no return,
    where they are known."""
    if desk.plan is None:
        return None
    day = next((day for day in desk.plan["days"] if day["day"] == number), None)
    rows = desk.card(number)
    boat, uncounted = desk.plan["boat"], desk.plan["odds"] is None or (desk.draft and not desk.plan["card"])
    found = berths(rows, boat["capacity_kwh"], boat["ceiling_kwh"], desk.units)
    own = None if day is None else _own(found, day)
    at = next((index for index, berth in enumerate(found) if berth.key == picked), own)
    sure = day if at == own else None
    mooring = day["from"] if day is not None else (found[0].mooring if found else "")
    date = day["date"] if day is not None else rows[0]["date"] if rows else desk.plan["voyage"]["departs"]
    here = () if day is None else (day["from"], day["start_km"])
    mine = [row for row in rows if (row["mooring"], row["km"]) == here]
    return MorningView(
        number, date, mooring, found, at if at is not None or day is not None or not found else 0,
        None if sure is None else sure["charge_start_kwh"],
        None if sure is None else sure["sky_class"],
        boat["capacity_kwh"], boat["ceiling_kwh"],
        desk.odds_note if uncounted else None if at is not None else NO_ROW.format(mooring),
        morning_now.headline(sure, mine, desk.plan["voyage"]["time_zone"], desk.units, bool(left and left["slow"]))
        if day or found else "",
        tuple(morning_now.left_lines(left, sure)),
        morning_now.forecast_line(desk.sketch, desk.history.saved, date, key_of("forecast"), DROP),
    )  # fmt: skip


def _own(found: Sequence[Berth], day: Row) -> int | None:
    """The plan's own berth: the same place and kilometre; of several nights the likeliest."""
    same = [at for at, b in enumerate(found) if b.mooring == day["from"] and abs(b.km - day["start_km"]) < 0.05]
    return max(same, key=lambda at: found[at].chance) if same else None
