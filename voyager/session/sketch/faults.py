"""What is not yet right in a sketch: the same checks as for files, told by row."""

import os
from collections.abc import Mapping
from typing import Any

from voyager.errors import Problem, Problems

ROWS = {"leg": "leg", "place": "place", "forecast": "forecast", "array": "boat", "heater": "boat"}


def faults(path: str | os.PathLike[str], documents: Mapping[str, Any]) -> list[dict[str, Any]]:
    """All that is wrong in ``documents`` (as in ``plan``), nothing raised; an empty list where they are sound.

    Each: ``text``, the whole sentence with its place (`leg 3 (A to B): distance_km: must be …`); ``what``, the sentence
    without the place; ``row``: "leg", "place", "forecast", "top" or "boat"; ``number`` of the row from 1, None in the
    top table and in the boat's tables that are no rows; ``key`` as in the file, dotted within its row (of the boat:
    from the boat's top, arrays and heaters too: `array.1.panels`); ``path`` from the document's top, rows from 0.
    """
    from voyager.files.examine import look

    try:
        found = look(path, documents=documents).problems
    except Problems as error:
        found = error.problems
    return [fault_of(problem) for problem in found]


def fault_of(problem: Problem, kind: str = "") -> dict[str, Any]:
    """The plain form of one problem; ``kind`` is "voyage" or "boat" where its file is known."""
    path = problem.path
    head = str(path[0]) if path else ""
    number = path[1] + 1 if len(path) > 1 and isinstance(path[1], int) and head in ROWS else None
    boat = kind == "boat" or problem.file == "boat" or head in ("array", "heater")
    row = "boat" if boat else ROWS.get(head, "top") if number is not None else "top"
    inside = path[2:] if number is not None and not boat else path
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in inside)
    return {"text": str(problem), "what": problem.text, "row": row, "number": number, "key": key, "path": list(path)}
