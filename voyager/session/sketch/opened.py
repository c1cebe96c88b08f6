"""A voyage opened for editing: both files' data, sound or not, and all that the screens want to know of them."""

import os
from typing import Any


def opened(path: str | os.PathLike[str]) -> dict[str, Any]:
    """Both files as they are to be edited.

    ``documents`` {"voyage", "boat"}; ``outline`` as ``session.outline``, with None for a value at fault; ``problems``
    as ``sketch.faults`` gives them; ``journal``: an offer of edits that a crash left, or None; ``stamp`` for ``save``;
    ``files`` and ``writable`` by "voyage" and "boat"; ``comfort``: names of the ladder;
    ``waiting``: other voyages opened of late of which edits were left.

    Raises Problems where the voyage file is not there, no TOML or a boat's; a boat file like that is a problem instead,
    and its data are empty.
    """
    from voyager.files.examine import look
    from voyager.files.sketch_read import read_pair, writable
    from voyager.session.outline import outline_of
    from voyager.session.recent import recent
    from voyager.session.sketch.faults import fault_of
    from voyager.session.sketch.journal import offered, waiting

    file = os.fspath(path)
    pair = read_pair(file)
    found = look(file, documents=pair.documents)
    outline = outline_of(found.voyage, found.boat, file)
    files = {"voyage": file, "boat": pair.boat.path}
    return {
        "documents": pair.documents,
        "outline": outline,
        "problems": [fault_of(problem) for problem in found.problems],
        "journal": offered(file, pair.documents),
        "stamp": pair.stamp,
        "files": files,
        "writable": {kind: bool(place) and writable(place) for kind, place in files.items()},
        "comfort": outline["choices"]["comfort"],
        "waiting": waiting([late for late in recent() if late != os.path.abspath(file)]),
    }
