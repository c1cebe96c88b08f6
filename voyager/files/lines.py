"""Where each key of a TOML text stands: the parser gives values only, problems need lines."""

import re
from dataclasses import dataclass, field
from typing import Any

import tomli

Path = tuple[str | int, ...]
Positions = dict[Path, tuple[int, int]]
_TOKEN = re.compile(
    r"""(?P<skip>[ \t\r]+|\#[^\n]*)|(?P<line>\n)
    |(?P<text>\"{3}(?:[^"\\]|\\.|"(?!""))*"{3,5}|'{3}(?:[^']|'(?!''))*'{3,5}|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')
    |(?P<bare>[A-Za-z0-9_+\-:]+)|(?P<mark>[\[\]{}=,.])""",
    re.X | re.S,
)


@dataclass(frozen=True)
class _Token:
    kind: str
    text: str
    line: int
    column: int

    def is_mark(self, marks: str) -> bool:
        return self.kind == "mark" and self.text in marks


def _tokens(text: str) -> list[_Token]:
    tokens, line, line_starts = [], 1, 0
    for match in _TOKEN.finditer(text):
        piece = match[0]
        if match.lastgroup != "skip":
            tokens.append(_Token(str(match.lastgroup), piece, line, match.start() - line_starts + 1))
        if breaks := piece.count("\n"):
            line += breaks
            line_starts = match.start() + piece.rindex("\n") + 1
    return [*tokens, _Token("line", "\n", line, 1)]


@dataclass
class _Locator:
    """A walk over the tokens of a text that the parser has accepted."""

    tokens: list[_Token]
    at: int = 0
    table: Path = ()
    rows: dict[Path, int] = field(default_factory=dict)
    found: Positions = field(default_factory=lambda: {(): (1, 1)})

    def walk(self) -> Positions:
        while self.at < len(self.tokens):
            token = self.tokens[self.at]
            if token.kind == "line":
                self.at += 1
            elif token.is_mark("["):
                self.header(token)
            else:
                self.pair(self.table)
        return self.found

    def note(self, path: Path, token: _Token) -> None:
        self.found.setdefault(path, (token.line, token.column))

    def key(self) -> tuple[list[str], _Token]:
        first, parts = self.tokens[self.at], []
        while not (token := self.tokens[self.at]).is_mark("=]"):
            if token.kind != "mark":
                parts.append(token.text if token.kind == "bare" else tomli.loads("k=" + token.text)["k"])
            self.at += 1
        return parts, first

    def header(self, token: _Token) -> None:
        double = self.tokens[self.at + 1].is_mark("[")
        self.at += 1 + double
        parts, _ = self.key()
        self.at += 1 + double
        for count in range(1, len(parts)):
            self.note(self.row_path(parts[:count]), token)
        self.table = (*self.row_path(parts[:-1]), parts[-1])
        if double:
            self.note(self.table, token)
            self.rows[self.table] = self.rows.get(self.table, -1) + 1
            self.table = (*self.table, self.rows[self.table])
        self.found[self.table] = (token.line, token.column)

    def row_path(self, parts: list[str]) -> Path:
        """The current row's number goes behind the name of each array of tables."""
        path: Path = ()
        for part in parts:
            path = (*path, part)
            if path in self.rows:
                path = (*path, self.rows[path])
        return path

    def pair(self, base: Path) -> None:
        parts, token = self.key()
        self.at += 1
        for count in range(1, len(parts) + 1):
            self.note((*base, *parts[:count]), token)
        self.value((*base, *parts))

    def value(self, path: Path) -> None:
        token = self.tokens[self.at]
        self.note(path, token)
        self.at += 1
        if token.kind == "mark":
            self.items(path, inline_table=token.text == "{")
        while token.kind == "bare" and (self.tokens[self.at].kind == "bare" or self.tokens[self.at].is_mark(".")):
            self.at += 1  # 1.5, and dates with a space before the hour

    def items(self, path: Path, *, inline_table: bool) -> None:
        count = 0
        while True:
            while self.tokens[self.at].kind == "line" or self.tokens[self.at].is_mark(","):
                self.at += 1
            if self.tokens[self.at].is_mark("]}"):
                self.at += 1
                return
            if inline_table:
                self.pair(path)
            else:
                self.value((*path, count))
                count += 1


def locate(text: str) -> Positions:
    """Line and column (from 1) of every key and row of a valid TOML text: {("leg", 3, "km"): (12, 4), ...}."""
    return _Locator(_tokens(text)).walk()


def value_at(data: Any, path: Path) -> Any:
    """What stands at a path, None where nothing does."""
    for part in path:
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def line_of(positions: Positions, path: Path) -> int:
    """Line of a key; for a missing one the line of its nearest ancestor that exists."""
    while path not in positions:
        path = path[:-1]
    return positions[path][0]


def comments(text: str) -> list[str]:
    """Every comment of a valid TOML text, from its # to the end of the line."""
    return [match[0].rstrip() for match in _TOKEN.finditer(text) if match[0].startswith("#")]
