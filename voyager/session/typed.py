"""What a person types, read: figures with units, clock times, dates, yes and no, choices. Pure and light.

ValueError says what is wanted, without a subject, as "a date as 2027-03-05".
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date
from math import inf, isfinite
from typing import Final

NUMBER: Final = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*([^\d\s,.].*|)", re.ASCII)
CLOCK: Final = re.compile(r"(\d{1,2})[:.]?(\d{2})?", re.ASCII)
DATE: Final = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})", re.ASCII)
SPAN: Final = re.compile(r"\s*(?:-|–|to|,|\s)\s*")
FIRST_YEAR, LAST_YEAR = 1950, 2100
YES, NO = ("yes", "true", "on"), ("no", "false", "off")
DAY_MIN: Final = 24 * 60
SIGNS: Final = str.maketrans({"−": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "})
SHORT: Final = str.maketrans("²³", "23", "/ ")
ALIKE: Final = {
    "nmi": "nm", "kt": "kn", "kts": "kn", "knot": "kn", "knots": "kn", "feet": "ft", "foot": "ft", "mins": "min",
    "deg": "°",
}  # fmt: skip


def clean(text: str) -> str:
    """Without blanks around it, with plain blanks and minus signs."""
    return text.translate(SIGNS).strip()


def number_of(text: str) -> tuple[float, str] | None:
    """A figure, with a point or a comma, and the unit behind it as typed, which may be empty; None for other text."""
    match = NUMBER.fullmatch(clean(text))
    value = float(match[1].replace(",", ".")) if match else inf
    return (value, match[2].strip()) if match and isfinite(value) else None


def unit_of(word: str, known: Iterable[str]) -> str | None:
    """Which of the known units a typed one means: ``kn`` for ``kt`` and ``Knots``; None for none of them."""
    return next((unit for unit in known if unit and _bare(unit) == _bare(word)), None)


def _bare(unit: str) -> str:
    short = unit.lower().translate(SHORT)
    short = short[1:] if len(short) > 1 and short.startswith("°") else short
    return ALIKE.get(short, short)


def minutes_of(text: str, last: int = DAY_MIN) -> int:
    """Minutes since midnight of a clock time of at most ``last``: ``8``, ``830``, ``8:30``, ``8.30``."""
    match = CLOCK.fullmatch(text.strip())
    minutes = int(match[1]) * 60 + int(match[2] or 0) if match else DAY_MIN + 1
    if match is None or int(match[2] or 0) > 59 or minutes > last:
        raise ValueError("a clock time as 08:30")
    return minutes


def clock_text(minutes: int) -> str:
    """``08:30``."""
    return f"{minutes // 60:02}:{minutes % 60:02}"


def window_of(text: str) -> list[str]:
    """Two clock times of one day: ``8:30-17``, ``08:30 to 24:00``, ``["08:30", "17:00"]``."""
    ends = SPAN.split(text.strip("[] ").replace('"', ""))
    try:
        opens, shuts = map(minutes_of, ends)
    except ValueError:
        raise ValueError("two clock times as 09:00-17:30") from None
    if opens == shuts:
        raise ValueError("two different clock times, as 09:00-17:30")
    if opens > shuts:
        raise ValueError(f"the earlier time first: {clock_text(shuts)}-{clock_text(opens)} may be meant")
    return [clock_text(opens), clock_text(shuts)]


def date_of(text: str) -> date:
    """A date of the years 1950 to 2100 as 2027-03-05."""
    match = DATE.fullmatch(text.strip())
    if match is None:
        raise ValueError("a date as 2027-03-05")
    try:
        day = date(*map(int, match.groups()))
    except ValueError:
        raise ValueError(f"a day that exists, as 2027-03-05: {text.strip()} does not") from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise ValueError(f"a date in the years {FIRST_YEAR} to {LAST_YEAR}")
    return day


def yes_or_no(text: str) -> bool:
    """``y``, ``yes``, ``true``, ``on`` and their like; of ``on`` and ``off`` two letters at least."""
    for words, value in ((YES, True), (NO, False)):
        if any(len(text) >= (2 if word in {"on", "off"} else 1) and word.startswith(text.lower()) for word in words):
            return value
    raise ValueError("yes or no")


def choice_of(choices: Sequence[str], text: str) -> str:
    """The choice typed whole, in whatever case, or begun so that only one fits."""
    for fits in (
        [one for one in choices if one == text],
        [one for one in choices if one.lower() == text.lower()],
        [one for one in choices if one.lower().startswith(text.lower())],
    ):
        if len(fits) == 1:
            return fits[0]
    raise ValueError(f"one of {', '.join(choices)}")


def tidy(value: float) -> float:
    """Without the dust of a conversion: ten significant figures."""
    return float(f"{value:.10g}")


def neat(value: float) -> float | int:
    """As ``tidy``, whole numbers as such."""
    kept = tidy(value)
    return int(kept) if kept.is_integer() and abs(kept) < 1e15 else kept
