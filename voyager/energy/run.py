"""The simulator: part of a day, hour by hour, for many members at once."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import blocked, cell_step_c, floor_kwh
from voyager.boat.cabin import Comfort, Piece
from voyager.boat.vessel import Vessel
from voyager.energy.ledger import Ledger
from voyager.energy.loads import Loads, hotel_unserved_w, loads
from voyager.energy.step import Flows, Hour, hour

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class State:
    """Where every member stands (member,): charge, cabin air and structure (None: no second node), lagged cell air."""

    charge_kwh: Floats
    air_c: Floats
    structure_c: Floats | None
    cell_c: Floats


@dataclass(frozen=True)
class Track:
    """A day of every member by hour step: (member, H) sun on the panels, air and pane where the boat is, W and degC;
    (H,) propulsion at the battery, most of the charger (0 unplugged), civil hour."""

    solar_w: Floats
    outside_c: Floats
    glass_w_m2: Floats
    propulsion_w: Floats
    charger_w: Floats
    local_hour: NDArray[np.int64]


def run(
    vessel: Vessel, track: Track, comfort: Comfort, pieces: list[Piece], first: int, last: int, state: State
) -> tuple[Ledger, State]:
    """Steps ``first`` to ``last`` (exclusive) of a day at one comfort step; ``pieces`` of the whole day at it."""
    part = loads(
        vessel,
        comfort,
        [p for p in pieces if first <= p.hour < last],
        local_hour=track.local_hour,
        outside_c=track.outside_c,
        glass_w_m2=track.glass_w_m2,
        air_c=state.air_c,
        structure_c=state.structure_c,
    )
    charge, cell, rows, floors = state.charge_kwh, state.cell_c, [], []
    for h in range(first, last):
        done = hour(vessel.battery, vessel.shore, charge, _flows(vessel, track, part, cell, h))
        charge, floor = done.charge_kwh, np.asarray(floor_kwh(vessel.battery, cell))
        rows.append(done)
        floors.append(floor)
        cell = cell_step_c(cell, track.outside_c[:, h], 1.0)
    hours = slice(first, last)
    energies = {f.name: np.stack([getattr(row, f.name) for row in rows], axis=1) for f in fields(Hour)}
    energies["unserved_kwh"] += hotel_unserved_w(vessel, track.local_hour[hours]) / 1e3
    ledger = Ledger(
        **energies,
        air_c=part.air_c[:, hours],
        warm_h=part.warm_h[:, hours],
        asked_h=part.asked_h[:, hours],
        low_c=part.low_c[:, hours],
        floor_kwh=np.stack(floors, axis=1),
    )
    return ledger, State(charge, part.air_c[:, last - 1], part.structure_c, cell)


def _flows(vessel: Vessel, track: Track, part: Loads, cell_c: Floats, h: int) -> Flows:
    cold = np.asarray(blocked(vessel.battery, cell_c))
    heater_w = cell_heater_w(vessel, cold)
    return Flows(
        track.solar_w[:, h],
        np.broadcast_to(track.propulsion_w[h], cold.shape),
        part.hotel_w[:, h] + heater_w,
        part.heating_w[:, h],
        part.inverter_loss_w[:, h],
        np.broadcast_to(track.charger_w[h], cold.shape),
        cold & (heater_w <= 0),
    )


def cell_heater_w(vessel: Vessel, cold: NDArray[np.bool_]) -> Floats:
    """The battery's own heater: on where the cells are too cold to charge, and then they can be charged."""
    return np.where(cold, vessel.battery.heater_w, 0.0)
