"""A boat that lies still in winter: facts of the trade on whole weeks of the simulator."""

from datetime import date

import numpy as np
import pytest

from tests.energy.boats import OFF, vessel
from voyager.boat.arrays import PanelArray
from voyager.boat.battery import Battery
from voyager.boat.cabin import Comfort, Heater
from voyager.boat.comfort import comfort_pieces
from voyager.boat.vessel import Vessel
from voyager.energy.ledger import balance_kwh
from voyager.energy.run import State, Track, run
from voyager.energy.wishes import wishes
from voyager.planner.frame import Frame, build_frame
from voyager.route.leg import Leg
from voyager.route.place import Place
from voyager.route.voyage import Voyage

PACK = Battery(30.0, charge_max_w=15_000.0, discharge_max_w=30_000.0)
ROOF = PanelArray("roof", 400.0, panels=15)
LIES = Voyage(
    "a quay", date(2026, 12, 1), "Europe/London", (Place("A", 50.0, 0.0), Place("B", 50.1, 0.0)), (Leg("A", "B"),)
)
DAYS = 62


def frame(boat: Vessel, sky: str) -> Frame:
    return build_frame(boat, LIES, DAYS, sky)


def evenings(found: Frame, comfort: Comfort) -> tuple[np.ndarray, np.ndarray]:
    """Charge at each sunset and lowest of each day, December and January at the first place, battery full at first."""
    boat = found.vessel
    state = State(np.asarray([boat.battery.ceiling_kwh]), np.asarray([5.0]), None, found.weather.cell_c[0, :1, 0, 0])
    dusk, low = [], []
    for day in range(DAYS):
        track = Track(
            found.panels.watts[day, found.mooring_mount[0], :, 0][None],
            found.weather.air_c[day, 0, :, 0][None],
            np.zeros((1, 25)),
            np.zeros(25),
            np.zeros(25),
            found.days.local_hour[day],
        )
        length = int(found.days.length_h[day])
        pieces = comfort_pieces(comfort, found.days.local_min[day], length)
        before = state.charge_kwh
        ledger, state = run(boat, track, wishes(boat, pieces), 0, length, state)
        assert abs(float(balance_kwh(before, ledger)[0])) < 1e-9
        dusk.append(float(ledger.charge_kwh[0, found.windows.evening[day, 0] - 1]))
        low.append(float(ledger.charge_kwh.min()))
    return np.asarray(dusk), np.asarray(low)


@pytest.mark.parametrize("sky", ["cautious", "middling"])
def test_without_heating_a_moored_battery_stays_full_even_in_winter(sky: str) -> None:
    """Common practice, no source: near 50 N, some 6 kWp lying flat, 50 W aboard, December and January."""
    found = frame(vessel(arrays=(ROOF,), battery=PACK), sky)
    dusk, low = evenings(found, OFF)
    assert dusk.min() > 0.95 * PACK.ceiling_kwh
    assert low.min() > 0.90 * PACK.ceiling_kwh
    assert np.mean(dusk > PACK.ceiling_kwh - 0.3) > 0.6


def test_with_the_cabin_kept_warm_all_day_it_does_not() -> None:
    """The same weeks at 18 degC day and night: 60 W/K take more than a dull roof gives."""
    warm = Comfort("warm", ((0, 1440, 18.0),), 18.0)
    boat = vessel(arrays=(ROOF,), battery=PACK, heaters=(Heater("h", 2000.0, alternating=False),), comfort=(warm, OFF))
    dusk, _ = evenings(frame(boat, "cautious"), warm)
    assert dusk[10:].min() < 0.2 * PACK.ceiling_kwh
