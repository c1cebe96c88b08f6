"""How the columns of the legs share the width."""

import pytest

from voyager.tui.leg_columns import COLUMNS, FIRST_PART, FROM, SHORE, TO, widths
from voyager.tui.units import Units

ROOM = 90


def row(**texts: str) -> tuple[str, ...]:
    return tuple(texts.get(column.heading, "") for column in COLUMNS)


def test_shore_takes_room_from_the_names_only_where_it_says_something():
    without, plugged = widths([row(km="10.0")], Units(), ROOM), widths([row(km="10.0", Shore="plug")], Units(), ROOM)
    assert sum(without[:FIRST_PART]) == ROOM
    assert sum(plugged[: SHORE + 1]) == ROOM
    assert without[FROM] + without[TO] - plugged[FROM] - plugged[TO] == plugged[SHORE]


@pytest.mark.parametrize(("room", "names"), [(30, 18), (60, 20), (74, 24)])
def test_names_keep_a_fair_share_and_the_last_columns_go_beyond_the_edge(room: int, names: int):
    wide = widths([row(km="1000.0", kWh="1000.0", Day="100-101", Shore="plug", Water="coastal")], Units(), room)
    assert wide[FROM] + wide[TO] == names
    assert sum(wide[: SHORE + 1]) > room
