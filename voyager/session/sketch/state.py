"""The voyage and its boat while they are being edited: plain values as their files have them, sound or not."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

Values = Mapping[str, Any]
Documents = dict[str, Any]
ROWS = {"place": "places", "leg": "legs", "forecast": "forecast"}


@dataclass(frozen=True)
class Row:
    """One place, leg or forecast: ``values`` by the file's keys; ``ident`` stays with the row through every edit."""

    ident: int
    values: Values

    def get(self, key: str, otherwise: Any = None) -> Any:
        """The value at a key of the file."""
        return self.values.get(key, otherwise)

    def put(self, key: str, value: Any) -> "Row":
        """With one value changed, or taken away where it is None."""
        kept = {k: v for k, v in self.values.items() if k != key} if value is None else {**self.values, key: value}
        return replace(self, values=kept)


@dataclass(frozen=True)
class Sketch:
    """Never changed in place: each edit makes another, sharing the rows that it does not touch.

    ``top`` holds the voyage file's keys but for its rows, ``boat`` the whole boat file; ``remarks`` what measurements
    have to say beside the boat's values (``session/sketch/remarks``).
    """

    top: Values = field(default_factory=dict)
    places: tuple[Row, ...] = ()
    legs: tuple[Row, ...] = ()
    forecast: tuple[Row, ...] = ()
    boat: Values = field(default_factory=dict)
    next_ident: int = 1
    remarks: Values = field(default_factory=dict)

    def documents(self) -> Documents:
        """Both files as plain data: ``{"voyage": {...}, "boat": {...}}``."""
        rows = {key: [dict(row.values) for row in getattr(self, name)] for key, name in ROWS.items()}
        return {"voyage": {**self.top, **{key: value for key, value in rows.items() if value}}, "boat": dict(self.boat)}

    def with_rows(self, kind: str, rows: Iterable[Row]) -> "Sketch":
        """With other ``places``, ``legs`` or ``forecast``."""
        changes: dict[str, Any] = {kind: tuple(rows)}
        return replace(self, **changes)

    def fresh(self, values: Values) -> tuple["Sketch", Row]:
        """A new row with an identity of its own, and the sketch that knows so; the row is not in it yet."""
        return replace(self, next_ident=self.next_ident + 1), Row(self.next_ident, dict(values))

    def put_top(self, key: str, value: Any) -> "Sketch":
        """With one of the voyage's top keys changed, or taken away where the value is None."""
        kept = {k: v for k, v in self.top.items() if k != key} if value is None else {**self.top, key: value}
        return replace(self, top=kept)


def sketch_of(documents: Mapping[str, Any]) -> Sketch:
    """A sketch of two files' plain data; what is no table among the rows is left out."""
    voyage = documents["voyage"]
    made = Sketch(top={k: v for k, v in voyage.items() if k not in ROWS}, boat=dict(documents["boat"]))
    for key, name in ROWS.items():
        rows = []
        found = voyage.get(key)
        for values in found if isinstance(found, list) else ():
            if isinstance(values, Mapping):
                made, row = made.fresh(values)
                rows.append(row)
        made = made.with_rows(name, rows)
    return made
