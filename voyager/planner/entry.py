"""The first day of a plan that begins in its middle: what the cabin is like by then, what the rest of the day asks."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from voyager.boat.cabin import Comfort
from voyager.boat.comfort import comfort_pieces
from voyager.boat.vessel import Vessel
from voyager.energy.loads import Loads, loads
from voyager.energy.weather import HOURS
from voyager.energy.wishes import wishes
from voyager.planner.start import WHOLE, Begin, pieces_between
from voyager.route.calendar import Days

Floats = NDArray[np.float64]
BEFORE = {"hotel_w": 0.0, "heating_w": 0.0, "inverter_loss_w": 0.0, "warm_h": 0.0, "asked_h": 0.0, "low_c": np.inf}


def enter_day(
    vessel: Vessel, comfort: Comfort, days: Days, outside_c: Floats, glass_w_m2: Floats, done: Loads, begin: Begin
) -> tuple[Loads, Floats, Floats | None]:
    """The loads ``done`` of all days at one step (D,S,n,H) with the first day's from ``begin`` on, and the cabin's air
    and structure (S,n) then. ``outside_c``, ``glass_w_m2`` (S,n,H) of the first day.

    The hours before are lived at the same step from a morning like the day's own end.
    """
    lived = begin.lived_h
    if lived is None:
        raise ValueError("a day that is lived from its start on needs no entering")
    pieces = comfort_pieces(comfort, days.local_min[0], int(days.length_h[0]))
    last, count = int(days.length_h[0]) - 1, int(np.ceil(begin.hours - WHOLE))
    before = loads(
        vessel,
        wishes(vessel, pieces_between(pieces, 0.0, begin.hours)),
        local_hour=days.local_hour[0, :count],
        outside_c=outside_c[..., :count],
        glass_w_m2=glass_w_m2[..., :count],
        air_c=done.air_c[0, ..., last],
        structure_c=None if done.structure_c is None else done.structure_c[0],
    )
    air, structure, step = before.air_c[..., -1], before.structure_c, begin.step
    rest = loads(
        vessel,
        wishes(vessel, pieces_between(pieces, begin.hours, float(HOURS))),
        local_hour=days.local_hour[0, step:],
        outside_c=outside_c[..., step:],
        glass_w_m2=glass_w_m2[..., step:],
        air_c=air,
        structure_c=structure,
        first=step,
        lived_h=lived[step:],
    )
    return _with_first(done, rest, air, step), air, structure


def _with_first(done: Loads, rest: Loads, air_c: Floats, step: int) -> Loads:
    """All days, the first of them from ``step`` on as in ``rest``; before it nothing flows."""
    changed: dict[str, Floats] = {}
    for name in ("air_c", *BEFORE):
        values = getattr(done, name).copy()
        values[0, ..., :step] = air_c[..., None] if name == "air_c" else BEFORE[name]
        values[0, ..., step:] = getattr(rest, name)
        changed[name] = values
    if done.structure_c is not None and rest.structure_c is not None:
        changed["structure_c"] = np.concatenate([rest.structure_c[None], done.structure_c[1:]])
    return replace(done, **changed)
