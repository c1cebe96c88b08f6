"""Values of the files as text to be typed over, and what their limits are in words. Pure and light."""

import json
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

Field = Mapping[str, Any]
MOST = 1e300


class Scale(NamedTuple):
    """A unit by choice: its name, a value of the file as shown, what is shown as a value of the file."""

    unit: str
    shown: Callable[[float], float]
    own: Callable[[float], float]


def same(value: float) -> float:
    return value


def plain_scale(field: Field) -> Scale:
    """The unit in which the file has it."""
    return Scale(field["unit"], same, same)


def figure(value: float, digits: int = 10) -> str:
    """A number as a person writes it."""
    return f"{float(f'{value:.{digits}g}'):.10g}"


def text_of(field: Field, value: Any, scale: Scale | None = None) -> str:
    """A value as it may be typed; empty for none, TOML for lists and tables, ``repr`` of what is of no known kind."""
    kind = field["kind"]
    if value is None:
        return ""
    if kind in {"number", "integer", "hourly"} and is_number(value):
        shown = (scale or plain_scale(field)).shown(value)
        return figure(value) if shown == value else figure(shown, 5)
    if kind == "window" and isinstance(value, list) and len(value) == 2:
        return "-".join(str(end)[:5] for end in value)
    if kind == "clock":
        return str(value)[:5]
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple | Mapping):
        return toml_of(value)
    return value.isoformat() if hasattr(value, "isoformat") else str(value)


def toml_of(value: Any) -> str:
    """Numbers, texts, lists and tables in one line of TOML, the braces of a table left out."""
    if isinstance(value, Mapping):
        return ", ".join(f"{json.dumps(str(key), ensure_ascii=False)} = {toml_of(one)}" for key, one in value.items())
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml_of, value))}]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return figure(value) if is_number(value) else str(value)


def limits_text(field: Field, scale: Scale | None = None) -> str:
    """``0 to 100 %``, ``above 0, up to 50 m``; empty where there are none."""
    if field["least"] is None and field["most"] is None:
        return ""
    used = scale or plain_scale(field)
    least, most = (None if end is None else figure(used.shown(end), 4) for end in (field["least"], field["most"]))
    unit = f" {used.unit}" if used.unit else ""
    if most is None:
        return f"{'above ' if field['above'] else ''}{least}{unit}{'' if field['above'] else ' or more'}"
    ending = f"to below {most}" if field["below"] else f"up to {most}" if field["above"] else f"to {most}"
    return f"above {least}, {ending}{unit}" if field["above"] else f"{least} {ending}{unit}"


def within(field: Field, value: float | int, scale: Scale | None = None) -> float | int:
    """The value if the field's limits hold it. Raises ValueError."""
    least, most = field["least"], field["most"]
    low = least is not None and (value <= least if field["above"] else value < least)
    high = most is not None and (value >= most if field["below"] else value > most)
    if low or high:
        raise ValueError(limits_text(field, scale))
    return value


def is_number(value: Any) -> bool:
    """Whether it is a finite number; one beyond any measure is none."""
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < MOST
