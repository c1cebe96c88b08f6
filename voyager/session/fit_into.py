"""A fit's values into the boat file: shown first as a difference, then written, or not at all."""

import os
from collections.abc import Mapping, Sequence
from datetime import date
from math import floor, isfinite, log10
from typing import TYPE_CHECKING, Any

from voyager.errors import InputError, NotSaved

if TYPE_CHECKING:
    from voyager.files.into import Proposed

Result = Mapping[str, Any]
DIGITS = 4
NORMAL_95 = 1.96
FEW = 1.25
"""By so much Student's interval is wider than the normal one at six readings beyond the parameters."""


def proposed(result: Result, boat: str, today: date) -> dict[str, Any]:
    """What ``write`` would do to the boat file at ``boat``: nothing is written.

    ``difference``: lines of a unified difference; ``values`` and ``remarks`` by dotted path, the standard errors'
    under ``standard_error.PATH``; ``notes``: sentences on comments that can't stay; ``stamp`` tells the file's present
    content. Raises InputError where the fit has nothing for a boat file, Problems, NotSaved.
    """
    made = _made(result, boat, today)
    values, errors = rounded(result)
    return {
        "boat": boat,
        "difference": list(made.difference),
        "values": values | {f"standard_error.{key}": error for key, error in errors.items()},
        "remarks": remarks(result, today),
        "notes": [*made.notes, *_own_trial_lost(result, made.difference)],
        "stamp": made.digest,
    }


def _own_trial_lost(result: Result, difference: Sequence[str]) -> list[str]:
    """A sentence where a model's values go in for what was measured on the boat itself."""
    lost = any(line.startswith("-") and "voyager fit trial" in line for line in difference)
    if result["kind"] != "model" or not lost:
        return []
    return [
        "what goes was measured on the boat itself, which tells more than a model: keep it unless the boat has changed"
    ]


def write(result: Result, boat: str, today: date, force: bool = False, stamp: str | None = None) -> str:
    """Write the values with date and source; the boat file's path.

    ``stamp``, of what was shown: a file changed since is refused (``kind`` "changed-outside") unless ``force``.
    Raises as ``proposed``; nothing is written then.
    """
    from voyager.files.into import write as put

    made = _made(result, boat, today)
    if stamp is not None and made.digest != stamp and not force:
        text = f"{boat} was changed by another program meanwhile; nothing was written, ask again"
        raise NotSaved(text, "changed-outside")
    return put(made, force)


def _made(result: Result, boat: str, today: date) -> "Proposed":
    from voyager.files.into import propose

    if not result["values"]:
        raise InputError(f"fit {result['kind']} gives nothing that a boat file holds; nothing was written")
    values, errors = rounded(result)
    return propose(boat, values, errors, remarks(result, today))


def rounded(result: Result) -> tuple[dict[str, Any], dict[str, float | None]]:
    """Values with the digits that their errors leave them, and standard errors with two; None takes one away."""
    errors = {one["key"]: _spread(one) for one in result["parameters"] if one["key"]}
    values = {key: _rounded(value, errors.get(key)) for key, value in result["values"].items()}
    kept = {key: _error(errors.get(key)) if value is not None else None for key, value in values.items()}
    return values, kept


def _spread(parameter: Result) -> float | None:
    """The standard error; of few readings the larger one whose normal 95 % interval is as wide as theirs, for whoever
    uses it later knows nothing of how few they were."""
    error: float | None = parameter["se"]
    if error is None:
        return None
    wide = float(parameter["high"] - parameter["low"]) / (2 * NORMAL_95)
    return wide if wide > FEW * error else error


def _error(error: float | None) -> float | None:
    return round(error, _decimals(error)) if error and isfinite(error) else None


def _decimals(error: float) -> int:
    """Decimals that show two digits of an error."""
    return 1 - floor(log10(error))


def _rounded(value: Any, error: float | None) -> Any:
    if isinstance(value, list | tuple):
        return [_rounded(one, None) for one in value]
    if value is None or not isinstance(value, int | float):
        return value
    if error and isfinite(error):
        return float(round(value, _decimals(error)))
    return float(f"{value:.{DIGITS}g}")


def remarks(result: Result, today: date) -> dict[str, str]:
    """The comment of each line: date, command, file, standard error."""
    values, errors = rounded(result)
    source = f"{today.isoformat()}, voyager fit {result['kind']} {os.path.basename(result['file'])}"
    told = {}
    for key, value in values.items():
        if value is None:
            continue
        error = errors[key]
        told[key] = source if error is None else f"{source}, ± {error:g}"
        if error is not None:
            told[f"standard_error.{key}"] = source
    return told
