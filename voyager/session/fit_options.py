"""What a fit may be told beside its measurements: one table for the command line, the screens and the check."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from voyager.errors import InputError


@dataclass(frozen=True)
class Option:
    """``takes``: number, whole, text, yes, BOAT or VOYAGE (files), or the words it is one of by ``|``."""

    name: str
    takes: str
    text: str

    @property
    def word(self) -> str:
        """As it is typed."""
        return "--" + self.name.replace("_", "-")


WHAT: Final[Mapping[str, str]] = {
    "heat": "a heater test: heat-loss coefficient, thermal capacity, warming-up time of the cabin",
    "trial": "speed runs both ways: hull coefficient, and how far the cube law holds",
    "panels": "a log of panel energy: losses, and shade by part of the day",
    "model": "a towed or powered model: resistance and power of the full-size boat",
    "roll": "a roll test: metacentric height of the boat, or of the boat from its model",
}
"""The kinds of fit."""

_BOAT = Option("boat", "BOAT", "boat file, for what is not said here (default: that of --into)")
_SEED = Option("seed", "whole", "another seed for the resampling that gives the errors (default 1)")
_WATERLINE = Option("waterline_m", "number", "length at the waterline (default: the boat file's)")
_BEAM = Option("beam_m", "number", "beam (default: the boat file's)")
_DRAUGHT = Option("draught_m", "number", "draught (default: the boat file's)")
_AIR_DRAG = Option("air_drag_area_m2", "number", "drag coefficient times frontal area (default: the boat file's, or 0)")
_EFFICIENCY = Option(
    "propulsive_efficiency", "number", "battery to thrust of the full-size boat (default: the boat file's, or 0.5)"
)
OPTIONS: Final[Mapping[str, tuple[Option, ...]]] = {
    "heat": (
        _BOAT,
        Option("person_w", "number", "heat of one person (default: the boat file's, or 80)"),
        Option("outside_c", "number", "outside temperature for the steady heating (default: the log's mean)"),
        Option("heater_max_w", "number", "heater for the warming-up time (default: the greatest in the log)"),
    ),
    "trial": (
        _BOAT,
        _WATERLINE,
        _DRAUGHT,
        _BEAM,
        Option("midship_area_m2", "number", "immersed midship section (default: the boat file's)"),
        _AIR_DRAG,
        _EFFICIENCY,
        _SEED,
    ),
    "panels": (
        _BOAT,
        Option("voyage", "VOYAGE", "voyage file that says boat and place"),
        Option("place", "text", "a place of the voyage (default: the first)"),
        Option("at", "text", "position instead: LAT,LON in degrees, south and west negative"),
        Option("height_m", "number", "height above the sea (default: the place's, or 0)"),
        Option("heading_deg", "number", "the bow's, from north, where the log has none (default: the place's)"),
        Option("array", "text", "the array measured, where the log names none (default: all together)"),
        Option("underway", "yes", "rows are of panels as under way, where the log says nothing (default: moored)"),
        Option("time_zone", "text", "of the log's dates (default: the voyage's, or that of the position)"),
        Option("sun_error_percent", "number", "standard error of ghi_kwh_m2 that all rows share (default 2)"),
        Option("stamp", "start|end", "whether a time is the start or the end of its span (default start)"),
        _SEED,
    ),
    "model": (
        _BOAT,
        Option("model_length_m", "number", "the model's waterline length (default: the boat file's over --scale)"),
        Option("wetted_m2", "number", "the model's wetted surface"),
        Option("scale", "number", "full-size length over the model's"),
        Option("displacement_kg", "number", "of the model"),
        Option("payload_kg", "number", "of the model"),
        Option("midship_m2", "number", "the model's immersed midship section"),
        Option("water", "fresh|salt", "water of the test (default fresh)"),
        Option("water_c", "number", "its temperature (default 15)"),
        Option("ship_water", "fresh|salt", "water of the full-size boat (default fresh)"),
        Option("ship_water_c", "number", "its temperature (default 15)"),
        _EFFICIENCY,
        Option("model_efficiency", "number", "battery to thrust of a powered model"),
        Option("correlation", "number", "correlation allowance"),
        _AIR_DRAG,
        Option("cruise_from_kmh", "number", "the hull coefficient is for full-size speeds from here"),
        Option("cruise_to_kmh", "number", "to here (default: the runs up to Froude 0.35)"),
        Option("tank_width_m", "number", "width of the water of the test, where it is narrow"),
        Option("tank_depth_m", "number", "its depth, where it is shallow"),
        Option("tripped", "yes", "the flow was made turbulent near the bow"),
        Option("model", "text", "whose values go on (default: the one that needs least)"),
        Option("compare_by", "displacement|payload", "what is alike where models are compared"),
        Option("compare_kg", "number", "how much of it, of the full-size boat"),
    ),
    "roll": (
        _BOAT,
        _BEAM,
        _DRAUGHT,
        _WATERLINE,
        Option("scale", "number", "full-size length over the model's, where a model was rolled"),
        Option("displacement_kg", "number", "of the full-size boat: adds the righting moment"),
    ),
}


def columns(kind: str) -> str:
    """The columns of a kind's CSV, in words."""
    from voyager.files.measured_kinds import column_words

    needed, others = column_words(kind)
    return f"{', '.join(needed)}. May be missing: {', '.join(others)}."


def checked(kind: str, options: Mapping[str, object]) -> dict[str, object]:
    """The options that say something, each of its kind. Raises InputError, one sentence."""
    if kind not in OPTIONS:
        raise InputError(f"there is no fit {kind}{_near(kind, list(OPTIONS))}")
    known = {option.name: option for option in OPTIONS[kind]}
    found: dict[str, object] = {}
    for name, value in options.items():
        if value is None or value == "" or value is False:
            continue
        if name not in known:
            raise InputError(_unknown(kind, name))
        found[name] = _value(known[name], value)
    return found


def _unknown(kind: str, name: str) -> str:
    word = "--" + name.replace("_", "-")
    others = [one for one, options in OPTIONS.items() if name in {option.name for option in options}]
    if others:
        return f"{word} belongs to fit {' and '.join(others)}, not to fit {kind}"
    return f"fit {kind} has no option {word}{_near(word, [option.word for option in OPTIONS[kind]])}"


def _near(word: str, known: list[str]) -> str:
    close = get_close_matches(word, known, 1)
    return f"; did you mean {close[0]}?" if close else f"; there are {', '.join(known)}"


def _value(option: Option, value: object) -> object:
    if option.takes in ("number", "whole"):
        return _number(option, value)
    if option.takes == "yes":
        if isinstance(value, bool):
            return value
        raise InputError(f"{option.word} {value}: it is either given or left out")
    words = option.takes.split("|")
    if len(words) > 1 and value not in words:
        raise InputError(f"{option.word} {value}: it is {' or '.join(words)}")
    return str(value)


def _number(option: Option, value: object) -> float | int:
    try:
        number = float(str(value))
    except ValueError:
        number = float("nan")
    if isinstance(value, bool) or not abs(number) < 1e12:
        raise InputError(f"{option.word} {value}: a number is wanted")
    if option.takes == "whole":
        if number != int(number) or number < 0:
            raise InputError(f"{option.word} {value}: a whole number from 0 up is wanted")
        return int(number)
    return number
