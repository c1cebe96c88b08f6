"""The list of days beside the legs."""

from tests.tui.harness import opened, text
from voyager.tui.words import REASONS


async def test_a_day_under_way_gives_the_room_of_its_reason_to_its_names():
    async with opened(size=(120, 40)) as (app, _):
        lines = text(app).splitlines()
        first = next(n for n, line in enumerate(lines) if "under way" in line)
        way = lines[first + 1][len(lines[first + 1]) - 46 :]
        assert "→" in way
        assert REASONS["going"] not in way


async def test_on_one_line_the_reason_keeps_its_column():
    async with opened(size=(80, 24)) as (app, _):
        assert f"under way {REASONS['going']}" in text(app)
