"""Whatever happens to a file: it is read, or its problems are told; nothing else is ever raised."""

import re
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.files.support import BOATS, ROUTES, VOYAGES
from voyager.errors import Problems
from voyager.files.voyage_file import load_voyage

NASTY = (
    "nan", "-inf", "1e999", "-1", "0", "1e308", "99999999999999999999", '""', '"x"', "true", "[]", "{}", "[[]]",
    "[nan]", "2027-02-30", "2026-10-01", "2026-10-01T00:00:00",
    "07:00:00", '"24:00"', '"\\u001b[2J"', "[1, 2, 3]", '[["a"]]',
    "{ a = 1 }", "'''\n'''", "= =", "\x00", "0001-01-01", "9999-12-31", "[[2026-10-01, 2026-10-01]]", "1_0", "-0.0",
    '"Chioggia"', '"Norfolk"', '"quillet.toml"', '"."', '"winter.toml"', "10000000000000000000000000000" * 20,
)  # fmt: skip
NAMES = ("from", "to", "at", "name", "off", "leg", "place", "hull", "comfort", "boat", "x", '"\\n"', "distance_nm")
TEXTS = {name: (ROUTES / name).read_text("utf-8") for name in (*BOATS, *VOYAGES)}
VALUE = re.compile(r"(?<== )[^,\n}#]+")
KEY = re.compile(r"\b[a-z_0-9]+(?= = )")


@st.composite
def edits(draw: Any, text: str) -> str:
    """``text`` with some keys, values and lines changed, lost or doubled."""
    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(("value", "value", "key", "drop", "double", "cut", "insert")))
        if kind in ("value", "key"):
            found = list((VALUE if kind == "value" else KEY).finditer(text))
            if found:
                match = draw(st.sampled_from(found))
                text = (
                    text[: match.start()]
                    + draw(st.sampled_from(NASTY if kind == "value" else NAMES))
                    + text[match.end() :]
                )
        elif kind == "cut":
            text = text[: draw(st.integers(0, len(text)))]
        else:
            lines = text.split("\n")
            number = draw(st.integers(0, len(lines) - 1))
            lines[number : number + 1] = {"drop": [], "double": [lines[number]] * 2, "insert": ["[x]", lines[number]]}[
                kind
            ]
            text = "\n".join(lines)
    return text


def loads_or_tells(name: str, text: str, voyage: str) -> None:
    with tempfile.TemporaryDirectory() as directory:
        for file, content in {**TEXTS, name: text}.items():
            (Path(directory) / file).write_text(content, "utf-8")
        well_told(Path(directory) / voyage)


def well_told(path: Path) -> bool:
    """Whether the voyage loads; its problems, if any, are held to what a terminal can show."""
    try:
        load_voyage(path)
    except Problems as error:
        found = error.problems
        if not found or not all(p.line >= 1 and p.text and str(p).isprintable() for p in found):
            raise AssertionError(f"badly told: {found}") from error
        return False
    return True


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_changed_voyages_are_read_or_their_problems_told(data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(VOYAGES))
    text = data.draw(edits(TEXTS[name]))
    loads_or_tells(name, text, name)


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_changed_boats_are_read_or_their_problems_told(data: st.DataObject) -> None:
    name, voyage = data.draw(st.sampled_from(list(zip(BOATS, ("winter.toml", "autumn.toml"), strict=True))))
    text = data.draw(edits(TEXTS[name]))
    loads_or_tells(name, text, voyage)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=60))
@example(b"a = [\n")
def test_any_bytes_at_all(content: bytes) -> None:
    with tempfile.TemporaryDirectory() as directory:
        path = Path(directory) / "any.toml"
        path.write_bytes(content)
        assert not well_told(path), "no voyage is so short"
