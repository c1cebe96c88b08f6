"""A sketch back into its files."""

import os
from collections.abc import Mapping
from typing import Any


def save(
    path: str | os.PathLike[str],
    documents: Mapping[str, Any],
    stamp: Mapping[str, Any],
    *,
    to: str | os.PathLike[str] | None = None,
    force: bool = False,
) -> dict[str, Any]:
    """Write what was changed: ``{"written": [paths], "stamp": {...}, "path": voyage path, "notes": [sentences]}``.

    Raises NotSaved, with nothing written unless its sentence says so; its ``kind`` is "changed-outside", "read-only",
    "exists" or "failed".
    """
    raise NotImplementedError
