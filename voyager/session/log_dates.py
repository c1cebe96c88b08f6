"""The date in a typed line of the log: ``2027-03-02``, ``2 Mar``, ``Tue 2 March 2027``, ``today``, ``yesterday``."""

import re
from datetime import date, timedelta
from typing import Final

from voyager.report.words import MONTHS, WEEKDAYS

_REST_OF_MONTH: Final = ("uary", "ruary", "ch", "il", "", "e", "y", "ust", "t(?:ember)?", "ober", "ember", "ember")
_REST_OF_DAY: Final = ("day", "s(?:day)?", "nesday", "r(?:s(?:day)?)?", "day", "urday", "day")
_MONTH: Final = "|".join(f"{name}(?:{rest})?" for name, rest in zip(MONTHS, _REST_OF_MONTH, strict=True))
_WEEKDAY: Final = "|".join(f"{name}(?:{rest})?" for name, rest in zip(WEEKDAYS, _REST_OF_DAY, strict=True))
DATE: Final = re.compile(
    r"(?<![\w-])(?P<iso>[0-9]{4}-[0-9]{2}-[0-9]{2})(?![\w-])|(?<!\w)(?P<near>today|yesterday)(?!\w)"
    rf"|(?<![\w.,:+-])(?:(?P<weekday>{_WEEKDAY})[.,]?\s+)?(?P<day>[0-9]{{1,2}})\s+(?P<month>{_MONTH})(?!\w)\.?"
    r"(?:,?\s+(?P<year>[0-9]{4})(?![\w:%-]|[.,][0-9]))?",
    re.IGNORECASE,
)


def day_of(found: re.Match[str] | None, today: date) -> date:
    """The day that a match of ``DATE`` means, today without one; where no year is said the nearest one to today.

    Raises ValueError, its text what is wrong with the date: it is put after "has the date …, which".
    """
    if found is None:
        return today
    if near := found["near"]:
        return today - timedelta(days=near.lower() == "yesterday")
    if found["iso"]:
        return _existing(found["iso"])
    month, day, year = _number(MONTHS, found["month"]) + 1, int(found["day"]), found["year"]
    years = [int(year)] if year else range(today.year - 4, today.year + 5)
    known = [one for one in (_or_none(each, month, day) for each in years) if one is not None]
    if not known:
        return _existing("")
    chosen = min(known, key=lambda one: abs((one - today).days))
    if (said := found["weekday"]) and chosen.weekday() != _number(WEEKDAYS, said):
        raise ValueError(f"in {chosen.year} is a {WEEKDAYS[chosen.weekday()]}")
    return chosen


def _number(names: tuple[str, ...], word: str) -> int:
    return names.index(word[:3].capitalize())


def _or_none(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _existing(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise ValueError("does not exist in the calendar") from None
