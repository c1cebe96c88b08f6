"""Two hundred random actions, seeded: the app lives, and what it asked for is what it holds."""

import random

import pytest

from tests.tui import fake
from tests.tui.harness import burst, opened, settled, text
from voyager.tui.actions import ACTIONS

OTHER = [*"0123456789.,kn-", "tab", "shift+tab", "enter", "escape", "space"]
LEAVES = {"quit", "interrupt", "palette"}


def keys(rng: random.Random, count: int) -> list[str]:
    known = [key for a in ACTIONS if a.id not in LEAVES for key in a.keys.split(",") if key not in {"q", "ctrl+q"}]
    return [rng.choice(known if rng.random() < 0.7 else OTHER) for _ in range(count)]


@pytest.mark.parametrize("seed", [1, *(pytest.param(seed, marks=pytest.mark.long) for seed in range(2, 12))])
async def test_random_actions(seed: int):
    rng = random.Random(seed)
    async with opened(size=(80, 24)) as (app, pilot):
        for round_ in range(20):
            await burst(app, *keys(rng, 10))
            if round_ % 5 == 4:
                await pilot.resize_terminal(*rng.choice([(80, 24), (120, 40), (60, 16), (200, 50)]))
            if round_ % 5 == 2:
                await pilot.click(offset=(rng.randrange(60), rng.randrange(16)))
            await settled(app, pilot)
            assert app.is_running
            assert text(app)
        assert app.worker.asked[-1] == fake.changes(app.desk.sketch.documents())
