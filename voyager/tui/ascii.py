"""Every sign of the screens as ASCII, column for column: one filter over what is drawn, for terminals without more."""

import unicodedata
from functools import lru_cache

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

PAIRS = (
    ("▸▶▴▲▼▾◂◀◆•✗×╧←→↑↓↵‹›«»●○■□◇", ">>^^vv<<*oXxY<>^v<<><>oo#oH"),
    ("┃│╎║─━═╌╍┄┈├┤┼└┘┌┐╭╮╯╰┏┓┗┛╔╗╚╝", "I|:H-==----+++++++++++++++++++"),
    ("█▉▊▋▌▍▎▏▐▕░▒▓▀▔▁▂▃▄▅▆▇", '###===--#|.%#"-_.-=+*%'),
    ("·…±−–—°′″‘’“”≠≥≤√", ".~~---o'\"''\"\"!><V"),
)
SIGNS = {sign: to for signs, plain in PAIRS for sign, to in zip(signs, plain, strict=True)}
DOTS = range(0x2800, 0x2900)
UPPER_DOTS, MANY = 0b00011011, 5
BLOCKS = range(0x2500, 0x25A0)


@lru_cache(4096)
def plain(text: str) -> str:
    """A text of ASCII signs alone that takes the same columns."""
    return text if text.isascii() and text.isprintable() else "".join(map(_sign, text))


def _sign(sign: str) -> str:
    if " " <= sign <= "~":
        return sign
    if sign in SIGNS:
        return SIGNS[sign]
    if ord(sign) in DOTS:
        return _dots(ord(sign) - DOTS.start)
    if ord(sign) in BLOCKS:
        return "+" if ord(sign) < 0x2580 else "#"
    columns = cell_len(sign)
    base = "".join(one for one in unicodedata.normalize("NFKD", sign) if " " <= one <= "~")
    return (base if len(base) == columns else "?" * columns)[:columns]


def _dots(dots: int) -> str:
    """A cell of eight dots: few above, few below, both, or many."""
    if not dots:
        return " "
    above, below = dots & UPPER_DOTS, dots & ~UPPER_DOTS
    if dots.bit_count() >= MANY:
        return "#"
    return ":" if above and below else "'" if above else "."


class AsciiFilter(LineFilter):
    """Draws every sign as ASCII."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        return [one if one.control else Segment(plain(one.text), one.style) for one in segments]
