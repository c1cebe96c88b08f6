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
    remarks: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """Write what was changed; comments, order and layout of the files stay.

    ``stamp`` as ``opened`` gave it, {} for a voyage that has no file yet. ``to``: save under another name, with what it
    names (boat, weather) seen from there; a changed boat is then written beside it, the old one stays. ``force`` writes
    over what another program changed, or over ``to``. ``remarks``: what ``sketch.remarks.standing`` gives, written
    beside the boat's values.

    Returns ``written`` (paths), ``stamp`` for the next save, ``path`` of the voyage, ``notes`` (sentences to tell), and
    ``top``: keys of the voyage's top table that the sketch must take over ({} but for ``to``). Raises NotSaved; its
    ``kind`` is "changed-outside", "read-only", "exists" or "failed"; nothing was written unless its sentence says so.
    """
    from voyager.files.save import save_pair

    done = save_pair(os.fspath(path), documents, stamp, None if to is None else os.fspath(to), force, remarks)
    return {
        "written": list(done.written),
        "stamp": done.stamp,
        "path": done.path,
        "notes": list(done.notes),
        "top": done.top,
    }
