"""Readers of single arguments: each fault is one clause that says what to write instead."""

import argparse
import math
import re
from datetime import date

DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")


def civil_date(text: str) -> str:
    """A civil date as written, ``YYYY-MM-DD``."""
    if ".." in text:
        raise argparse.ArgumentTypeError(f"{text} is a range of dates, which is not computed yet; name one date")
    if not DATE.fullmatch(text):
        raise argparse.ArgumentTypeError(f"{text!r} is not a date; write it like 2027-03-01")
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text} does not exist in the calendar") from None


def number(text: str) -> float:
    """A finite decimal number."""
    if not NUMBER.fullmatch(text) or not math.isfinite(float(text)):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number; write it like -33.9")
    return float(text)


def count(text: str) -> int:
    """A whole number from 0 up."""
    if not re.fullmatch(r"\d{1,9}", text):
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from 0 up")
    return int(text)
