"""Renderables to text of a given width, with or without terminal styles."""

from collections.abc import Iterable
from textwrap import fill
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import RenderableType

WIDTH = 80


def rendered(parts: "Iterable[RenderableType]", width: int = WIDTH, *, styled: bool = False) -> str:
    """Text of the parts one below the other; without ``styled`` no escape sequence is in it."""
    import io

    from rich.console import Console

    stream = io.StringIO()
    console = Console(
        file=stream, width=width, force_terminal=styled, color_system="standard" if styled else None,
        highlight=False, markup=False, emoji=False, legacy_windows=False, _environ={},
    )  # fmt: skip
    for part in parts:
        console.print(part)
    return "\n".join(line.rstrip() for line in stream.getvalue().splitlines()) + "\n"


def heading(text: str) -> "RenderableType":
    """A bold line with an empty one above it."""
    from rich.text import Text

    return Text("\n" + text, style="bold")


def entry(lead: str, text: str, width: int = WIDTH) -> str:
    """``lead`` and ``text``, wrapped below the text's first column."""
    return fill(lead + text, width, subsequent_indent=" " * len(lead), break_long_words=False, break_on_hyphens=False)
