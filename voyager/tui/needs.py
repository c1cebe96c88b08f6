"""The days of a plan that need something: a plug, or another way out. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.tui.past import is_past

NONE = "No day of this plan takes shore power, and every day is held"


def needs(day: Mapping[str, Any]) -> str:
    """What a day needs, in words; empty for nothing."""
    if is_past(day):
        return ""
    if not day["held"]:
        return "is not held"
    return "takes shore power" if (day["shore_kwh"] or 0) > 0 else ""


def next_need(days: Sequence[Mapping[str, Any]], after: int) -> int | None:
    """Index of the first day beyond ``after`` that needs something, from the first day on again at the end."""
    order = [*range(after + 1, len(days)), *range(min(after + 1, len(days)))]
    return next((index for index in order if needs(days[index])), None)
