"""Which card to show: that of a day, at the plan's own berth or at the one picked. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.tui.desk import Desk
from voyager.tui.morning import Berth, BerthKey, berths
from voyager.tui.morning_view import MorningView

Row = Mapping[str, Any]
NO_ROW = "No card: the boat wakes at {} on this day in fewer than one of a hundred skies."


def view(desk: Desk, number: int, picked: BerthKey | None) -> MorningView | None:
    """What there is to show of a morning; None before there is any plan."""
    if desk.plan is None:
        return None
    day = next((day for day in desk.plan["days"] if day["day"] == number), None)
    rows = desk.card(number)
    boat = desk.plan["boat"]
    found = berths(rows, boat["capacity_kwh"], boat["ceiling_kwh"])
    own = None if day is None else _own(found, day)
    at = next((index for index, berth in enumerate(found) if berth.key == picked), own)
    here = day is not None and at == own
    mooring = day["from"] if day is not None else (found[0].mooring if found else "")
    return MorningView(
        number, day["date"] if day is not None else rows[0]["date"] if rows else desk.plan["voyage"]["departs"],
        mooring, found, at if at is not None or day is not None or not found else 0,
        day["charge_start_kwh"] if here and day is not None else None,
        day["sky_class"] if here and day is not None else None,
        boat["capacity_kwh"], boat["ceiling_kwh"],
        desk.odds_note if desk.plan["odds"] is None else None if at is not None else NO_ROW.format(mooring),
    )  # fmt: skip


def _own(found: Sequence[Berth], day: Row) -> int | None:
    """The plan's own berth: the same place and kilometre; of several nights the likeliest."""
    same = [at for at, b in enumerate(found) if b.mooring == day["from"] and abs(b.km - day["start_km"]) < 0.05]
    return max(same, key=lambda at: found[at].chance) if same else None
