"""What is right but worth a word: keys that nothing uses yet, places on no leg, loads without a supply."""

from collections.abc import Iterator
from itertools import pairwise

from voyager.boat.vessel import Vessel
from voyager.files.boat_model import BoatFile
from voyager.files.clock import clock_text
from voyager.files.voyage_model import VoyageFile

NOT_YET = "is read and checked, but not used yet"


def voyage_notes(voyage: VoyageFile, given: frozenset[str]) -> Iterator[str]:
    """Notes on a sound voyage file; ``given`` are the keys that stand in it, rows without their number."""
    for key in ("weather", "forecast"):
        if key in given:
            yield f"{key} {NOT_YET}; plans follow the built-in climate"
    if "forecast_skill" in given:
        yield f"forecast_skill {NOT_YET}: one sky is planned at a time"
    if "leg.fit_to_go" in given:
        yield "fit_to_go counts as days of waiting in a plan; days of unfit sea are not drawn yet"
    for key in ("leg.wind_max_kmh", "leg.wind_max_kn"):
        if key in given:
            yield f"{key[4:]} {NOT_YET}: it is held against forecasts and weather files"
    if "place.shore_price_per_kwh" in given:
        yield f"shore_price_per_kwh {NOT_YET}"
    used = {name for leg in voyage.leg for name in (leg.start, leg.end)}
    if idle := [place.name for place in voyage.place if place.name not in used]:
        yield f"on no leg: {', '.join(idle)}"
    if voyage.travel and voyage.travel[0] < voyage.day_starts:
        yield f"travel begins at {clock_text(voyage.travel[0])}, but each day starts at {clock_text(voyage.day_starts)}"
    if 0 < voyage.charge_at_start_percent <= 1:
        yield f"charge_at_start_percent = {voyage.charge_at_start_percent:g} is nearly flat; percent run from 0 to 100"


def boat_notes(boat: BoatFile, vessel: Vessel) -> Iterator[str]:
    """Notes on a sound boat file."""
    if boat.standard_error:
        yield f"[standard_error] {NOT_YET}"
    for key in ("mass_kg", "price"):
        if any(getattr(array, key) is not None for array in boat.array):
            yield f"{key} {NOT_YET}"
    if boat.inverter.max_w is None:
        if any(vessel.hotel.alternating_w):
            yield "no inverter aboard (max_w): alternating_w of [hotel] has no supply away from a plug"
        for heater in vessel.heaters:
            if heater.alternating:
                yield f'no inverter aboard (max_w): heater "{heater.name}" has no supply away from a plug'
    if boat.comfort and not boat.heater:
        yield "no heater aboard: the comfort steps cannot be kept in the cold"
    yield from _ladder_notes(vessel)


def _ladder_notes(vessel: Vessel) -> Iterator[str]:
    """The file's order is the ladder: a warmer step below a cooler one is probably a mistake."""
    steps = vessel.comfort[:-1]
    for upper, lower in pairwise(steps):
        warm = [_mean_c(step.hours_c, step.otherwise_c) for step in (upper, lower)]
        if warm[1] > warm[0] + 1e-9:
            yield f"comfort step {lower.name} is warmer than {upper.name} above it; the ladder runs from warm to cool"


def _mean_c(hours_c: tuple[tuple[int, int, float], ...], otherwise_c: float) -> float:
    return otherwise_c + sum((shuts - opens) * (value - otherwise_c) for opens, shuts, value in hours_c) / 1440
