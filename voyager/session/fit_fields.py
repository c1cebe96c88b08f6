"""The options of each fit that the screens offer, as fields of a form: label, unit, limits, step. Plain and light."""

from collections.abc import Mapping, Sequence
from typing import Any, Final, NamedTuple

from voyager.session.fit_options import OPTIONS, Option

Field = dict[str, Any]


class Face(NamedTuple):
    """How an option is shown. Ends are slips' guards, the fit itself refuses more; ``otherwise``: what holds else."""

    label: str
    unit: str = ""
    least: float | None = None
    most: float | None = None
    step: float = 1.0
    above: bool = False
    otherwise: str = "-"


BOATS: Final = "the boat's"
FACES: Final[Mapping[str, Face]] = {
    "outside_c": Face("Outside, for steady heat", "°C", -60, 50, otherwise="the log's mean"),
    "heater_max_w": Face("Heater for warming up", "W", 0, 50_000, 100, True, "the log's most"),
    "person_w": Face("Heat of one person", "W", 0, 500, 5, True, BOATS),
    "waterline_m": Face("Waterline", "m", 0, 100, 0.1, True, BOATS),
    "beam_m": Face("Beam", "m", 0, 50, 0.05, True, BOATS),
    "draught_m": Face("Draught", "m", 0, 20, 0.05, True, BOATS),
    "midship_area_m2": Face("Midship section", "m²", 0, 500, 0.05, True, BOATS),
    "air_drag_area_m2": Face("Air drag area", "m²", 0, 500, 0.1, otherwise=BOATS),
    "propulsive_efficiency": Face("Battery to thrust", "", 0, 1, 0.01, True, BOATS),
    "place": Face("Place", otherwise="the first of the voyage"),
    "at": Face("Position instead", otherwise="that of the place"),
    "heading_deg": Face("Bow's heading", "°", 0, 360, 5, otherwise="the log's, or the place's"),
    "array": Face("Array measured", otherwise="the log's, or all"),
    "underway": Face("Under way", otherwise="moored"),
    "stamp": Face("A row's time is its", otherwise="start"),
    "sun_error_percent": Face("Error of the sun", "%", 0, 50, 0.5, otherwise="2"),
    "model_length_m": Face("Model's waterline", "m", 0, 20, 0.01, True, "needed"),
    "wetted_m2": Face("Model's wetted surface", "m²", 0, 50, 0.01, True, "needed"),
    "scale": Face("Boat over model", "", 1, 200, 0.5, otherwise="needed"),
    "displacement_kg": Face("Displacement", "kg", 0, 1e6, 0.1, True),
    "water": Face("Water of the test", otherwise="fresh"),
    "water_c": Face("Its temperature", "°C", -2, 40, otherwise="15"),
    "ship_water": Face("Water of the boat", otherwise="fresh"),
    "ship_water_c": Face("Its temperature", "°C", -2, 40, otherwise="15"),
    "model_efficiency": Face("Model, battery to thrust", "", 0, 1, 0.01, True),
    "cruise_from_kmh": Face("Coefficient from", "km/h", 0, 100, 0.5, True, "the slowest run"),
    "cruise_to_kmh": Face("Coefficient up to", "km/h", 0, 100, 0.5, True, "Froude 0.35"),
}
OFFERED: Final[Mapping[str, tuple[str, ...]]] = {
    "heat": ("outside_c", "heater_max_w", "person_w"),
    "trial": ("waterline_m", "draught_m", "beam_m", "midship_area_m2", "air_drag_area_m2"),
    "panels": ("place", "at", "array", "heading_deg", "underway", "stamp", "sun_error_percent"),
    "model": (
        "model_length_m", "wetted_m2", "scale", "displacement_kg", "water", "water_c", "ship_water", "ship_water_c",
        "propulsive_efficiency", "model_efficiency", "cruise_from_kmh", "cruise_to_kmh",
    ),
    "roll": ("beam_m", "draught_m", "waterline_m", "scale", "displacement_kg"),
}  # fmt: skip
"""Those asked for most; the command line has them all."""
OTHERWISE: Final = {("roll", "scale"): "the boat was rolled", ("roll", "displacement_kg"): "none: no righting moment"}


def columns(kind: str) -> str:
    """The columns of a kind's file: ``time, energy_kwh or power_w; if there: array, heading_deg``."""
    from voyager.files.measured_kinds import LAYOUTS

    layout = LAYOUTS[kind]
    needed, others = (
        ", ".join(" or ".join(column.name for column in group) for group in groups)
        for groups in (layout.needed, layout.others)
    )
    return f"{needed}; if there: {others}" if others else needed


def fields(kind: str, choices: Mapping[str, Sequence[str]] | None = None) -> list[Field]:
    """The fields of a kind in the shape of ``session/fields``; ``choices`` of an option beyond its own words."""
    known = {option.name: option for option in OPTIONS[kind]}
    return [_field(kind, known[name], (choices or {}).get(name, ())) for name in OFFERED[kind]]


def _field(kind: str, option: Option, choices: Sequence[str]) -> Field:
    face = FACES[option.name]
    words = option.takes.split("|") if "|" in option.takes else list(choices)
    takes = {"yes": "bool", "text": "choice" if words else "text"}.get(option.takes, "choice" if words else "number")
    return {
        "file": "fit", "table": kind, "rows": "", "key": option.name, "kind": takes, "label": face.label,
        "unit": face.unit, "least": face.least, "most": face.most, "above": face.above, "below": False,
        "step": face.step, "choices": words, "columns": [], "rows_least": 1, "needed": False, "twin": None,
        "default": None, "help": option.text, "group": kind, "caution": "",
        "otherwise": OTHERWISE.get((kind, option.name), face.otherwise),
    }  # fmt: skip
