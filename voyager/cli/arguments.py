"""Readers of single arguments: each fault is one clause that says what to write instead."""

import argparse
import math
import re
from datetime import date

DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
MOST_MEMBERS = 1_000_000
DIGITS = 9
MOST_PORT = 65_535
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


def civil_date(text: str) -> str:
    """A civil date as written, ``YYYY-MM-DD``."""
    if ".." in text:
        raise argparse.ArgumentTypeError(f"{text} is a range of dates, which only plan --depart takes; name one date")
    if not DATE.fullmatch(text):
        raise argparse.ArgumentTypeError(f"{text!r} is not a date; write it like 2027-03-01")
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text} does not exist in the calendar") from None


def departure(text: str) -> str | tuple[date, date]:
    """One civil date as written, or the first and last of ``A..B``."""
    if ".." not in text:
        return civil_date(text)
    first, _, last = text.partition("..")
    if not first or not last:
        raise argparse.ArgumentTypeError(f"{text!r} lacks an end; write a range like 2027-03-01..2027-03-20")
    span = date.fromisoformat(civil_date(first)), date.fromisoformat(civil_date(last))
    if span[0] > span[1]:
        raise argparse.ArgumentTypeError(f"{text} runs backwards; write {last}..{first}")
    return span


def number(text: str) -> float:
    """A finite decimal number."""
    if not NUMBER.fullmatch(text) or not math.isfinite(float(text)):
        point = text.replace(",", ".")
        mend = f"decimals take a point, so {point} may be meant" if NUMBER.fullmatch(point) else "write it like -33.9"
        raise argparse.ArgumentTypeError(f"{text!r} is not a number; {mend}")
    return float(text)


def scale(text: str) -> float:
    """How many times larger the full size is: 8, or 1:8."""
    return number(text.removeprefix("1:"))


def count(text: str) -> int:
    """A whole number from 0 up."""
    if not re.fullmatch(r"[0-9]+", text):
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 0 up")
    if len(text) > DIGITS:
        raise argparse.ArgumentTypeError(f"{text[:40]} is too large; {10**DIGITS - 1} is the largest number taken")
    return int(text)


def members(text: str) -> int:
    """How many skies: a whole number from 0 up; more than fit into memory are refused later, by need."""
    if re.fullmatch(r"[0-9]+", text) and (len(text) > DIGITS or int(text) > MOST_MEMBERS):
        raise argparse.ArgumentTypeError(f"{text[:40]} are too many skies; ask for {MOST_MEMBERS} at most")
    return count(text)


def days(text: str) -> int:
    """A whole number of days from 1 up."""
    if not re.fullmatch(r"[0-9]{1,4}", text) or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number of days from 1 up")
    return int(text)


def card_day(text: str) -> int:
    """The day with which the card begins: a whole number from 1 up."""
    if not re.fullmatch(r"[0-9]{1,4}", text) or int(text) < 1:
        raise argparse.ArgumentTypeError(
            f"{text!r} is not the number of a day; write --card after VOYAGE, alone or with a day from 1 up"
        )
    return int(text)


def entry_number(text: str) -> int:
    """The number of an entry of the log: a whole number from 1 up."""
    if not re.fullmatch(r"[0-9]{1,9}", text) or int(text) < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not the number of an entry; --entries shows them")
    return int(text)


def chance(text: str) -> float:
    """A chance, 0 to 1."""
    if not NUMBER.fullmatch(text) or not 0 <= float(text) <= 1:
        raise argparse.ArgumentTypeError(f"{text} is not a chance; write a number from 0 to 1, like 0.8")
    return float(text)


def port(text: str) -> int:
    """A port to listen on: a whole number from 1 to 65535, or 0 for a free one."""
    if not re.fullmatch(r"[0-9]{1,5}", text) or int(text) > MOST_PORT:
        raise argparse.ArgumentTypeError(f"{text!r} is not a port; write a number from 1024 to {MOST_PORT}, or 0")
    return int(text)
