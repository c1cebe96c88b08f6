"""The tables of the screens as plain values."""

from dataclasses import replace

import pytest

from tests.tui import fake
from voyager.session.sketch.edits import set_leg
from voyager.tui import copying
from voyager.tui.desk import Desk
from voyager.tui.packed import packed
from voyager.tui.units import Units


@pytest.fixture
def desk() -> Desk:
    made = Desk("x.toml").read(fake.opened("x.toml"))
    return replace(made, plan=packed(fake.plan("x", members=200)), plan_sketch=made.sketch)


def column(table: copying.Table, heading: str) -> list[object]:
    return [row[table.headings.index(heading)] for row in table.rows]


def test_every_row_has_every_heading_once(desk: Desk) -> None:
    for table in (copying.legs(desk), copying.days(desk), copying.places(desk), copying.odds(desk)):
        assert len(set(table.headings)) == len(table.headings), table.name
        assert {len(row) for row in table.rows} == {len(table.headings)}


def test_days_sum_up_as_the_plan_has_them(desk: Desk) -> None:
    table, days = copying.days(desk), fake.sample()["days"]
    assert column(table, "solar [kWh]") == [day["solar_kwh"] for day in days]
    assert column(table, "cautions") == [day["cautions"] for day in days]
    assert "hours" not in table.headings


def test_units_chosen_hold(desk: Desk) -> None:
    sea = replace(desk, units=Units("kn", "NM", "°F"))
    km = column(copying.legs(desk), "distance [km]")
    assert column(copying.legs(sea), "distance [NM]") == pytest.approx([one / 1.852 for one in km])
    warm = column(copying.days(desk), "cabin low [°C]")
    assert column(copying.days(sea), "cabin low [°F]") == pytest.approx([one * 1.8 + 32 for one in warm])
    assert "way made p50 [NM]" in copying.odds(sea).headings


def test_a_leg_that_was_changed_has_no_figures_of_the_former_plan(desk: Desk) -> None:
    edited = desk.edited(set_leg(desk.sketch, 0, "speed_kmh", 9.0), "speed")
    assert column(copying.legs(edited), "energy [kWh]")[0] is None
    assert column(copying.legs(edited), "speed [km/h]")[0] == 9.0


def test_what_only_the_file_has_is_copied_too(desk: Desk) -> None:
    edited = desk.edited(set_leg(desk.sketch, 1, "headroom_m", 2.5), "headroom")
    assert column(copying.legs(edited), "headroom [m]")[:2] == [None, 2.5]


def test_places_have_their_positions_in_degrees(desk: Desk) -> None:
    table = copying.places(desk)
    assert column(table, "latitude [°]")[0] == 52.0
    assert column(table, "longitude [°]")[0] == -8.0


def test_odds_are_by_date(desk: Desk) -> None:
    table = copying.odds(desk)
    dates = column(table, "date")
    assert dates == sorted(dates)
    found = {row["date"]: row["chance"] for row in desk.plan["odds"]["arrival"]["by_date"]}
    arrived = dict(zip(dates, column(table, "arrived"), strict=True))
    assert all(arrived[day] == chance for day, chance in found.items())


def test_without_a_plan_there_is_nothing_of_it() -> None:
    bare = Desk("x.toml").read(fake.opened("x.toml"))
    assert copying.days(bare).rows == ()
    assert copying.odds(bare).rows == ()
    assert len(copying.legs(bare).rows) == len(bare.sketch.legs)
