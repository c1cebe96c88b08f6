"""A question about one morning of the plan last told in this process: the first fallback, the point of no return.

They take a moment for each day, so they are reckoned for the day that is looked at and not with every plan.
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.planner.outlook import Outlook

Json = dict[str, Any]
SAME_KWH = 1e-6
_last: "list[Outlook]" = []
"""What the plan last told stands on; no more than one."""


def keep(shown: "Outlook") -> None:
    """Answer from now on for this outlook."""
    _last[:] = [shown]


def left(day: int, date: str, charge_kwh: float) -> Json | None:
    """``day``, ``date``, ``fallback`` and ``no_return`` (as ``from`` of a plan has them) of a morning of the schedule;
    ``slow``: no faster way to its stop is held.

    ``day`` from 1, ``date`` ISO, ``charge_kwh`` at its start; None where the plan last told has no such morning.
    """
    from voyager.planner.outing import slowest
    from voyager.session.left import left_told

    for shown in [*_last]:
        for row in shown.schedule.days:
            same = shown.frame.days.dates[row.day].isoformat() == date
            if row.day == day - 1 and same and abs(row.charge_start_kwh - charge_kwh) <= SAME_KWH:
                return {"day": day, "date": date, "slow": slowest(shown, row), **left_told(shown, row)}
    return None
