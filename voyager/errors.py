"""The one exception tree: every error says what, where, and what would mend it.

VoyagerError
├── InputError          bad file or argument: exit status 2
│   ├── Problems        several of them, one line each
│   └── NotSaved        a file was not written, and why
├── NoPlan              a plan was asked for and none exists: exit status 1
└── Cancelled           the user stopped the work: exit status 130
"""

from collections.abc import Sequence
from dataclasses import dataclass, field


@dataclass(frozen=True, order=True)
class Problem:
    """One fault in a file, printed as ``FILE:LINE: KEY: what, and what was probably meant``.

    In a sketch, which has no lines, ``line`` is 0 and ``file`` names the row: ``leg 3 (A to B): KEY: what``.
    ``path`` is the way to the key from the document's top, rows counted from 0.
    """

    file: str
    line: int
    key: str
    text: str
    path: tuple[str | int, ...] = field(default=(), compare=False)

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.key}: {self.text}" if self.key else f"{where}: {self.text}"


class VoyagerError(Exception):
    """Root of all errors that a user may see, each one plain sentence."""


class InputError(VoyagerError):
    """A file or an argument that cannot be used."""


class Problems(InputError):
    """All faults of the files read, in the order of file and line."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))

    def __reduce__(self) -> tuple[type["Problems"], tuple[tuple[Problem, ...]]]:
        return Problems, (self.problems,)


class NotSaved(InputError):
    """A file was not written. ``kind``: "changed-outside", "read-only", "exists" or "failed"."""

    def __init__(self, text: str, kind: str) -> None:
        self.kind = kind
        super().__init__(text)

    def __reduce__(self) -> tuple[type["NotSaved"], tuple[str, str]]:
        return NotSaved, (str(self), self.kind)


class NoPlan(VoyagerError):
    """No plan exists for what was asked."""


class Cancelled(VoyagerError):
    """The user stopped the work."""
