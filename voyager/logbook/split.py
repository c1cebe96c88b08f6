"""The difference between what a day did to the battery and what was planned, split into what made it.

Every part is in kWh of charge, + where more charge was left than planned, and the five add up to the difference. The
planned change of the charge, hour by hour, is that of a net power at the battery's terminals (the battery's losses
follow from its efficiencies, both ways). That power is put from what was planned to what was done in five strides, and
each part is what its own stride does to the charge, losses in and out of the battery with it:

- habit: the modelled propulsion of the kilometres and time really made in place of the planned one; the heating that
  other setpoints ask for in the planned air; the sun planned for where the boat really lay; shore energy taken
  otherwise than planned.
- sky: the sun that was taken (what was offered less what was spilled) in place of that; the modelled heating in the
  real air outside in place of the planned air, at the same setpoints.
- hull: measured propulsion in place of the model's for the kilometres and time really made.
- cabin: measured heating in place of the model's in the real air.
- hotel: measured hotel load in place of the planned one, and all that is then left.

What was not measured keeps what the model expects. What then is left of the difference is shared among the parts of
the flows without a measurement (sun to sky, propulsion to hull, heating to cabin, hotel to hotel) in proportion to what
the model expects of them; where all was measured, or nothing is expected, it is hotel's. Shore energy without a reading
is taken to be as planned where the boat can have been at a plug, else none; the way of a log that names no place is
taken to be the planned one. Setpoints are known from readings of the air inside only: a cabin that its heater cannot
warm looks as if it was kept colder.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from voyager.boat.battery import Battery, change_kwh
from voyager.boat.vessel import Vessel
from voyager.logbook.doing import battery_side
from voyager.logbook.readings import COLUMNS, Flows, covered, measured, shares, within
from voyager.logbook.timeline import Timeline, net_w

Floats = NDArray[np.float64]
PARTS = ("sky", "hull", "cabin", "hotel", "habit")
SHARED = {"solar": "sky", "propulsion": "hull", "heating": "cabin", "hotel": "hotel"}
NEARLY = 0.05
"""So little of what is expected may lack a measurement where a flow is still called measured."""


@dataclass(frozen=True)
class Done:
    """The model's kWh by hour (T,) for what was really done: ``sun`` in the planned sky; ``shore`` at the socket;
    ``heating`` at the setpoints kept in the planned air, ``heating_real`` in the real one; ``loose`` propulsion of
    passages that are not timed."""

    sun: Floats
    shore: Floats
    propulsion: Floats
    loose: Floats
    heating: Floats
    heating_real: Floats


@dataclass(frozen=True)
class Part:
    """One flow in a stretch of time: measured kWh (None: not, or not wholly), what the model expects of all of it for
    what was done, and of the part without a measurement, ``left_kwh``; ``kwh``: measured and left."""

    measured_kwh: float | None
    expected_kwh: float
    left_kwh: float
    kwh: float


@dataclass(frozen=True)
class Split:
    """``kwh`` by ``PARTS``; they add up to ``difference_kwh``. ``flows`` by ``COLUMNS``; ``shared``: the names of those
    among which ``rest_kwh``, what no measurement explains, was shared."""

    difference_kwh: float
    planned_kwh: float
    kwh: Mapping[str, float]
    flows: Mapping[str, Part]
    rest_kwh: float
    shared: tuple[str, ...]


def split(
    vessel: Vessel, line: Timeline, done: Done, readings: Mapping[str, Flows], begins: float, ends: float,
    change: float,
) -> Split:  # fmt: skip
    """Of the hours between two, wholly planned, in which the charge changed by ``change`` kWh.

    ``readings`` by ``COLUMNS``: what flowed, as measured.
    """
    whole = shares(len(line.change), begins, ends)
    hours = np.flatnonzero(whole > 0)
    among = whole[hours]
    expected = {
        "solar": done.sun, "shore": done.shore, "propulsion": done.propulsion, "heating": done.heating_real,
        "hotel": line.hotel,
    }  # fmt: skip
    parts = {name: _part(readings[name], begins, ends, np.nan_to_num(expected[name])) for name in COLUMNS}
    real = {name: _level(parts[name].kwh, expected[name][hours], among) for name in COLUMNS}
    nets = _strides(vessel, line, done, hours, real)
    effects = [_charged(vessel.battery, net, among) for net in nets]
    steps = dict(zip(("habit", "sky", "hull", "cabin", "hotel"), np.diff(effects).tolist(), strict=True))
    planned = within(np.nan_to_num(line.change), begins, ends)
    difference = change - planned
    rest = change - effects[-1]
    weights = {name: parts[name].left_kwh for name in SHARED}
    total = sum(weights.values())
    for name, part in SHARED.items():
        steps[part] += rest * weights[name] / total if total > 1e-9 else 0.0
    others = {name: steps[name] for name in PARTS if name != "hotel"}
    kwh = {name: others.get(name, 0.0) for name in PARTS} | {"hotel": difference - sum(others.values())}
    taken = tuple(name for name, weight in weights.items() if weight > NEARLY * max(total, 1e-9) and total > 1e-9)
    return Split(difference, planned, kwh, parts, rest, taken)


def _part(rows: Flows, begins: float, ends: float, expected: Floats) -> Part:
    whole = within(expected, begins, ends)
    kwh, left = measured(rows, begins, ends, expected)
    share = covered(rows, begins, ends)
    known = share > 0 and left <= NEARLY * whole and (whole > 1e-9 or share >= 1 - NEARLY)
    return Part(kwh + left if known else None, whole, 0.0 if known else left, kwh + left)


def _level(kwh: float, weights: Floats, among: Floats) -> Floats:
    """Energies of whole hours (h,) of the form of ``weights`` that come to ``kwh`` in the shares ``among`` of them."""
    known = np.nan_to_num(weights)
    total = float((known * among).sum())
    return known * (kwh / total) if total > 1e-9 else np.full(len(known), kwh / float(among.sum()))


def _strides(
    vessel: Vessel, line: Timeline, done: Done, hours: NDArray[np.int64], real: Mapping[str, Floats]
) -> list[Floats]:
    """Net power at the battery, W (h,): as planned, and after each of the five strides."""
    heat, hotel = battery_side(vessel)
    charger = vessel.shore.efficiency
    planned = {name: np.nan_to_num(getattr(line, name))[hours] for name in ("sun", "shore", "propulsion", "hotel")}
    heating, kept, cold = (np.nan_to_num(one)[hours] for one in (line.heating, done.heating, done.heating_real))
    sun, motor = np.nan_to_num(done.sun)[hours], done.propulsion[hours]
    habit = (
        sun - planned["sun"] + charger * (real["shore"] - planned["shore"]) - (motor - planned["propulsion"])
        - heat * (kept - heating)
    )  # fmt: skip
    sky = real["solar"] - sun - heat * (cold - kept)
    hull = motor - real["propulsion"]
    cabin = heat * (cold - real["heating"])
    aboard = hotel * (planned["hotel"] - real["hotel"])
    steps = [net_w(vessel.battery, np.nan_to_num(line.change)[hours]) / 1e3, habit, sky, hull, cabin, aboard]
    return [net * 1e3 for net in np.cumsum(steps, axis=0)]


def _charged(battery: Battery, net: Floats, among: Floats) -> float:
    """What a net power, W, does to the charge in shares of hours, as if there was room."""
    free = replace(battery, charge_max_w=np.inf, discharge_max_w=np.inf)
    return float(change_kwh(free, net, among, False).sum())
