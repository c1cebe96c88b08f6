"""A date typed into the calendar; ValueError carries the reason in one sentence."""

import re
from datetime import date


def day(text: str) -> date:
    """A date as YYYY-MM-DD."""
    match = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", text.strip(), re.ASCII)
    if match is None:
        raise ValueError("a date as 2027-03-05")
    try:
        return date(*map(int, match.groups()))
    except ValueError:
        raise ValueError(f"{text.strip()} does not exist; a date as 2027-03-05") from None
