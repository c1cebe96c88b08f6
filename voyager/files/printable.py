"""Text from files made safe to print: what could steer a terminal is shown as an escape."""

from collections.abc import Iterable
from difflib import get_close_matches

LONGEST_SHOWN = 60


def printable(text: str) -> str:
    """``text`` with every control, format, separator and surrogate character escaped (space stays)."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in text)


def shown(value: object) -> str:
    """A value of a file as its writer would recognise it, never longer than a line."""
    try:
        text = _toml_like(value)
    except ValueError:  # an integer of thousands of digits has no text
        return "a number of thousands of digits"
    text = printable(text)
    return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"


def _toml_like(value: object) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list | tuple):
        return "[" + ", ".join(map(_toml_like, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {_toml_like(item)}" for key, item in value.items()) + "}"
    return str(value)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was probably meant, or None."""
    lower = {name.casefold(): name for name in known}
    close = get_close_matches(word.casefold(), lower, n=1, cutoff=0.6)
    return lower[close[0]] if close else None


def proposal(word: str, known: Iterable[str]) -> str:
    """`; did you mean "x"?` or the empty text."""
    near = nearest(word, known)
    return f'; did you mean "{printable(near)}"?' if near else ""
