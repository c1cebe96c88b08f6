"""Fits for a voyage that is being edited: its own boat is taken, and what was found becomes an edit of it."""

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, Problems
from voyager.session.fits import fit

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded

UNSOUND = "the voyage as it stands has faults, so nothing was taken from its boat"
Json = dict[str, Any]


def fit_here(kind: str, file: str, options: Mapping[str, object], path: str, documents: Mapping[str, Any]) -> Json:
    """As ``session/fits.fit``, with voyage and boat as they are being edited (``documents`` of the voyage at ``path``).

    A sketch with faults gives no boat, which the notes then say. Raises Problems, InputError.
    """
    try:
        loaded = _loaded(path, documents)
    except Problems:
        if kind == "panels" and not options.get("voyage"):
            raise
        loaded = None
    result = fit(kind, file, options, loaded)
    return result if loaded is not None else {**result, "notes": [*result["notes"], UNSOUND]}


def _loaded(path: str, documents: Mapping[str, Any]) -> "Loaded":
    """No fit asks for the weather file."""
    from voyager.files.voyage_file import load_voyage

    voyage = {key: value for key, value in documents["voyage"].items() if key != "weather"}
    return load_voyage(path, documents={**documents, "voyage": voyage})


def offered(result: Mapping[str, Any], boat: str, held: Mapping[str, Any], today: str) -> Json:
    """What a fit would change in the boat ``held``, which came from the file at ``boat``; nothing is changed.

    ``difference``: lines of a unified difference to what would now be saved; ``puts``: pairs of path and value, None
    takes one away; ``remarks`` by dotted path; both as ``sketch.remarks.fitted`` takes them; ``notes``: sentences on
    comments that can't stay. ``today`` as ISO text. Raises InputError, Problems.
    """
    from voyager.files.into import propose
    from voyager.session.fit_into import remarks, rounded

    if not result["values"]:
        raise InputError(f"fit {result['kind']} gives nothing that a boat file holds")
    values, errors = rounded(result)
    made = propose(boat, values, errors, remarks(result, date.fromisoformat(today)), held)
    return {
        "difference": list(made.difference),
        "puts": [[list(path), value] for path, value in made.puts],
        "remarks": dict(made.told),
        "notes": list(made.notes),
    }


def draw(result: Mapping[str, Any], path: str, force: bool = False) -> Json:
    """Write the plot as a picture, SVG or PNG by the ending: ``written`` or, where one is there already, ``exists``.

    Raises InputError, NotSaved.
    """
    from voyager.errors import NotSaved
    from voyager.files.recent import write_new
    from voyager.report.fit_picture import FORMS, picture

    form = path.rpartition(".")[2].lower()
    if form not in FORMS:
        raise InputError(f"{path}: the name of a picture ends in .svg or .png")
    content = picture(result, form)
    try:
        write_new(path, content, force)
    except NotSaved as error:
        if error.kind != "exists":
            raise
        return {"exists": path}
    return {"written": path}
