"""Keys that may end in either of two units: km or nm, km/h or knots, metres or feet."""

from collections.abc import Iterable, Mapping
from typing import Final

KM_PER_NM: Final = 1.852
M_PER_FT: Final = 0.3048
MPS_PER_KMH: Final = 1 / 3.6
OTHER_UNIT: Final[Mapping[str, tuple[str, float]]] = {
    "_nm": ("_km", KM_PER_NM),
    "_kn": ("_kmh", KM_PER_NM),
    "_ft": ("_m", M_PER_FT),
}
TWIN: Final = {own: other for other, (own, _) in OTHER_UNIT.items()}
_OWN = (
    "w_per_mps3 w_per_k wh_per_k m3_per_h percent_per_k per_kwh kwh_m2 kmh kwh percent wp km kg kw deg min m2 m w c k v"
)
_FOREIGN = (
    "mi mile miles mph mps ms knots knot kts kt kph nmi ft feet in inch inches yd cm mm wh mwh ah kwp hp kva va "
    "watts watt f h hour hours s sec minutes metres meters metre km_h kn nm lb lbs t g degrees degree rad pct "
    "fraction share ratio mv kv volts mw w_k"
)
UNITS: Final = tuple(_OWN.split())
FOREIGN_UNITS: Final = tuple(_FOREIGN.split())


def own_unit(key: str) -> tuple[str, float] | None:
    """``("distance_km", 1.852)`` for ``distance_nm``: the file's own key and the factor to it; None if neither."""
    for other, (own, factor) in OTHER_UNIT.items():
        if key.endswith(other):
            return key.removesuffix(other) + own, factor
    return None


def twin(key: str) -> str | None:
    """``distance_nm`` for ``distance_km``, None where only one unit is usual."""
    for own in sorted(TWIN, key=len, reverse=True):
        if key.endswith(own):
            return key.removesuffix(own) + TWIN[own]
    return None


def converted(value: object, factor: float) -> object:
    """A number, or the numbers of a list, times ``factor``; what is no number stays as it is."""
    if isinstance(value, list):
        return [converted(item, factor) for item in value]
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    try:
        return float(value) * factor
    except OverflowError:
        return value


def stem(key: str, units: Iterable[str] = UNITS) -> tuple[str, str]:
    """``("distance", "km")`` for ``distance_km``; the unit is empty where none is known."""
    for unit in sorted(units, key=len, reverse=True):
        if key.endswith("_" + unit):
            return key.removesuffix("_" + unit), unit
    return key, ""


def meant_unit(key: str, known: Iterable[str]) -> str | None:
    """`unit must be km or nm (distance_km, distance_nm)` where only the unit of an unknown key is wrong."""
    base, unit = stem(key, (*UNITS, *FOREIGN_UNITS))
    own = tuple(known)
    meant = [name for name in own if stem(name)[0] == base and stem(name)[1]]
    counted = f"{key}s" in own
    if not meant or counted or not (unit or key == base):
        return None
    names = [name for one in meant for name in (one, twin(one)) if name]
    suffixes = [stem(name, (*UNITS, *FOREIGN_UNITS))[1] for name in names]
    return f"unit must be {' or '.join(suffixes)} ({', '.join(names)})"
