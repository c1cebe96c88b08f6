"""Hotel, heating, inverter and cabin of some hours, against sums by hand."""

from dataclasses import replace
from math import exp, log

import numpy as np
import pytest

from tests.energy.boats import CABIN, OFF, heater, inverter, vessel
from voyager.boat.cabin import Comfort
from voyager.boat.comfort import comfort_pieces
from voyager.boat.vessel import Hotel, Vessel
from voyager.energy.ledger import balance_kwh
from voyager.energy.loads import Loads, heater_limits, hotel, loads, steady_air_c
from voyager.energy.run import State, Track, run
from voyager.energy.wishes import wishes

ALL_DAY = Comfort("steady", ((0, 1440, 20.0),), 5.0)
COLD = Comfort("cold", (), -50.0)
CAPACITY_WH_PER_K, UA_W_PER_K = 12.0, 60.0


def hours(
    boat: Vessel,
    comfort: Comfort = ALL_DAY,
    *,
    outside_c: float | list[float] = 5.0,
    count: int = 4,
    air_c: float = 20.0,
    glass_w_m2: float = 0.0,
    starts: int = 480,
    structure_c: float | None = None,
) -> Loads:
    """Loads of ``count`` hours from minute ``starts`` of the civil day."""
    minutes = (starts + 60 * np.arange(count)) % 1440
    return loads(
        boat,
        wishes(boat, comfort_pieces(comfort, minutes, count)),
        local_hour=minutes // 60,
        outside_c=np.broadcast_to(np.asarray(outside_c, dtype=float), (1, count)),
        glass_w_m2=np.full((1, count), glass_w_m2),
        air_c=np.asarray([air_c]),
        structure_c=None if structure_c is None else np.asarray([structure_c]),
    )


def alternating(watts: float, at: tuple[int, ...] = tuple(range(24))) -> Hotel:
    return Hotel((50.0,) * 24, tuple(watts if h in at else 0.0 for h in range(24)))


def test_holding_a_warm_cabin_by_hand() -> None:
    """15 K over 60 W/K are 900 W, one person gives 80: 820 W of a direct heater, no inverter, nothing lost."""
    done = hours(vessel(heaters=(heater(2000, alternating=False),)))
    assert done.heating_w == pytest.approx(np.full((1, 4), 820.0))
    assert done.air_c == pytest.approx(np.full((1, 4), 20.0))
    assert np.all(done.inverter_loss_w == 0)
    assert done.total_w == pytest.approx(np.full((1, 4), 870.0))
    assert (done.warm_h, done.asked_h) == (pytest.approx(np.ones((1, 4))), pytest.approx(np.ones((1, 4))))


def test_inverter_losses_inside_are_heat_by_hand() -> None:
    """With 80 % efficiency a watt at the heater is 1.25 W of heat. The hotel's 400 W lose 100 and 20 W standby: people
    and inverter give 200 W, the heater 700 / 1.25 = 560 W; the inverter takes 960 / 0.8 + 20 = 1,220 W."""
    boat = vessel(heaters=(heater(1500),), inverter=inverter(), hotel=alternating(400))
    done = hours(boat)
    assert done.heating_w == pytest.approx(np.full((1, 4), 560.0))
    assert done.inverter_loss_w == pytest.approx(np.full((1, 4), 260.0))
    assert done.hotel_w == pytest.approx(np.full((1, 4), 450.0))


def test_all_that_a_resistance_heater_draws_is_heat() -> None:
    """Battery-side power of heater, inverter and people is what the cabin loses."""
    boat = vessel(heaters=(heater(1500),), inverter=inverter(always_on=True), hotel=alternating(300))
    done = hours(boat, outside_c=1.0)
    inside_w = done.heating_w + done.inverter_loss_w + 80.0
    assert inside_w == pytest.approx(np.full((1, 4), UA_W_PER_K * 19.0))


def test_inverter_outside_the_cabin_heats_nobody() -> None:
    boat = vessel(heaters=(heater(1500),), inverter=inverter(inside_cabin=False), hotel=alternating(400))
    done = hours(boat)
    assert done.heating_w == pytest.approx(np.full((1, 4), 820.0))
    assert done.inverter_loss_w == pytest.approx(np.full((1, 4), (820 + 400) * 0.25 + 20.0))


def test_standby_only_while_an_alternating_load_runs() -> None:
    boat = vessel(inverter=inverter(), hotel=alternating(400, at=(9,)))
    assert hours(boat, COLD).inverter_loss_w[0] == pytest.approx([0.0, 120.0, 0.0, 0.0])
    left_on = vessel(inverter=inverter(always_on=True), hotel=alternating(400, at=(9,)))
    assert hours(left_on, COLD).inverter_loss_w[0] == pytest.approx([20.0, 120.0, 20.0, 20.0])
    assert hours(left_on, COLD).hotel_w[0] == pytest.approx([50.0, 450.0, 50.0, 50.0])


def test_without_an_inverter_nothing_alternating_runs() -> None:
    boat = vessel(hotel=alternating(400), heaters=(heater(1500),))
    done = hours(boat)
    assert done.hotel_w == pytest.approx(np.full((1, 4), 50.0))
    assert np.all(done.heating_w == 0)
    assert np.all(done.inverter_loss_w == 0)


def test_what_the_inverter_cannot_give_is_not_served() -> None:
    done = hours(vessel(inverter=inverter(max_w=300.0, standby_w=0.0), hotel=alternating(400)))
    assert done.hotel_w == pytest.approx(np.full((1, 4), 350.0))
    assert done.inverter_loss_w == pytest.approx(np.full((1, 4), 300 / 0.8 - 300))


@pytest.mark.parametrize(
    ("boat", "unserved_kwh"),
    [
        (vessel(inverter=inverter(max_w=300.0), hotel=alternating(400)), 0.1),
        (vessel(hotel=alternating(400)), 0.4),
        (vessel(inverter=inverter(), hotel=alternating(400)), 0.0),
    ],
)
def test_hotel_beyond_the_inverter_is_unserved_and_costs_no_charge(boat: Vessel, unserved_kwh: float) -> None:
    """What can't be delivered is reported beside the balance."""
    row, none = np.zeros((1, 3)), np.zeros(3)
    track = Track(row, np.full((1, 3), 15.0), row, none, none, np.arange(9, 12))
    state = State(np.asarray([10.0]), np.asarray([15.0]), None, np.asarray([15.0]))
    ledger, _ = run(boat, track, wishes(boat, comfort_pieces(OFF, 540 + 60 * np.arange(3), 3)), 0, 3, state)
    assert ledger.unserved_kwh == pytest.approx(np.full((1, 3), unserved_kwh))
    assert ledger.hotel_kwh == pytest.approx(np.full((1, 3), 0.45 - unserved_kwh))
    assert balance_kwh(np.asarray([10.0]), ledger) == pytest.approx(0.0, abs=1e-9)


def test_heat_pump_before_the_radiant_panel() -> None:
    """A pump of 100 W with COP 3 first (300 W and the inverter's 25), the panel the rest of the 820."""
    pump, panel = heater(100, name="pump", cop=3.0), heater(1500, name="panel")
    for order in ((pump, panel), (panel, pump)):
        boat = vessel(heaters=order, inverter=inverter(standby_w=0.0))
        done = hours(boat)
        assert done.heating_w == pytest.approx(np.full((1, 4), 100 + (820 - 325) / 1.25))
    mild = hours(boat, outside_c=18.0, glass_w_m2=0.0)
    assert mild.heating_w == pytest.approx(np.full((1, 4), (120.0 - 80.0) / 3.25))


def test_a_pump_follows_the_outside_temperature() -> None:
    pump = heater(1500, cop_by_c=((-10.0, 2.0), (10.0, 4.0)), alternating=False)
    done = hours(vessel(heaters=(pump,)), outside_c=[-10.0, 0.0, 10.0, 15.0])
    need = UA_W_PER_K * (20 - np.asarray([-10.0, 0.0, 10.0, 15.0])) - 80
    assert done.heating_w[0] == pytest.approx(need / np.asarray([2.0, 3.0, 4.0, 4.0]))


def test_a_heater_that_cannot_keep_up_is_a_temperature() -> None:
    """400 W and 80 of people hold 8 K: from 20 degC the air falls towards 13 with 12/60 h, and rests there."""
    done = hours(vessel(heaters=(heater(400, alternating=False),)))
    expected = [13 + 7 * exp(-h * UA_W_PER_K / CAPACITY_WH_PER_K) for h in (1, 2, 3, 4)]
    assert done.heating_w == pytest.approx(np.full((1, 4), 400.0))
    assert done.air_c[0] == pytest.approx(expected)
    assert done.low_c[0] == pytest.approx(expected)
    assert done.warm_h[0, 1:] == pytest.approx([0, 0, 0], abs=1e-12)
    # within 0.05 K of 20 only for the first moments
    assert done.warm_h[0, 0] == pytest.approx(0.2 * log(7 / 6.95))


def test_without_a_heater_the_temperature_floats() -> None:
    done = hours(vessel(), air_c=5.0)
    rest = 5 + 80 / UA_W_PER_K
    assert np.all(done.heating_w == 0)
    assert done.air_c[0] == pytest.approx([rest + (5 - rest) * exp(-5 * h) for h in (1, 2, 3, 4)])


def test_sun_through_glass_takes_the_place_of_heating() -> None:
    cabin = replace(CABIN, window_m2=2.0, window_gain=0.5)
    boat = vessel(heaters=(heater(2000, alternating=False),), cabin=cabin)
    assert hours(boat, glass_w_m2=200.0).heating_w == pytest.approx(np.full((1, 4), 620.0))
    bright = hours(boat, glass_w_m2=1500.0)
    assert np.all(bright.heating_w == 0)
    assert bright.air_c[0, -1] == pytest.approx(5 + 1580 / UA_W_PER_K)


def test_warm_up_spends_what_the_air_takes_up() -> None:
    """From 8 to 20 degC at full power, then 820 W: heat = UA (mean - outside) - people + C dT, closed form."""
    boat = vessel(heaters=(heater(2000, alternating=False),))
    done = hours(boat, air_c=8.0, count=1)
    rest, tau = 5 + 2080 / UA_W_PER_K, CAPACITY_WH_PER_K / UA_W_PER_K
    climb = tau * log((rest - 8) / (rest - 20))
    assert done.heating_w[0, 0] == pytest.approx(2000 * climb + 820 * (1 - climb))


def test_warm_and_asked_hours() -> None:
    """Asked 08:20 to 10:00 at 20 degC. The first half hour is grace; then 13 K are out of reach of 400 W."""
    asked = Comfort("short", ((500, 600, 20.0),), 5.0)
    warm = hours(vessel(heaters=(heater(3000, alternating=False),)), asked, air_c=5.0)
    assert warm.asked_h[0] == pytest.approx([40 / 60, 1, 0, 0])
    assert warm.warm_h[0] == pytest.approx([40 / 60, 1, 0, 0])
    assert warm.low_c[0, :2] == pytest.approx([20.0, 20.0])
    assert np.isinf(warm.low_c[0, 2:]).all()
    cool = hours(vessel(heaters=(heater(400, alternating=False),)), asked, air_c=5.0)
    assert cool.asked_h[0] == pytest.approx([40 / 60, 1, 0, 0])
    assert cool.warm_h[0] == pytest.approx([0, 0, 0, 0], abs=1e-12)
    assert cool.low_c[0, 1] == pytest.approx(13.0, abs=0.05)


def test_the_half_hour_after_a_rise_is_not_looked_at() -> None:
    """880 W climb to 21 degC: 19.8 after the half hour's grace, 20 ten minutes later, which is the lowest."""
    asked = Comfort("short", ((500, 600, 20.0),), 5.0)
    done = hours(vessel(heaters=(heater(880, alternating=False),)), asked, air_c=5.0, count=1)
    assert 21 - (21 - 5) * exp(-0.5 / 0.2) < 19.9
    assert done.low_c[0, 0] == pytest.approx(20.0)


def test_radiant_heat_lowers_the_air_that_is_asked_for() -> None:
    boat = vessel(heaters=(heater(2000, alternating=False, radiant_k=2.0),))
    done = hours(boat, air_c=18.0)
    assert done.heating_w == pytest.approx(np.full((1, 4), 13 * UA_W_PER_K - 80))
    assert done.air_c[0, -1] == pytest.approx(18.0)
    assert done.warm_h.sum() == pytest.approx(4.0)


def test_frost_guard_is_all_that_off_gives() -> None:
    boat = vessel(heaters=(heater(2000, alternating=False),), cabin=replace(CABIN, people=0.0))
    done = hours(boat, OFF, outside_c=-6.0, air_c=2.0)
    assert done.heating_w == pytest.approx(np.full((1, 4), 8 * UA_W_PER_K))
    assert done.asked_h.sum() == 0
    assert hours(boat, OFF, outside_c=4.0, air_c=4.0).heating_w.sum() == 0


def test_hotel_by_civil_hour() -> None:
    boat = vessel(
        hotel=Hotel(tuple(float(h) for h in range(24)), tuple(100.0 + h for h in range(24))), inverter=inverter()
    )
    direct, ac = hotel(boat, np.asarray([22, 23, 0, 1, 3]))
    assert direct.tolist() == [22.0, 23.0, 0.0, 1.0, 3.0]
    assert ac.tolist() == [122.0, 123.0, 100.0, 101.0, 103.0]
    done = hours(boat, COLD, starts=22 * 60, count=3)
    assert done.hotel_w[0].tolist() == [144.0, 146.0, 100.0]


def test_heaters_share_what_the_inverter_has_left() -> None:
    small, large, straight = heater(500, name="a"), heater(1500, name="b"), heater(300, name="c", alternating=False)
    boat = vessel(heaters=(small, large, straight), inverter=inverter(max_w=1200.0))
    limits = {h.name: limit.tolist() for h, limit in heater_limits(boat, np.asarray([0.0, 900.0, 2000.0]))}
    assert limits["c"] == [300.0, 300.0, 300.0]
    assert (np.asarray(limits["a"]) + np.asarray(limits["b"])).tolist() == [1200.0, 300.0, 0.0]


def test_two_whole_days_are_one_after_another() -> None:
    """48 hours at once are 24 hours and then 24 more from where the first left off; also with a structure node."""
    comfort = Comfort("even", ((390, 510, 17.0), (1020, 1320, 18.0)), 8.0)
    cabin = replace(CABIN, structure_capacity_wh_per_k=220.0, structure_w_per_k=90.0)
    boat = vessel(heaters=(heater(700),), inverter=inverter(), hotel=alternating(350, at=(7, 18)), cabin=cabin)
    outside = (3 + 4 * np.sin(np.arange(48) / 5.0)).tolist()
    whole = hours(boat, comfort, outside_c=outside, count=48, air_c=8.0, structure_c=7.0)
    first = hours(boat, comfort, outside_c=outside[:24], count=24, air_c=8.0, structure_c=7.0)
    assert first.structure_c is not None
    second = hours(
        boat,
        comfort,
        outside_c=outside[24:],
        count=24,
        air_c=float(first.air_c[0, -1]),
        structure_c=float(first.structure_c[0]),
    )
    for name in ("hotel_w", "heating_w", "inverter_loss_w", "air_c", "warm_h", "asked_h", "low_c"):
        both = np.concatenate([getattr(first, name), getattr(second, name)], axis=1)
        assert getattr(whole, name) == pytest.approx(both, abs=1e-9), name
    assert whole.structure_c == pytest.approx(second.structure_c)


def test_members_do_not_disturb_one_another() -> None:
    boat = vessel(heaters=(heater(700, alternating=False),))
    outside = np.asarray([[0.0, 2.0], [10.0, 12.0], [-8.0, -9.0]])
    pieces = wishes(boat, comfort_pieces(ALL_DAY, np.asarray([480, 540]), 2))
    keys = {"local_hour": np.asarray([8, 9]), "structure_c": None}
    air = np.asarray([20.0, 12.0, 3.0])
    all_ = loads(boat, pieces, outside_c=outside, glass_w_m2=np.zeros((3, 2)), air_c=air, **keys)
    for m in range(3):
        row = slice(m, m + 1)
        alone = loads(boat, pieces, outside_c=outside[row], glass_w_m2=np.zeros((1, 2)), air_c=air[row], **keys)
        assert alone.heating_w[0] == pytest.approx(all_.heating_w[m])
        assert alone.air_c[0] == pytest.approx(all_.air_c[m])


def test_first_guess_of_the_air() -> None:
    guess = steady_air_c(vessel(), np.asarray([0.0, 12.0]), 5.0)
    assert guess == pytest.approx([5.0, 12 + 80 / UA_W_PER_K])
