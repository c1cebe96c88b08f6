"""Pictures of fits: the same bytes again, words for those who cannot see them, nothing from outside."""

import re
import struct
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from tests.report.fit_samples import HEAT
from voyager.errors import InputError
from voyager.report.fit_picture import COLOURS, describe, form_of, picture

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def svg() -> str:
    return picture(HEAT, "svg").decode("utf-8")


def test_the_same_result_gives_the_same_bytes(svg: str) -> None:
    code = (
        "import sys; from tests.report.fit_samples import HEAT; from voyager.report.fit_picture import picture; "
        "sys.stdout.buffer.write(picture(HEAT, 'svg'))"
    )
    again = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True).stdout
    assert again.decode("utf-8") == svg


def test_the_drawing_is_told_in_words(svg: str) -> None:
    root = ElementTree.fromstring(svg)
    assert root.get("role") == "img"
    names = root.get("aria-labelledby", "").split()
    told = {one.get("id"): one.text for one in root if one.tag in (f"{SVG}title", f"{SVG}desc")}
    assert [told[name] for name in names] == ["Heater test", describe(HEAT)]
    assert "heat-loss coefficient 62.41 W/K" in describe(HEAT)


def test_texts_stay_texts_and_nothing_comes_from_outside(svg: str) -> None:
    texts = {"".join(one.itertext()).strip() for one in ElementTree.fromstring(svg).iter(f"{SVG}text")}
    assert {"Heater test", "hours", "inside, °C", "thermometer", "model", "95 % band"} <= texts
    assert re.findall(r'(?:href|src)="[^#]', svg) == []
    assert all(banned not in svg for banned in ("<script", "<!DOCTYPE", "@import", "<metadata"))


def test_series_differ_without_colour(svg: str) -> None:
    """A hatched area, a line, marks that are drawn again and again."""
    assert "<pattern" in svg
    assert svg.count("<use ") >= 4


def test_colours_can_be_read_on_white() -> None:
    """Contrast of 4.5 and more (W3C, Web Content Accessibility Guidelines 2.1, 1.4.3)."""
    for colour in COLOURS:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
        assert 1.05 / (luminance + 0.05) >= 4.5


def test_png() -> None:
    content = picture(HEAT, "png")
    assert content[:8] == b"\x89PNG\r\n\x1a\n"
    assert struct.unpack(">II", content[16:24]) == (1200, 750)
    assert content == picture(HEAT, "png")


def test_form_by_ending() -> None:
    assert (form_of("a/b.SVG"), form_of("x.png")) == ("svg", "png")
    with pytest.raises(InputError, match=r"--picture a.pdf: its name must end in .svg or .png"):
        form_of("a.pdf")
