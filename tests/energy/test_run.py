"""The simulator against a plain loop that knows only the equations, on every hour of a demo voyage."""

from dataclasses import replace
from functools import lru_cache
from math import exp, inf, log
from pathlib import Path

import numpy as np
import pytest

from tests.energy.boats import OFF, vessel
from voyager.boat.battery import Battery, floor_kwh
from voyager.boat.comfort import comfort_pieces
from voyager.energy.ledger import Ledger, balance_kwh, joined
from voyager.energy.run import State, Track, run
from voyager.energy.wishes import wishes
from voyager.files.voyage_file import load_voyage
from voyager.planner.outlook import Outlook, look
from voyager.planner.schedule import Day, day_track

ROUTE = Path(__file__).parents[2] / "routes" / "spring.toml"
UA, C, ETA, STANDBY, HEATER, AC_MAX = 56.0, 14.0, 0.92, 15.0, 700.0, 2500.0
AC = [0, 0, 0, 0, 0, 0, 0, 250, 0, 0, 0, 0, 250, 0, 0, 0, 0, 0, 350, 0, 0, 0, 0, 0]
CEILING, CHARGE_MAX, DISCHARGE_MAX = 34 * 0.95, 8000.0, 34000.0
HOURS_C = {"cosy": ([(390, 1350, 18.0)], 10.0), "plain": ([(390, 510, 14.0), (1050, 1320, 16.0)], 5.0),
           "sparse": ([(390, 450, 12.0), (1110, 1290, 13.0)], 4.0), "off": ([], 2.0)}  # fmt: skip


def room(air, rest, setpoint, most, hours):
    """Air after a piece and the heat given, Wh: to the setpoint first, then on it (first order, closed form)."""
    first, level = (most, rest + most / UA) if air < setpoint else (0.0, rest)
    meets = (level - setpoint) * (setpoint - air) > 0
    way = C / UA * log((level - air) / (level - setpoint)) if meets else (0.0 if air == setpoint else inf)
    way = min(way, hours)
    air = setpoint if way < hours else level + (air - level) * exp(-way * UA / C)
    then = min(max(UA * (setpoint - rest), 0.0), most)
    level, left = rest + then / UA, hours - way
    return level + (air - level) * exp(-left * UA / C), first * way + then * left


def step(state, comfort, minute, sun, outside, glass, propulsion, charger):
    """One hour: cabin in two halves, inverter, battery. State: charge, air, lagged outside."""
    charge, air, cell = state
    ac, heat = AC[minute // 60], 0.0
    gain = 160 + glass * 2.2 * 0.5 + (ac / ETA + STANDBY - ac if ac else 0)
    most = min(HEATER, AC_MAX - ac) / ETA
    for half in (minute, minute + 30):
        asked = [c for a, b, c in HOURS_C[comfort][0] if a <= half < b]
        setpoint = asked[0] - 2.5 if asked else HOURS_C[comfort][1]
        air, more = room(air, outside + gain / UA, setpoint, most, 0.5)
        heat += more
    heater = heat * ETA
    loss = (ac + heater) / ETA + STANDBY - ac - heater if ac + heater else 0.0
    load, cold = propulsion + 40 + ac + heater + loss, cell + 3 < 0
    room_w = 0.0 if cold else min(CHARGE_MAX, max(0.0, CEILING - charge) / 0.98 * 1000)
    shore = min(max(load + room_w - sun, 0.0), charger)
    net = sun + shore - load
    charge += 0.98 * min(net, room_w) / 1000 if net > 0 else -min(-net, DISCHARGE_MAX) / 0.98 / 1000
    return (charge, air, outside + (cell - outside) * exp(-1 / 24)), heater / 1000, shore / 0.9 / 1000


@lru_cache
def planned(percent: float, comfort: str) -> Outlook:
    loaded = load_voyage(ROUTE)
    return look(loaded.vessel, replace(loaded.voyage, charge_at_start_percent=percent, comfort=comfort))


def lived(found: Outlook, day: Day, track: Track, state):
    """One day of the loop: (state after, heating kWh, shore kWh, charges)."""
    frame, charges, heating, shore = found.frame, [], 0.0, 0.0
    mooring = int(found.built.stops.mooring[day.end])
    for h in range(int(frame.days.length_h[day.day])):
        late = h >= day.evening
        comfort = frame.vessel.comfort[day.night_step if late else day.morning_step].name
        charger = min(frame.route.moorings[mooring].shore_w * 0.9, 2000.0) if late and day.plugged else 0.0
        state, heated, drawn = step(
            state, comfort, int(frame.days.local_min[day.day, h]), track.solar_w[0, h], track.outside_c[0, h],
            track.glass_w_m2[0, h], track.propulsion_w[h], charger,
        )  # fmt: skip
        heating, shore = heating + heated, shore + drawn
        charges.append(state[0])
    return state, heating, shore, charges


@pytest.mark.parametrize(("percent", "comfort", "plugs"), [(85.0, "plain", False), (25.0, "cosy", True)])
def test_a_plain_loop_lives_the_same_voyage(percent: float, comfort: str, plugs: bool) -> None:
    """Two starts of the spring voyage: one on sun alone, one that has to plug in."""
    found = planned(percent, comfort)
    frame, first = found.frame, found.frame.mooring_station[0]
    start_air = float(frame.steps[frame.wanted].air_c[0, first, 0, int(frame.days.length_h[0]) - 1])
    state = (34 * frame.voyage.charge_at_start_percent / 100, start_air, float(frame.weather.cell_c[0, first, 0, 0]))
    total = 0.0
    for day in found.schedule.days:
        track = day_track(frame, day.day, int(found.built.stops.mooring[day.start]), day.sail)
        state, heating, shore, charges = lived(found, day, track, state)
        assert np.asarray(charges) == pytest.approx(day.ledger.charge_kwh[0], abs=1e-6)
        assert heating == pytest.approx(float(day.ledger.total("heating_kwh")[0]), abs=1e-6)
        assert shore == pytest.approx(float(day.ledger.total("shore_kwh")[0]), abs=1e-6)
        total += heating
    assert len(found.schedule.days) > 20
    assert total > 10
    assert any(day.plugged for day in found.schedule.days) is plugs


FROST = Battery(50.0, charge_efficiency=0.95, charge_max_w=9000.0, discharge_max_w=9000.0, warmer_than_outside_k=0.0)


def frosty(battery: Battery, cuts: tuple[int, ...] = (24,), cells_c: tuple[float, ...] = (1.0,)) -> Ledger:
    """A day at -5 degC with 1 kW of sun all through, run in the parts that ``cuts`` end."""
    boat, count = vessel(battery=battery), len(cells_c)
    shape = (count, 25)
    track = Track(
        np.full(shape, 1000.0), np.full(shape, -5.0), np.zeros(shape), np.zeros(25), np.zeros(25), np.arange(25) % 24
    )
    pieces = comfort_pieces(OFF, 60 * np.arange(24), 24)
    state = State(np.full(count, 10.0), np.full(count, 5.0), None, np.asarray(cells_c))
    parts, first = [], 0
    for last in cuts:
        part, state = run(boat, track, wishes(boat, pieces), first, last, state)
        parts.append(part)
        first = last
    return joined(parts)


def test_cells_cool_through_the_day_and_stop_charging() -> None:
    """-5 + 6 exp(-h / 24) is below 0 from 24 ln 1.2 = 4.4 h on: five hours store 0.95 x 0.95 kWh, then none."""
    day = frosty(FROST)
    stored = 0.95 * 0.95
    assert day.charge_kwh[0] == pytest.approx([10 + stored * min(h + 1, 5) for h in range(24)])
    assert day.spilled_kwh[0] == pytest.approx([0] * 5 + [0.95] * 19)
    lagged = [-5 + 6 * exp(-h / 24) for h in range(24)]
    assert day.floor_kwh[0] == pytest.approx(floor_kwh(FROST, lagged))
    assert np.abs(balance_kwh(np.asarray([10.0]), day)).max() < 1e-9


def test_the_cells_heater_is_hotel_and_keeps_them_charging() -> None:
    """100 W from the sixth hour on: 150 W of hotel, 0.95 x 0.85 kWh stored, nothing spilt."""
    day = frosty(replace(FROST, heater_w=100.0))
    assert day.hotel_kwh[0] == pytest.approx([0.05] * 5 + [0.15] * 19)
    assert np.diff(day.charge_kwh[0, 4:]) == pytest.approx(np.full(19, 0.95 * 0.85))
    assert day.spilled_kwh.sum() == pytest.approx(0.0, abs=1e-12)


def test_a_day_in_parts_is_the_day_and_members_are_alone() -> None:
    whole = frosty(FROST, cells_c=(1.0, -3.0))
    parts = frosty(FROST, cuts=(3, 10, 24), cells_c=(1.0, -3.0))
    for name in ("charge_kwh", "spilled_kwh", "hotel_kwh", "loss_kwh", "air_c", "floor_kwh"):
        assert getattr(parts, name) == pytest.approx(getattr(whole, name), abs=1e-12), name
    assert whole.charge_kwh[0] == pytest.approx(frosty(FROST).charge_kwh[0])
    assert whole.charge_kwh[1] == pytest.approx(np.full(24, 10.0))
