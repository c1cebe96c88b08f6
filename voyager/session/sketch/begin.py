"""A voyage begun: its file with a boat, two places without positions yet, and the leg between them."""

import json
import os
import re
import unicodedata
from datetime import date

from voyager.session.recent import ENDING


def file_name(name: str) -> str:
    """A plain file name for a voyage's name: ``Home by canal`` gives ``home-by-canal.toml``."""
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    return (re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-") or "voyage") + ENDING


def begin(path: str, name: str, boat: str, places: tuple[str, str], departs: date) -> None:
    """Write a new voyage file. Raises NotSaved, one sentence, where a file is there already or it can't be written."""
    from voyager.files.recent import write_new

    write_new(path, text(path, name, boat, places, departs).encode())


def text(path: str, name: str, boat: str, places: tuple[str, str], departs: date) -> str:
    """The file's text; the boat is named as seen from it."""
    lines = ["format = 1", f"name = {_quoted(name)}"] if name else ["format = 1"]
    lines += [f"boat = {_quoted(_seen(boat, path))}"] if boat else []
    lines += [f"departs = {departs.isoformat()}", ""]
    for place in dict.fromkeys(filter(None, places)):
        lines += ["[[place]]", f"name = {_quoted(place)}", ""]
    lines.append("[[leg]]")
    ends = zip(("from", "to"), places, strict=True)
    return "\n".join([*lines, *(f"{key} = {_quoted(place)}" for key, place in ends if place)]) + "\n"


def _quoted(text: str) -> str:
    return json.dumps("".join(sign for sign in text if sign.isprintable()), ensure_ascii=False)


def _seen(boat: str, path: str) -> str:
    try:
        return os.path.relpath(boat, os.path.dirname(path)).replace(os.sep, "/")
    except ValueError:
        return boat
