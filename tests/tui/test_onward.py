"""From here: the plan that goes on from the log, and back."""

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from tests.tui import fake, fake_log
from tests.tui.harness import Nearby, OnFiles, opened, press, settled, text
from tests.tui.waiting import Waiting
from voyager.tui import past
from voyager.tui.actual_chart import PARTS
from voyager.tui.messages import Logged
from voyager.tui.packed import packed
from voyager.tui.past import OVER, TODAY
from voyager.tui.widgets.days import DayList

ROUTES = Path(__file__).parents[2] / "routes"
PLAN = fake_log.gone_on(fake.plan("shannon.toml", members=1000))


# what is listed


def test_the_days_past_come_first_under_numbers_of_their_own() -> None:
    days = past.listed(PLAN)
    assert [day["day"] for day in days] == [-3, -2, -1, 0, *range(1, 10)]
    assert [past.is_past(day) for day in days] == [True] * 4 + [False] * 9
    assert past.listed(None) == []
    assert past.listed(fake.plan("shannon.toml"))[0]["day"] == 1


def test_where_it_goes_on_from_in_a_few_words() -> None:
    assert past.begins(PLAN, "2027-03-04") == "from 14:00 km 78, 61 %"
    assert past.begins(PLAN, "2027-03-05") == "from 4 Mar 14:00 km 78, 61 %"
    assert past.begins(fake.plan("shannon.toml"), "2027-03-04") == ""


def test_a_day_past_is_marked_and_says_only_what_the_log_does() -> None:
    rows = past.day_rows(past.listed(PLAN), 28.0)
    assert [(row.sign, row.mark, row.past) for row in rows[:4]] == [("■", "logged", True)] * 4
    assert (rows[1].charge, rows[1].low, rows[1].floor, rows[1].cautions) == (None, None, None, ())
    assert rows[3].reason == "so far"
    told = dict(enumerate(text for _, text in past.day_lines(PLAN, PLAN["past"][1])))
    assert "charge: the log has fewer than two readings of it" in told.values()
    bare = {**PLAN["past"][0], **{f"{name}_kwh": None for name in fake_log.FLOWS}, "from": None, "start_km": None}
    row = past.day_rows([bare], 28.0)[0]
    assert (row.gained, row.spent, row.start) == ("", "", "?")
    assert any(text == "no energies were measured" for _, text in past.day_lines(PLAN, bare))


def test_what_to_do_now_and_what_the_log_leaves_open() -> None:
    log = {**PLAN["log"], "text": f"{fake_log.TEXT} The charge was noted at 2027-03-04 08:00 and has changed since."}
    told = past.now_lines({**PLAN, "log": log, "from": {**PLAN["from"], "held": False}})
    assert [kind for kind, _ in told] == ["title", "alarm", "caution"]
    assert told[2][1] == "! The charge was noted at 2027-03-04 08:00 and has changed since."
    assert past.now_lines(PLAN) == [("title", "Stop at Athlone for today: recovering.")]
    assert past.now_lines(fake.plan("shannon.toml")) == []


# the key


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_from_here_and_back_to_the_whole_voyage(size: tuple[int, int]) -> None:
    worker = Nearby()
    async with opened(size=size, worker=worker) as (app, pilot):
        plan = app.desk.plan
        await press(app, pilot, "F")
        shown = text(app)
        assert "from 4 Mar 14:00 km 78, 61 %" in shown.splitlines()[0]
        assert "Stop at Athlone for today: recovering." in shown
        assert worker.starts == [None, "log"]
        rows = app.first.query_one(DayList).rows
        assert [row.past for row in rows] == [True] * 4 + [False] * 9
        assert "■ logged" in shown
        await press(app, pilot, "alt+f")
        assert "from 4 Mar" not in text(app)
        assert "■ logged" not in text(app)
        assert app.desk.plan == plan
        assert worker.starts == [None, "log", None]


async def test_the_cursor_goes_to_the_first_day_ahead_and_back_to_its_date() -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "F")
        assert app.first.pointed == ("day", 4)
        assert "Day 1, Thu 4 Mar 2027" in text(app)
        await press(app, pilot, "down", "F")
        assert app.first.pointed == ("day", 4)
        assert "Day 5, Fri 5 Mar 2027" in text(app)


async def test_edits_and_taking_them_back_keep_the_mode() -> None:
    worker = Nearby()
    async with opened(worker=worker) as (app, pilot):
        await press(app, pilot, "F", "right_square_bracket", "u", "r")
        assert worker.starts == [None, *["log"] * 4]
        assert not app.desk.former
        assert app.desk.onward


async def test_new_readings_plan_anew_only_where_it_goes_on_from_them() -> None:
    worker = Nearby()
    async with opened(worker=worker) as (app, pilot):
        app.post_message(Logged())
        await settled(app, pilot)
        assert worker.starts == [None]
        await press(app, pilot, "F")
        app.post_message(Logged())
        await settled(app, pilot)
        assert worker.starts == [None, "log", "log"]


@pytest.mark.parametrize(
    ("path", "sentence"),
    [("logless.toml", "has no log yet"), ("lacking.toml", "the log has no charge to plan on from")],
)
async def test_a_log_that_says_too_little_is_told_and_nothing_changes(path: str, sentence: str) -> None:
    worker = Nearby()
    async with opened(path, worker=worker) as (app, pilot):
        plan = app.desk.plan
        await press(app, pilot, "F")
        assert sentence in " ".join(text(app).split())
        assert (app.desk.onward, app.desk.plan, worker.starts) == (False, plan, [None])
        await press(app, pilot, "right_square_bracket")
        assert sentence not in " ".join(text(app).split())


async def test_details_of_a_day_past() -> None:
    async with opened(size=(80, 24)) as (app, pilot):
        await press(app, pilot, "tab", "F", "up", "up", "i")
        shown = text(app)
        assert "Logged, Wed 3 Mar 2027, day 3 of the voyage: Lanesborough → Athlone" in shown.replace("\n", " ")
        assert "weed in the propeller" in shown


async def test_panes_of_a_day_say_that_it_is_over() -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "F", "m")
        assert "Day 1, Thu 4 Mar" in text(app)
        await press(app, pilot, "escape", "tab", "up", "up")
        for key in ("h", "e", "m"):
            await press(app, pilot, key)
            assert " ".join(OVER.split()[:5]) in text(app), key
            await press(app, pilot, "right")
            assert " ".join(TODAY.split()[:5]) in text(app), key
            await press(app, pilot, "right")
            assert "Day 1, Thu 4 Mar" in text(app), key
            await press(app, pilot, "left", "left")
        await press(app, pilot, "f")
        assert len(app.screen_stack) == 1


async def test_the_next_need_passes_the_days_that_are_over() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "F", "j")
        assert app.first.pointed == ("day", 4)


async def test_the_map_goes_through_the_days_that_are_over() -> None:
    async with opened(size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "F", "g")
        assert "day 1, Thu 4 Mar: Athlone" in text(app)
        await press(app, pilot, "comma", "comma")
        assert "logged, Wed 3 Mar: Athlone" in text(app)


async def test_the_days_are_copied_with_those_past() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "tab", "F")
        assert len(app._table().rows) == 13


async def test_another_voyage_begins_whole() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "F")
        await app.reopen("other.toml")
        await settled(app, pilot)
        assert not app.desk.onward
        assert "from 4 Mar" not in text(app)


@pytest.mark.parametrize("path", ["logless.toml", "lacking.toml"])
async def test_why_one_voyage_has_no_log_to_go_on_from_is_not_told_of_another(path: str) -> None:
    worker = Waiting()
    async with opened(path, worker=worker) as (app, pilot):
        worker.late = ("onward",)
        await press(app, pilot, "F")
        await app.reopen("other.toml")
        await settled(app, pilot)
        worker.release()
        await settled(app, pilot)
        assert app.desk.trouble is None


class OnLog(OnFiles):
    """Real files, a real log and the real plan under one sky."""

    def start(self) -> None:
        from voyager.planner.kept import Kept

        super().start()
        self.kept = Kept()

    def _all(self, ticket: int, path: str, documents: Mapping[str, Any], start: str | None = None) -> None:
        from voyager.session.stages import stages

        self._run("plan", ticket, "problem", lambda: packed(next(
            stages(path, documents, members=(0,), start=start, kept=self.kept)
        )))  # fmt: skip


async def test_a_real_voyage_goes_on_from_its_log(tmp_path: Path) -> None:
    from voyager.session.log import import_file

    for name in ("spring.toml", "quillet.toml"):
        shutil.copy(ROUTES / name, tmp_path)
    path = str(tmp_path / "spring.toml")
    import_file(path, str(ROUTES / "measured" / "log.csv"))
    async with opened(path, worker=OnLog(), size=(120, 40)) as (app, pilot):
        await press(app, pilot, "tab", "F")
        shown, plan = text(app), app.desk.plan
        await press(app, pilot, "A", "z", "home")
        told, day = text(app), app.first.panes["actual"].result["days"][0]
    assert plan is not None
    assert "from 5 Mar 08:00 km 32, 73 %" in shown
    assert shown.count("■ logged") == 3
    assert plan["days"][0]["charge_start_kwh"] == pytest.approx(0.73 * plan["boat"]["capacity_kwh"], abs=1e-6)
    assert plan["days"][0]["start_km"] == 32.0
    assert plan["past"][0]["charge_end_kwh"] == pytest.approx(0.74 * plan["boat"]["capacity_kwh"], abs=1e-6)
    assert "Day 1, Tue 2 Mar" in told
    assert day["difference_kwh"] == pytest.approx(sum(day[f"{name}_kwh"] for name in PARTS), abs=1e-9)
    assert f"{abs(day['difference_kwh']):.1f} kWh less than planned" in told
