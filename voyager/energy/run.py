"""The simulator: part of a day, hour by hour, for many members at once."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import blocked, cell_step_c, floor_kwh
from voyager.boat.vessel import Vessel
from voyager.energy.ledger import Ledger
from voyager.energy.loads import Loads, hotel_unserved_w, loads
from voyager.energy.step import Flows, charges_before, hour
from voyager.energy.wishes import Wish

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
    propulsion at the battery and most of the charger (0 unplugged), (H,) or (member, H); (H,) civil hour."""

    solar_w: Floats
    outside_c: Floats
    glass_w_m2: Floats
    propulsion_w: Floats
    charger_w: Floats
    local_hour: NDArray[np.int64]


def run(
    vessel: Vessel,
    track: Track,
    wishes: list[Wish],
    first: int,
    last: int,
    state: State,
    lived_h: Floats | None = None,
    again: Callable[[tuple[Floats, ...], Callable[[], Loads]], Loads] = lambda given, make: make(),
) -> tuple[Ledger, State]:
    """Steps ``first`` to ``last`` (exclusive) of a day; ``wishes`` of the whole day, one step's or each member's own.

    ``lived_h`` (H,): how much of each step of the day is lived where the day is entered in its middle, > 0 from
    ``first`` on; powers of the track are means over that part, the cells' lag goes on by whole steps.

    ``again`` gives the loads of the same hours and wishes, once made of the same air, pane and cabin, another time.

    Loads and cells do not depend on the charge; what it is before each hour is found first, then all hours of all
    members are added up in the one place where energy is.
    """
    hours = slice(first, last)
    lived = None if lived_h is None else lived_h[hours]
    length: Floats | float = 1.0 if lived is None else lived
    outside, pane = track.outside_c[:, hours], track.glass_w_m2[:, hours]
    air, structure = state.air_c, state.structure_c

    def made() -> Loads:
        asked = [w for w in wishes if first <= w.hour < last]
        return loads(
            vessel, asked, local_hour=track.local_hour[hours], outside_c=outside, glass_w_m2=pane, air_c=air,
            structure_c=structure, first=first, lived_h=lived,
        )  # fmt: skip

    part = again((outside, pane, air) if structure is None else (outside, pane, air, structure), made)
    cells = _cells(state.cell_c, track.outside_c[:, hours])
    flows = _flows(vessel, track, part, cells[:, :-1], hours)
    before = charges_before(vessel.battery, state.charge_kwh, flows, length)
    done = hour(vessel.battery, vessel.shore, before, flows, length)
    ledger = Ledger(
        done.charge_kwh,
        done.solar_kwh,
        done.shore_kwh,
        done.propulsion_kwh,
        done.hotel_kwh,
        done.heating_kwh,
        done.loss_kwh,
        done.spilled_kwh,
        done.unserved_kwh + hotel_unserved_w(vessel, track.local_hour[hours]) * length / 1e3,
        part.air_c,
        part.warm_h,
        part.asked_h,
        part.low_c,
        np.asarray(floor_kwh(vessel.battery, cells[:, :-1])),
    )
    return ledger, State(done.charge_kwh[:, -1], part.air_c[:, -1], part.structure_c, cells[:, -1])


def _cells(cell_c: Floats, outside_c: Floats) -> Floats:
    """Lagged outside air at the start of every step and after the last, (member, hours + 1)."""
    out = np.empty((len(outside_c), outside_c.shape[1] + 1))
    out[:, 0] = cell_c
    for h in range(outside_c.shape[1]):
        out[:, h + 1] = cell_step_c(out[:, h], outside_c[:, h], 1.0)
    return out


def _flows(vessel: Vessel, track: Track, part: Loads, cell_c: Floats, hours: slice) -> Flows:
    cold = np.asarray(blocked(vessel.battery, cell_c))
    heater_w = cell_heater_w(vessel, cold)
    return Flows(
        track.solar_w[:, hours],
        np.broadcast_to(track.propulsion_w[..., hours], cold.shape),
        part.hotel_w + heater_w,
        part.heating_w,
        part.inverter_loss_w,
        np.broadcast_to(track.charger_w[..., hours], cold.shape),
        cold & (heater_w <= 0),
    )


def cell_heater_w(vessel: Vessel, cold: NDArray[np.bool_]) -> Floats:
    """The battery's own heater: on where the cells are too cold to charge, and then they can be charged."""
    return np.where(cold, vessel.battery.heater_w, 0.0)
