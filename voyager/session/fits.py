"""What a user can ask of measurements: parameters with their uncertainty, as plain values."""

import re
from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, Problems
from voyager.session.fit_cautions import codes, texts
from voyager.session.fit_options import WHAT, checked

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.fits.measured import Measured
    from voyager.fits.result import Fit, Plot, Series

KINDS = tuple(WHAT)
LINE = re.compile(r"line (\d+): ")


def fit(
    kind: str, file: str, options: Mapping[str, object] | None = None, loaded: "Loaded | None" = None
) -> dict[str, Any]:
    """The ``fit`` object of FILES section 6 for a CSV of measurements.

    ``options`` as in ``session/fit_options``, by name; None, "" and False say nothing. ``loaded``: the voyage and boat
    that are taken where no file is named. More keys than FILES names:
    ``caution_texts`` (a sentence for each code), ``plot`` {title, x_label, y_label, series: [{name, kind, x, y, y2}]},
    ``notes`` (sentences on what the data did not allow), ``values`` {path in the boat file: value}. Raises Problems for
    a file that can't be read, InputError for one that tells nothing: what to measure instead.
    """
    found = _with(kind, checked(kind, options or {}), loaded)
    from voyager.files.measured import read_measured

    measured = read_measured(file, kind)
    from voyager.session.fit_kinds import run

    try:
        result = run(kind, measured, found)
    except Problems:
        raise
    except InputError as error:
        raise InputError(_placed(str(error), file)) from None
    return plain(result, measured)


def _with(kind: str, options: dict[str, object], loaded: "Loaded | None") -> dict[str, object]:
    if loaded is None:
        return options
    own = {"boat": loaded.vessel, **({"voyage": loaded} if kind == "panels" else {})}
    return {**own, **options}


def _placed(text: str, file: str) -> str:
    """A refusal with the file's name, and line where it tells one, before it, unless it is about an option."""
    from voyager.files.printable import printable

    if text.startswith("--"):
        return text
    line = LINE.match(text)
    return f"{printable(file)}:{line[1]}: {text[line.end() :]}" if line else f"{printable(file)}: {text}"


def plain(result: "Fit", measured: "Measured") -> dict[str, Any]:
    """A fit as plain values, keys in the order of FILES section 6."""
    left = {one.row: one.why for one in (*measured.left_out, *result.left_out)}
    found = codes(result.kind, result.cautions)
    return {
        "format": 1,
        "kind": result.kind,
        "file": measured.file,
        "rows": result.rows,
        "used": result.used,
        "left_out": [{"row": row, "why": left[row]} for row in sorted(left)],
        "model": result.model,
        "parameters": [_numbers(asdict(one)) for one in result.parameters],
        "derived": [_numbers(asdict(one)) for one in result.derived],
        "residual": {"rms": float(result.residual_rms), "unit": result.residual_unit},
        "cautions": found,
        "written": None,
        "caution_texts": texts(found),
        "notes": list(dict.fromkeys((*measured.notes, *result.notes))),
        "values": dict(result.values),
        "plot": _plot(result.plot),
    }


def _numbers(row: dict[str, Any]) -> dict[str, Any]:
    """numpy's numbers as Python's."""
    return {name: value.item() if hasattr(value, "item") else value for name, value in row.items()}


def _plot(plot: "Plot") -> dict[str, Any]:
    return {
        "title": plot.title,
        "x_label": plot.x_label,
        "y_label": plot.y_label,
        "series": [_series(one) for one in plot.series],
    }


def _series(one: "Series") -> dict[str, Any]:
    return {
        "name": one.name,
        "kind": one.kind,
        "x": one.x.tolist(),
        "y": one.y.tolist(),
        "y2": None if one.y2 is None else one.y2.tolist(),
    }


def save_picture(path: str, content: bytes) -> None:
    """Write a picture, over an earlier one of that name. Raises NotSaved."""
    from voyager.files.recent import write_new

    write_new(path, content, force=True)
