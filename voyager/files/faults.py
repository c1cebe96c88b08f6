"""Collects the problems of one document, each with the line of its key."""

from dataclasses import dataclass, field

from voyager.errors import Problem
from voyager.files.lines import Path, line_of
from voyager.files.printable import printable
from voyager.files.sketched import standing
from voyager.files.toml import Document, dotted


@dataclass
class Faults:
    """``renamed`` maps a key to the one with the other unit that the file has; ``asked`` were set from outside."""

    document: Document
    asked: frozenset[Path] = frozenset()
    renamed: dict[Path, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    bad: set[Path] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.problems.extend(self.document.bad.values())
        self.bad.update(self.document.bad)

    def written(self, path: Path) -> Path:
        """The path under which the file has a key, in the unit its writer chose."""
        for count in range(len(path), 0, -1):
            if name := self.renamed.get(path[:count]):
                return (*path[: count - 1], name, *path[count:])
        return path

    def add(self, path: Path, text: str, *, row: str = "") -> None:
        """Add one sentence on the key at ``path``; ``row`` names the row it belongs to."""
        if any(path[:count] in self.asked for count in range(1, len(path) + 1)):
            text += " (as asked for now, not as in the file)"
        path = self.written(path)
        if self.document.sketched:
            where, key = standing(self.document, path)
            self.problems.append(Problem(where, 0, key, printable(text), path))
            return
        text = f"{text} ({row})" if row else text
        line = line_of(self.document.positions, path)
        self.problems.append(Problem(printable(self.document.file), line, dotted(path), printable(text), path))

    def in_order(self) -> list[Problem]:
        """The problems in the order of the document."""
        if not self.document.sketched:
            return sorted(self.problems)
        return sorted(self.problems, key=lambda problem: line_of(self.document.positions, problem.path))
