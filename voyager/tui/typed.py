"""What is typed into the screens, read into values; ValueError carries the reason in one sentence."""

import re
from datetime import date

KMH_PER_KNOT = 1.852
SPEED_MAX_KMH = 40.0
NIGHTS_MAX = 366
SPEED = re.compile(r"(\d+(?:[.,]\d*)?|[.,]\d+)\s*(km/h|kmh|kn|kt|kts)?", re.I | re.A)


def speed_kmh(text: str) -> float | None:
    """Fixed speed through the water: km/h, or kn when the unit is typed; empty means the planner chooses."""
    if not text.strip():
        return None
    match = SPEED.fullmatch(text.strip())
    if match is None:
        raise ValueError("a speed such as 6.5, or 3.5 kn; empty lets the planner choose")
    value = float(match[1].replace(",", "."))
    knots = (match[2] or "").lower().startswith("k") and "m" not in (match[2] or "").lower()
    return _within(value * KMH_PER_KNOT if knots else value)


def _within(value_kmh: float) -> float:
    if not 0.0 < value_kmh <= SPEED_MAX_KMH:
        raise ValueError(f"a speed above 0 and up to {SPEED_MAX_KMH:.0f} km/h")
    return round(value_kmh, 2)


def nights(text: str) -> int:
    """Nights to stay at the end of a leg; empty is none."""
    bare = text.strip() or "0"
    if not re.fullmatch(r"\d{1,4}", bare, re.ASCII) or int(bare) > NIGHTS_MAX:
        raise ValueError(f"whole nights from 0 to {NIGHTS_MAX}")
    return int(bare)


def day(text: str) -> date:
    """A date as YYYY-MM-DD."""
    match = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text.strip(), re.ASCII)
    if match is None:
        raise ValueError("a date as 2027-03-05")
    try:
        return date(*map(int, match.groups()))
    except ValueError:
        raise ValueError(f"{text.strip()} does not exist; a date as 2027-03-05") from None
