"""The list of days beside the legs."""

from tests.tui.harness import opened, press, text
from voyager.tui.words import REASONS


async def test_a_day_under_way_gives_the_room_of_its_reason_to_its_names():
    async with opened(size=(120, 40)) as (app, _):
        lines = text(app).splitlines()
        first = next(n for n, line in enumerate(lines) if "under way" in line)
        way = lines[first + 1][len(lines[first + 1]) - 46 :]
        assert "→" in way
        assert REASONS["going"] not in way


async def test_on_one_line_too_and_other_reasons_keep_their_column():
    async with opened(size=(80, 24)) as (app, pilot):
        await press(app, pilot, "tab")
        days = [line for line in text(app).splitlines() if " under way " in line or " rest " in line]
        assert not any(REASONS["going"] in line for line in days)
        assert any("under way " in line and "→" in line for line in days)
        assert len({line.index("kWh") for line in days if "kWh" in line}) <= 1
        rests = [line.index(reason) for line in days for reason in REASONS.values() if f" {reason} " in line]
        assert len(set(rests)) == 1
