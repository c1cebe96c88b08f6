"""Numbers, dates and lists as a reader wants them; nothing here depends on the machine's locale."""

from collections.abc import Iterable, Sequence
from datetime import date

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
SKIES = ("dark", "dull", "mixed", "fair", "bright")
MISSING = "-"


def number(value: object, decimals: int = 1) -> str:
    """A number with fixed decimals, ``-`` where there is none, never ``-0.0``."""
    if not isinstance(value, int | float):
        return MISSING
    return f"{value:.{decimals}f}" if round(value, decimals) else f"{0:.{decimals}f}"


def short_date(iso: str) -> str:
    """``Mon 1 Mar``, the day of the month in two columns."""
    day = date.fromisoformat(iso)
    return f"{WEEKDAYS[day.weekday()]} {day.day:2d} {MONTHS[day.month - 1]}"


def long_date(iso: str) -> str:
    """``Mon 1 Mar 2027``."""
    return " ".join(short_date(iso).split()) + f" {iso[:4]}"


def runs(numbers: Iterable[int]) -> str:
    """Whole numbers as runs: ``1-3, 5``."""
    parts: list[list[int]] = []
    for one in sorted(set(numbers)):
        if parts and one == parts[-1][1] + 1:
            parts[-1][1] = one
        else:
            parts.append([one, one])
    return ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in parts)


def counted(amount: float, one: str, many: str) -> str:
    """``1 night``, ``2 nights``."""
    return f"{amount:g} {one if amount == 1 else many}"


def listed(words: Sequence[str]) -> str:
    """``a``, ``a and b``, ``a, b and c``."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def figure(value: object) -> str:
    """A number with the digits it came with (the odds carry no others), ``-`` where there is none."""
    return f"{value:.10g}" if isinstance(value, int | float) else MISSING


def percent(chance: object) -> str:
    """A chance as ``31 %``, to a tenth of a per cent; ``-`` where there is none."""
    return f"{_hundredths(chance)} %" if isinstance(chance, int | float) else MISSING


def between(low: float, high: float) -> str:
    """The ends of an interval of chances: ``28-34 %``."""
    return f"{_hundredths(low)}-{_hundredths(high)} %"


def _hundredths(chance: float) -> str:
    return f"{round(chance * 100, 1):g}"
