"""A value a few steps on. Pure and light."""

from datetime import date, timedelta
from typing import Any

from voyager.session.typed import DAY_MIN, clock_text, minutes_of, neat
from voyager.session.value_text import Field, Scale, is_number, limits_text, plain_scale, within


def nudged(field: Field, value: Any, steps: int, scale: Scale | None = None) -> Any:
    """The value so many steps on; from the default where none stands. Ends are kept to.

    Raises ValueError where there is nothing to begin with, or where it stands at its end already.
    """
    kind, start = field["kind"], field["default"] if value is None else value
    if kind in {"choice", "bool"}:
        choices = [False, True] if kind == "bool" else list(field["choices"])
        return choices[(choices.index(start) + steps) % len(choices)] if start in choices else choices[0]
    if start is None:
        raise ValueError("typed first: there is no figure yet to begin with")
    if kind == "date":
        return _later(start, steps)
    if kind == "clock":
        return clock_text(
            max(0, min(DAY_MIN - field["step"], minutes_of(str(start)[:5], DAY_MIN) + steps * field["step"]))
        )
    if kind not in {"number", "integer", "hourly"} or not is_number(start):
        raise ValueError("typed: this is no single figure")
    return _stepped(field, start, steps, scale or plain_scale(field))


def _later(value: Any, days: int) -> Any:
    from_text = isinstance(value, str)
    later = (date.fromisoformat(value) if from_text else value) + timedelta(days=days)
    return later.isoformat() if from_text else later


def _stepped(field: Field, start: float, steps: int, scale: Scale) -> float | int:
    wanted = neat(scale.own(scale.shown(start) + steps * field["step"]))
    least, most = field["least"], field["most"]
    if least is not None and wanted < least and not field["above"]:
        wanted = neat(least)
    if most is not None and wanted > most and not field["below"]:
        wanted = neat(most)
    within(field, wanted, scale)
    if wanted == start:
        raise ValueError(limits_text(field, scale))
    return int(wanted) if field["kind"] == "integer" else wanted
