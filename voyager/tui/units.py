"""Units by choice: what the screens show and read in. Files, plans and sketches keep their own units. Pure."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from voyager.session.sketch.numbers import KM_PER_NM
from voyager.session.value_text import Scale

F_PER_K: Final = 1.8
F_AT_0_C: Final = 32.0
SPEEDS, LENGTHS, TEMPERATURES = ("km/h", "kn"), ("km", "NM"), ("°C", "°F")
DIGITS: Final = 9


@dataclass(frozen=True)
class Units:
    """``speed`` km/h or kn, ``length`` km or NM, ``temperature`` °C or °F; None stays None in every conversion."""

    speed: str = "km/h"
    length: str = "km"
    temperature: str = "°C"

    def speed_of(self, kmh: float | None) -> float | None:
        """A speed [km/h] as it is shown."""
        return _over(kmh, self.speed == "kn")

    def kmh_of(self, shown: float) -> float:
        """Its inverse, to nine digits behind the point."""
        return _times(shown, self.speed == "kn")

    def length_of(self, km: float | None) -> float | None:
        """A length of way [km] as it is shown."""
        return _over(km, self.length == "NM")

    def km_of(self, shown: float) -> float:
        """Its inverse, to nine digits behind the point."""
        return _times(shown, self.length == "NM")

    def temperature_of(self, celsius: float | None) -> float | None:
        """A temperature [°C] as it is shown."""
        return celsius if celsius is None or self.temperature == "°C" else celsius * F_PER_K + F_AT_0_C

    def c_of(self, shown: float) -> float:
        """Its inverse, to nine digits behind the point."""
        return shown if self.temperature == "°C" else round((shown - F_AT_0_C) / F_PER_K, DIGITS)

    def per_length_of(self, per_km: float | None) -> float | None:
        """What is counted by the km, such as Wh/km, by the length that is shown."""
        return per_km if per_km is None or self.length == "km" else per_km * KM_PER_NM

    @property
    def words(self) -> str:
        """``kn, NM, °C``."""
        return f"{self.speed}, {self.length}, {self.temperature}"

    def scale(self, unit: str) -> Scale | None:
        """How a value in km/h, km or °C is shown; None where it stays in its own unit."""
        if unit == "km/h" and self.speed == "kn":
            return Scale(self.speed, lambda kmh: kmh / KM_PER_NM, self.kmh_of)
        if unit == "km" and self.length == "NM":
            return Scale(self.length, lambda km: km / KM_PER_NM, self.km_of)
        if unit == "°C" and self.temperature == "°F":
            return Scale(self.temperature, lambda celsius: celsius * F_PER_K + F_AT_0_C, self.c_of)
        return None

    def table(self) -> dict[str, str]:
        """As the settings keep them."""
        return {"speed": self.speed, "length": self.length, "temperature": self.temperature}


def _over(value: float | None, foreign: bool) -> float | None:
    return value / KM_PER_NM if foreign and value is not None else value


def _times(value: float, foreign: bool) -> float:
    return round(value * KM_PER_NM, DIGITS) if foreign else value


PLAIN: Final = Units()
ALL: Final = tuple(Units(speed, length, warmth) for warmth in TEMPERATURES for speed, length in (
    ("km/h", "km"), ("kn", "NM"), ("kn", "km"), ("km/h", "NM")))  # fmt: skip

NOTES: Final = ("canals and rivers", "at sea", "knots on inland charts", "") * len(TEMPERATURES)


def units_of(table: object) -> Units:
    """The units that a table of the settings names; what it does not name, or names wrongly, stays plain."""
    made = PLAIN
    for key, known in (("speed", SPEEDS), ("length", LENGTHS), ("temperature", TEMPERATURES)):
        value: Any = table.get(key) if isinstance(table, Mapping) else None
        if value in known:
            made = replace(made, **{key: value})
    return made


def after(units: Units) -> Units:
    """The next of all there are, the first after the last."""
    return ALL[(ALL.index(units) + 1) % len(ALL)]
