"""A voyage opened for editing: both files' data, sound or not, and all that the screens want to know of them."""

import os
from typing import Any


def opened(path: str | os.PathLike[str]) -> dict[str, Any]:
    """``documents`` {"voyage", "boat"}; ``outline`` as ``session.outline``, with None for a value at
    fault; ``problems`` as ``sketch.faults`` gives them; ``journal``: an offer of edits that a crash left, or None; ``stamp`` for ``save``;
    ``files`` and ``writable`` by "voyage" and "boat"; ``comfort``: names of the ladder.

    Raises Problems only where a file is not there or no TOML; a boat file like that is a problem instead, and its data
    are empty.
    """
    raise NotImplementedError
