"""The night after a day of a schedule: where and how long the boat lies, charge in the evening, what is heated."""

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Heater
from voyager.energy.heaters import shared_out
from voyager.energy.loads import heater_limits, hotel
from voyager.planner.actions import Built
from voyager.planner.berth import Stay
from voyager.planner.dayrun import Day
from voyager.planner.frame import Frame, pieces_of

Floats = NDArray[np.float64]


def is_moored(frame: Frame, day: Day) -> bool:
    """Whether a day ends made fast, and its night is still one of the frame's."""
    fast = day.sea is None or day.sea.made_fast_h is not None
    return fast and day.day + 1 < len(frame.days.dates)


def stay_of(frame: Frame, built: Built, day: Day, after: Day | None) -> Stay:
    """From making fast (a boat that lay all day: from the evening) to casting off, or to the next evening."""
    mooring = int(built.stops.mooring[day.end])
    begins = float(day.evening)
    if day.sea is not None and day.sea.made_fast_h is not None:
        begins = day.sea.made_fast_h
    elif day.sail is not None and day.sail.trips is not None:
        begins = float(day.sail.trips.arrive_h[0])
    ends = float(frame.windows.evening[day.day + 1, frame.mooring_station[mooring]])
    if after is not None and after.sea is not None and after.sea.casts_off_h is not None:
        ends = after.sea.casts_off_h
    elif after is not None and after.sail is not None and after.sail.trips is not None:
        ends = float(after.sail.trips.depart_h[0])
    return Stay(day.day, mooring, begins, ends)


def evening_kwh(day: Day) -> float:
    """Charge as the evening begins."""
    return float(day.ledger.charge_kwh[0, day.evening - 1]) if day.evening else day.charge_start_kwh


def asked_hours(frame: Frame, day: Day) -> list[tuple[float, float, float]]:
    """From, to (hours from the day's start) and setpoint [°C] of the hours asked for from the evening on."""
    pieces = [p for p in pieces_of(frame, day.day, day.night_step) if p.hour >= day.evening and p.asked]
    found: list[tuple[float, float, float]] = []
    for piece in pieces:
        first = piece.hour + piece.start_h
        last = first + piece.hours
        if found and abs(found[-1][1] - first) < 1e-6 and found[-1][2] == piece.setpoint_c:
            first = found.pop()[0]
        found.append((first, last, piece.setpoint_c))
    return found


def heaters_kwh(frame: Frame, day: Day) -> list[tuple[Heater, float]]:
    """What each heater draws from the evening on [kWh], thriftiest first, as the simulator takes them."""
    hours = slice(day.evening, day.ledger.heating_kwh.shape[1])
    local = frame.days.local_hour[day.day][hours]
    lived = frame.lived_h(day.day)
    covered = np.ones(len(local)) if lived is None else lived[hours]
    watts = day.ledger.heating_kwh[0, hours] * 1e3 / np.maximum(covered, 1e-9)
    limits = heater_limits(frame.vessel, hotel(frame.vessel, local)[1])
    shares = shared_out(watts, [limit for _, limit in limits], [1.0] * len(limits))
    return [(heater, float((share * covered).sum()) / 1e3) for (heater, _), share in zip(limits, shares, strict=True)]
