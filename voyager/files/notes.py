"""What is right but worth a word: keys that nothing uses yet, places on no leg, loads without a supply."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from voyager.files.boat_model import BoatFile, ComfortTable
from voyager.files.clock import DAY_MIN, clock_text, window
from voyager.files.voyage_model import VoyageFile

NOON_MIN = DAY_MIN // 2
NOT_YET = "is read and checked, but not used yet"


def voyage_notes(voyage: VoyageFile, given: frozenset[str]) -> Iterator[str]:
    """Notes on a sound voyage file; ``given`` are the keys that stand in it, rows without their number."""
    if "place.shore_price_per_kwh" in given:
        yield f"shore_price_per_kwh {NOT_YET}"
    used = {name for leg in voyage.leg for name in (leg.start, leg.end)}
    if idle := [place.name for place in voyage.place if place.name not in used]:
        yield f"on no leg: {', '.join(idle)}"
    if voyage.travel and voyage.travel[0] < voyage.day_starts:
        yield f"travel begins at {clock_text(voyage.travel[0])}, but each day starts at {clock_text(voyage.day_starts)}"
    if not voyage.travel and voyage.day_starts > NOON_MIN:
        late = clock_text(voyage.day_starts)
        yield f"each day starts at {late} and travel ends before sunset: no daylight before {late} is used"
    if early := [row.date for row in voyage.forecast if row.date < voyage.departs]:
        yield f"forecast for {early[0]} lies before the departure, {voyage.departs}, and is not used"
    if 0 < voyage.charge_at_start_percent <= 1:
        yield f"charge_at_start_percent = {voyage.charge_at_start_percent:g} is nearly flat; percent run from 0 to 100"


def boat_notes(boat: BoatFile) -> Iterator[str]:
    """Notes on a sound boat file."""
    for key in ("mass_kg", "price"):
        if any(getattr(array, key) is not None for array in boat.array):
            yield f"{key} {NOT_YET}"
    if boat.inverter.max_w is None:
        if any(boat.hotel.alternating_w):
            yield "no inverter aboard (max_w): alternating_w of [hotel] has no supply away from a plug"
        for heater in boat.heater:
            if heater.supply == "alternating":
                yield f'no inverter aboard (max_w): heater "{heater.name}" has no supply away from a plug'
    if boat.comfort and not boat.heater:
        yield "no heater aboard: the comfort steps cannot be kept in the cold"
    yield from _ladder_notes(boat.comfort)


def _ladder_notes(ladder: Mapping[str, ComfortTable]) -> Iterator[str]:
    """The file's order is the ladder: a warmer step below a cooler one is probably a mistake."""
    for (above, upper), (below, lower) in pairwise(ladder.items()):
        if _mean_c(lower) > _mean_c(upper) + 1e-9:
            yield f"comfort step {below} is warmer than {above} above it; the ladder runs from warm to cool"


def _mean_c(step: ComfortTable) -> float:
    """Mean setpoint of a day."""
    pieces = [(shuts - opens, value) for text, value in step.hours_c.items() for opens, shuts in window(text)]
    return step.otherwise_c + sum(length * (value - step.otherwise_c) for length, value in pieces) / DAY_MIN
