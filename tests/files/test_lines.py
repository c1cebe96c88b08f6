"""Positions of keys against a writer that knows where it put them, on generated documents."""

from dataclasses import dataclass, field
from itertools import count
from typing import Any

import pytest
import tomli
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.files.support import BOATS, PAIR, ROUTES, VOYAGES
from voyager.files.lines import Path, line_of, locate

SCALARS = (
    '"a = [1, {b = 2}] # no"', "'no \\ escape'", '"tab\\t \\"quoted\\" \\\\"', '"""two\nlines = [\n"""',
    "'''\n[x]\n'''", '"""ends with "quotes"""""', "'''a'b''c'''", "1.5", "-3", "+1e3", "0x1F", "true", "inf",
    "2027-03-01", "2027-03-01 05:40:00Z", "2027-03-01T05:40:00.5+01:00", "08:30:00", '""', "''",
)  # fmt: skip
KEYS = (
    ("plain{}", "plain{}"),
    ('"quo ted\\u00e9{}"', "quo tedé{}"),
    ("'lit#{}'", "lit#{}"),
    ("1{}", "1{}"),
    ("a-b_{}", "a-b_{}"),
)
GAPS = ("", " ", "\t ", " # x = [1\n", "\n", "\n  # ]\n")


@dataclass
class Writer:
    """Writes TOML and notes each path where it is first written."""

    draw: Any
    text: str = ""
    found: dict[Path, tuple[int, int]] = field(default_factory=lambda: {(): (1, 1)})
    numbers: Any = field(default_factory=count)

    def here(self) -> tuple[int, int]:
        return self.text.count("\n") + 1, len(self.text) - self.text.rfind("\n")

    def note(self, path: Path) -> None:
        self.found.setdefault(path, self.here())

    def pick(self, choices: Any) -> Any:
        return self.draw(st.sampled_from(choices))

    def key(self) -> tuple[str, str]:
        number = next(self.numbers)
        written, meant = self.pick(KEYS)
        return written.format(number), meant.format(number)

    def pair(self, base: Path, depth: int) -> None:
        parts = [self.key() for _ in range(self.pick((1, 1, 2, 3)))]
        for number in range(1, len(parts) + 1):
            self.note((*base, *(meant for _, meant in parts[:number])))
        self.text += self.pick((".", " . ")).join(written for written, _ in parts) + self.pick(("=", " = "))
        self.value((*base, *(meant for _, meant in parts)), depth)

    def value(self, path: Path, depth: int) -> None:
        self.note(path)
        kind = self.pick(("scalar", "scalar", "array", "table")) if depth else "scalar"
        if kind == "scalar":
            self.text += self.pick(SCALARS)
        elif kind == "array":
            self.array(path, depth)
        else:
            self.table(path, depth)

    def array(self, path: Path, depth: int) -> None:
        self.text += "[" + self.pick(GAPS)
        size = self.draw(st.integers(0, 3))
        for number in range(size):
            self.value((*path, number), depth - 1)
            self.text += (
                self.pick(GAPS) + ("," if number < size - 1 or self.pick((True, False)) else "") + self.pick(GAPS)
            )
        self.text += "]"

    def table(self, path: Path, depth: int) -> None:
        self.text += "{ "
        size = self.draw(st.integers(0, 3))
        for number in range(size):
            self.pair(path, depth - 1)
            self.text += ", " if number < size - 1 else " "
        self.text += "}"

    def lines(self, base: Path) -> None:
        for _ in range(self.draw(st.integers(0, 3))):
            self.text += self.pick(("", "  ", "# a = 1\n", "\n"))
            self.pair(base, 2)
            self.text += self.pick(("\n", " # [x]\n", "\r\n"))

    def header(self, parts: list[tuple[str, str]], row: int | None, base: Path = ()) -> Path:
        path: Path = (*base, *(meant for _, meant in parts))
        dotted = ".".join(written for written, _ in parts)
        for number in range(1, len(parts)):
            self.note((*base, *(meant for _, meant in parts[:number])))
        self.note(path)
        if row is not None:
            path = (*path, row)
            self.found[path] = self.here()
        self.text += f"[{dotted}]\n" if row is None else f"[[ {dotted} ]] # row\n"
        return path

    def document(self) -> None:
        self.lines(())
        for _ in range(self.draw(st.integers(0, 3))):
            parts = [self.key() for _ in range(self.pick((1, 2)))]
            if self.pick((True, False)):
                self.lines(self.header(parts, None))
                continue
            for row in range(self.pick((1, 2))):
                path = self.header(parts, row)
                self.lines(path)
                self.below(path, parts)

    def below(self, path: Path, parts: list[tuple[str, str]]) -> None:
        """A table [row.child] that belongs to the last row."""
        child = self.key()
        dotted = ".".join(written for written, _ in [*parts, child])
        self.note((*path, child[1]))
        self.text += f"[{dotted}]\n"
        self.lines((*path, child[1]))


@st.composite
def documents(draw: Any) -> tuple[str, dict[Path, tuple[int, int]]]:
    writer = Writer(draw)
    writer.document()
    return writer.text, writer.found


def paths(data: Any, base: Path = ()) -> set[Path]:
    """Every path of parsed data."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    return {base}.union(*(paths(item, (*base, key)) for key, item in items))


@settings(max_examples=150, deadline=None)
@given(documents())
def test_every_key_is_found_where_it_was_written(made: tuple[str, dict[Path, tuple[int, int]]]) -> None:
    text, written = made
    data = tomli.loads(text)
    found = locate(text.replace("\r\n", "\n"))
    assert set(found) == paths(data)
    assert found == written


@pytest.mark.parametrize("file", [*(ROUTES / name for name in (*VOYAGES, *BOATS)), PAIR / "sedge.toml"])
def test_every_key_of_the_demos_stands_on_its_line(file: Any) -> None:
    text = file.read_text("utf-8")
    lines = text.splitlines()
    found = locate(text)
    assert set(found) == paths(tomli.loads(text))
    for path, (line, column) in found.items():
        if path and isinstance(path[-1], str):
            assert path[-1] in lines[line - 1][column - 1 :]


def test_a_missing_key_has_the_line_of_its_nearest_ancestor() -> None:
    found = locate("a = 1\n[b]\n[[c]]\nd = 2\n[[c]]\n")
    assert line_of(found, ("b", "x", "y")) == 2
    assert line_of(found, ("c", 1, "d")) == 5
    assert line_of(found, ("c", 0, "d")) == 4
    assert line_of(found, ("nowhere",)) == 1
