"""The pictures are those of the program as it is: made again and compared, a few always, all of them on demand."""

import difflib
import re
import struct
import zlib

import pytest

from tests.tui.pictures import FOLDER, PICTURES, digest, made_from, png, taken

CHOSEN = ("board-80x24", "morning-120x40-light")
AGAIN = "; python -m tests.tui.pictures makes them anew"


def test_there_is_every_picture_and_no_other() -> None:
    assert {file.name for file in FOLDER.iterdir()} == {
        f"{name}.{kind}" for name in PICTURES for kind in ("svg", "png")
    }


@pytest.mark.parametrize("name", PICTURES)
def test_each_png_was_drawn_from_the_svg_beside_it(name: str) -> None:
    assert made_from((FOLDER / f"{name}.png").read_bytes()) == digest(committed(name)), name + AGAIN


async def test_chosen_pictures_are_current() -> None:
    await compare(CHOSEN)


@pytest.mark.long
async def test_all_pictures_are_current() -> None:
    await compare(PICTURES)


def test_a_png_says_what_it_was_made_from_in_a_sound_chunk() -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="8" height="4"/>'
    drawn = png(svg)
    size, kind = struct.unpack(">I4s", drawn[33:41])
    assert kind == b"tEXt"
    assert struct.unpack(">I", drawn[41 + size : 45 + size])[0] == zlib.crc32(drawn[37 : 41 + size])
    assert made_from(drawn) == digest(svg) != digest(svg + " ")
    assert made_from(drawn[:33]) == ""


async def compare(names: "tuple[str, ...] | dict[str, object]") -> None:
    """All that differ, each with the first lines that do."""
    wrong = [told async for name, svg in taken(names) if (told := difference(name, svg))]
    assert not wrong, "\n".join(wrong) + AGAIN


def difference(name: str, svg: str) -> str:
    """What a screen shows that its picture does not; colours and places where the words are the same."""
    if svg == committed(name):
        return ""
    was, now = words(committed(name)), words(svg)
    differ = difflib.unified_diff(was, now, "was", "is", lineterm="", n=0)
    return "\n".join([f"{name} looks otherwise", *list(differ)[2:12]])


def committed(name: str) -> str:
    """The SVG as it was committed."""
    return (FOLDER / f"{name}.svg").read_text(encoding="utf-8")


def words(svg: str) -> list[str]:
    """What a person reads, piece by piece."""
    return [text.replace("&#160;", " ") for text in re.findall(r">([^<>]+)</text>", svg)]
