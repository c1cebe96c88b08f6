"""From the checker's terse faults to sentences: what is wrong, and what was probably meant."""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from pydantic_core import ErrorDetails

from voyager.files.printable import proposal, shown
from voyager.files.units import meant_unit, own_unit, twin

_TYPES = {
    "float_type": "must be a number",
    "int_type": "must be a whole number",
    "bool_type": "must be true or false",
    "string_type": "must be a text in quotes",
    "list_type": "must be a list in square brackets",
    "tuple_type": "must be a list in square brackets",
    "dict_type": "must be a table",
    "model_type": "must be a table",
    "finite_number": "must be an ordinary number, not infinite or NaN",
}
_ROWS = {"place": "voyage", "leg": "voyage", "array": "boat"}
_LIMITS = {
    "greater_than": ("gt", "must be more than"),
    "greater_than_equal": ("ge", "must be at least"),
    "less_than": ("lt", "must be less than"),
    "less_than_equal": ("le", "must be at most"),
}


def sentence(error: ErrorDetails, written: object, key: str) -> str:
    """The sentence for one fault; ``written`` is the value as in the file, ``key`` its key as in the file."""
    kind, context = error["type"], error.get("ctx", {})
    if kind in _LIMITS:
        return _limit(kind, context, written, key)
    if kind in ("float_type", "int_type") and type(written) is int:
        return f"is far too large a number, {shown(written)}"
    if kind in _TYPES:
        return _wrong_type(kind, written)
    if kind == "literal_error":
        return _choice(str(context["expected"]), written)
    if kind == "too_short" and key in _ROWS and isinstance(written, list):
        return _few_rows(key, context, len(written))
    if kind in ("missing", "too_short", "too_long", "string_too_short", "string_too_long"):
        return _length(kind, context, written)
    if kind == "value_error":
        return str(context["error"])
    return f"{error['msg']}, is {shown(written)}"


def _few_rows(key: str, context: Mapping[str, Any], size: int) -> str:
    there = f"there is only one {key}" if size == 1 else f"there is no {key}"
    return f"{there}; a {_ROWS[key]} needs at least {context['min_length']}"


def empty_row(keys: Sequence[str]) -> str:
    """The sentence for a row without any key; ``keys`` are those that it must have."""
    return f"is empty: it needs {' and '.join(keys)}; fill it in or take it away"


def _wrong_type(kind: str, written: object) -> str:
    text = f"{_TYPES[kind]}, is {shown(written)}"
    if kind in ("float_type", "int_type") and isinstance(written, str) and _reads_as_number(written):
        text += "; take the quotes away"
    if kind == "bool_type" and isinstance(written, str) and written.lower() in ("true", "false"):
        text += "; take the quotes away"
    return text


def _reads_as_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _limit(kind: str, context: Mapping[str, Any], written: object, key: str) -> str:
    name, text = _LIMITS[kind]
    limit = float(context[name])
    if unit := own_unit(key):
        limit /= unit[1]
    sentence = f"{text} {limit:.6g}, is {shown(written)}"
    if isinstance(written, int | float):
        sentence += _share_meant(limit, written) if name == "le" else _sign_meant(limit, written)
    return sentence


def _share_meant(limit: float, written: float) -> str:
    return f"; a share, so {written / 100:g} may be meant" if limit == 1 and 1 < written <= 100 else ""


def _sign_meant(limit: float, written: float) -> str:
    return f"; {-written:g} may be meant" if limit in (0, 1) and written < 0 < -written != limit else ""


def _choice(expected: str, written: object) -> str:
    words = [word.strip().strip("'") for word in expected.replace(" or ", ", ").split(",")]
    if not isinstance(written, str):
        return f"must be {_either(words)}, is {shown(written)}"
    return f"must be {_either(words)}, is {shown(written)}" + proposal(written, words)


def _either(words: Sequence[str]) -> str:
    quoted = [word if word.isdigit() else f'"{word}"' for word in words]
    return " or ".join([", ".join(quoted[:-1]), quoted[-1]] if len(quoted) > 1 else quoted)


def _length(kind: str, context: Mapping[str, Any], written: object) -> str:
    if kind == "string_too_short":
        return "must not be empty"
    if kind == "string_too_long":
        return f"must be {context['max_length']} characters at most"
    if kind == "missing":
        return "a value is missing in its list"
    bound = "at least" if kind == "too_short" else "at most"
    number = context["min_length" if kind == "too_short" else "max_length"]
    size = len(written) if isinstance(written, list) else 0
    return f"must hold {bound} {number} value{'s' if number != 1 else ''}, holds {size}"


def unknown_key(key: str, here: Sequence[str], elsewhere: Iterable[tuple[str, str]]) -> str:
    """The sentence for a key that does not exist; ``elsewhere`` are (table, key) of the same kind of file."""
    if unit := meant_unit(key, here):
        return f"unknown key; {unit}"
    others = [name for own in here if (name := twin(own))]
    if close := proposal(key, [*here, *others]):
        return f"unknown key{close}"
    own = own_unit(key)
    homes = [table for table, name in elsewhere if name in (key, own[0] if own else key)]
    if homes:
        return f"unknown key here; it belongs {homes[0]}"
    return f"unknown key; known here are {', '.join(here)}"


def missing_key(key: str, meaning: str) -> str:
    """The sentence for a key that must stand in its table."""
    return f"is missing: {meaning}" if meaning else f"{key} is missing"
