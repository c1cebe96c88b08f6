"""A fit in the units chosen: its numbers, the figures within its sentences, the axes of its plot. No Textual here."""

import re
from collections.abc import Mapping
from functools import partial
from typing import Any, Final

from voyager.session.value_text import Scale, figure
from voyager.tui.units import PLAIN, Units

Json = Mapping[str, Any]
SPEED, WARMTH = "km/h", "°C"
NUMBER = r"-?\d+(?:\.\d+)?"
WITHIN: Final = {
    unit: re.compile(rf"(?<![\w.])({NUMBER})(?:( (?:to|and|up to) )({NUMBER}))? {unit}(?!\w)")
    for unit in (SPEED, WARMTH)
}
DIGITS: Final = 3


def in_units(result: Json, units: Units) -> Json:
    """The same ``fit`` object in other units; itself where they are those of the files."""
    if units == PLAIN:
        return result
    scales = {unit: scale for unit in (SPEED, WARMTH) if (scale := units.scale(unit)) is not None}
    return {
        **result,
        "model": sentence(result["model"], scales),
        "parameters": [_numbers(one, scales) for one in result["parameters"]],
        "derived": [_numbers(one, scales) for one in result["derived"]],
        "notes": [sentence(one, scales) for one in result["notes"]],
        "left_out": [{**one, "why": sentence(one["why"], scales)} for one in result["left_out"]],
        "plot": _plot(result["plot"], scales),
    }


def _numbers(one: Json, scales: Mapping[str, Scale]) -> Json:
    """Of a parameter or what follows; an error is a difference, without the offset of a scale."""
    named = {**one, "name": sentence(one["name"], scales)}
    scale = scales.get(one["unit"])
    if scale is None:
        return named
    moved = {key: scale.shown(one[key]) for key in ("value", "low", "high") if key in one}
    error = None if one["se"] is None else scale.shown(one["se"]) - scale.shown(0.0)
    return {**named, **moved, "se": error, "unit": scale.unit}


def sentence(text: str, scales: Mapping[str, Scale]) -> str:
    """Figures in km/h and °C within a text in the units chosen."""
    for unit, scale in scales.items():
        text = WITHIN[unit].sub(partial(_figures, scale), text)
    return text


def _figures(scale: Scale, found: "re.Match[str]") -> str:
    first = figure(scale.shown(float(found[1])), DIGITS)
    second = "" if found[3] is None else f"{found[2]}{figure(scale.shown(float(found[3])), DIGITS)}"
    return f"{first}{second} {scale.unit}"


def _plot(plot: Json, scales: Mapping[str, Scale]) -> Json:
    across, up = (_of_label(plot[label], scales) for label in ("x_label", "y_label"))
    series = [
        {**one, "x": _moved(one["x"], across), "y": _moved(one["y"], up), "y2": _moved(one["y2"], up)}
        for one in plot["series"]
    ]
    labels = {key: _renamed(plot[key], scale) for key, scale in (("x_label", across), ("y_label", up))}
    return {**plot, **labels, "series": series}


def _of_label(label: str, scales: Mapping[str, Scale]) -> tuple[str, Scale] | None:
    return next(((unit, scale) for unit, scale in scales.items() if unit in label), None)


def _moved(values: Any, by: tuple[str, Scale] | None) -> Any:
    return values if by is None or values is None else [by[1].shown(one) for one in values]


def _renamed(label: str, by: tuple[str, Scale] | None) -> str:
    return label if by is None else label.replace(by[0], by[1].unit)
