"""What each leg must fulfil beyond the kind and range of each key, and what the boat must fulfil on it."""

from collections.abc import Iterator, Mapping

from voyager.files.boat_model import HullTable, motor_max_w
from voyager.files.chain_check import LatLon, leg_row, line_km
from voyager.files.clock import clock_text
from voyager.files.faults import Faults
from voyager.files.units import MPS_PER_KMH
from voyager.files.voyage_model import LegTable, VoyageFile

LENGTH_SLACK = 1.01
LEAST_GROUND_KMH = 1.0
SPEED_SLACK = 1.0001

Fault = tuple[str, str]


def check_legs(voyage: VoyageFile, positions: Mapping[str, LatLon], faults: Faults) -> None:
    """Tell ``faults`` what cannot be within each leg."""
    for number, leg in enumerate(voyage.leg):
        length = leg.distance_km if leg.distance_km is not None else line_km(leg, positions)
        for key, text in (*_span_faults(leg), *_length_faults(leg, length), *_speed_faults(leg)):
            faults.add(("leg", number, key), text, row=leg_row(leg))


def _span_faults(leg: LegTable) -> Iterator[Fault]:
    if leg.open_hours and leg.open_hours[0] >= leg.open_hours[1]:
        opens, shuts = map(clock_text, leg.open_hours)
        yield "open_hours", f"opens at {opens} and shuts at {shuts}: the first must be earlier"
    for first, last in leg.closed or []:
        if last < first:
            yield "closed", f"ends on {last}, before it begins on {first}; swap them"
    if leg.earliest and leg.latest and leg.latest < leg.earliest:
        yield "latest", f"{leg.latest} lies before earliest, {leg.earliest}"


def _length_faults(leg: LegTable, length: float | None) -> Iterator[Fault]:
    for key, count_key in (("lock_at_km", "locks"), ("bridge_at_km", "bridges")):
        at_km, count = getattr(leg, key), getattr(leg, count_key)
        if at_km is None:
            continue
        if count is not None and count != len(at_km):
            yield key, f"places {len(at_km)}, but {count_key} = {count}"
        beyond = [at for at in at_km if length is not None and at > length * LENGTH_SLACK]
        if beyond:
            yield key, f"{beyond[0]:.6g} km lies beyond the end of the leg, {length:.6g} km"
    if length is not None and leg.tunnel_km and leg.tunnel_km > length * LENGTH_SLACK:
        yield "tunnel_km", f"{leg.tunnel_km:.6g} km of tunnel on a leg of {length:.6g} km"


def _speed_faults(leg: LegTable) -> Iterator[Fault]:
    if leg.speed_kmh is None or leg.current_kmh is None:
        return
    ground = leg.speed_kmh + leg.current_kmh
    if ground < LEAST_GROUND_KMH:
        yield "speed_kmh", f"only {ground:.3g} km/h over the ground are left against the current"
    if leg.limit_kmh is not None and ground > leg.limit_kmh * SPEED_SLACK:
        yield "speed_kmh", f"makes {ground:.3g} km/h over the ground, above limit_kmh, {leg.limit_kmh:.3g}"


def check_fits(voyage: VoyageFile, hull: HullTable, boat: str, faults: Faults) -> None:
    """Tell ``faults`` where the boat is too deep, high, wide, long or slow for a leg."""
    for number, leg in enumerate(voyage.leg):
        for key, text in (*_size_faults(leg, hull, boat), *_motor_faults(leg, hull, boat)):
            faults.add(("leg", number, key), text, row=leg_row(leg))


def _size_faults(leg: LegTable, hull: HullTable, boat: str) -> Iterator[Fault]:
    pairs = (
        ("depth_m", "deep", "draught", hull.draught_m),
        ("headroom_m", "high", "air draught", hull.air_draught_m),
        ("width_m", "wide", "beam", hull.beam_m),
        ("lock_beam_m", "wide", "beam", hull.beam_m),
        ("lock_length_m", "long", "waterline length", hull.waterline_m),
    )
    for key, adjective, measure, size in pairs:
        room = getattr(leg, key)
        if room is not None and size is not None and size >= room:
            yield key, f"{boat} is too {adjective}: her {measure} is {size:.4g} m, here are {room:.4g} m"


def _motor_faults(leg: LegTable, hull: HullTable, boat: str) -> Iterator[Fault]:
    if leg.speed_kmh is None:
        return
    slowest = hull.steerable_min_kmh
    if slowest is not None and leg.speed_kmh < slowest:
        yield "speed_kmh", f"{boat} does not steer below {slowest:.3g} km/h, here are {leg.speed_kmh:.3g}"
    power, limit = _cube_law_w(hull, leg.speed_kmh), motor_max_w(hull)
    if power > limit * SPEED_SLACK:
        yield "speed_kmh", f"needs {power:.0f} W in calm deep water, her motor has {limit:.0f} W"


def _cube_law_w(hull: HullTable, speed_kmh: float) -> float:
    """Calm-water power by the coefficient, or by the cube law from the fastest trial point on; 0 within the trial."""
    if hull.coefficient_w_per_mps3 is not None:
        return hull.coefficient_w_per_mps3 * (speed_kmh * MPS_PER_KMH) ** 3
    fastest, power = max(hull.trial or [(speed_kmh, 0.0)])
    return power * (speed_kmh / fastest) ** 3 if speed_kmh >= fastest else 0.0
