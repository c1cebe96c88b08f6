"""The log page: the table, the line that is typed, what comes of it, files brought in."""

from collections.abc import Sequence
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from rich.cells import cell_len

from tests.session.voyages import write
from tests.tui import fake
from tests.tui.fake_book import ROWS, row, typed
from tests.tui.harness import NOW, Nearby, OnFiles, opened, press, settled, text, until
from voyager.session import log, log_page
from voyager.tui import copying, log_now, log_view
from voyager.tui.ascii import plain
from voyager.tui.desk import Desk
from voyager.tui.packed import packed
from voyager.tui.screens.note import NoteScreen
from voyager.tui.units import Units
from voyager.tui.worker import PlanWorker

SEA = Units("kn", "NM", "°F")
PLAN = packed(fake.plan("shannon.toml"))


def flat(app: Any) -> str:
    """What a person reads, on one line, without frames."""
    return " ".join(text(app).translate(str.maketrans("│╭╮╰╯─", "      ")).split())


def told(app: Any) -> str:
    """The notices that stand."""
    return "\n".join(one.message for one in app._notifications)


# the lines


@pytest.mark.parametrize("width", [40, 58, 76, 78, 99, 100, 118])
def test_headings_and_entries_are_as_wide_as_the_table(width: int) -> None:
    lines = [log_view.head(width), *(log_view.line(one, width) for one in ROWS)]
    assert {cell_len(line) for line in lines} == {width}
    assert all("?" not in plain(line) for line in lines)


def test_what_stands_in_a_line() -> None:
    assert " ".join(log_view.head(76).split()) == "Time Place km % kWh Sun Shore In Out Remark"
    found = " ".join(log_view.line(ROWS[5], 76).split())
    assert found == "2 Mar 16:00 Lanesborough 49.0 88 24.6 2.2 4.4 14 6 on the plu…"
    wide = " ".join(log_view.line(ROWS[1], 118).split())
    assert wide == "Mon 1 Mar 15:30 Rooskey 24.0 81 22.7 3.1 2.6 0.8 15 7"
    assert "53.42, -7.94" in log_view.line(ROWS[6], 76)


def test_the_day_is_said_once() -> None:
    assert log_view.line(ROWS[1], 76, former=ROWS[0]).split()[:2] == ["15:30", "Rooskey"]
    assert log_view.line(ROWS[3], 76, former=ROWS[2]).split()[:3] == ["2", "Mar", "08:00"]


def test_a_column_stands_under_its_heading() -> None:
    for width in (76, 118):
        head, line = log_view.head(width), log_view.line(ROWS[5], width)
        for name, value in (("km", "49.0"), ("%", "88"), ("kWh", "24.6"), ("Shore", "4.4"), ("Out", "6")):
            assert line[: head.index(name) + len(name)].endswith(f" {value}"), name


@pytest.mark.parametrize("width", [50, 58, 64, 70])
def test_a_narrow_table_leaves_whole_columns_away_and_cuts_no_figure(width: int) -> None:
    head = log_view.head(width)
    assert set(head.split()) <= set(log_view.head(76).split()), "no name of a column is cut"
    for name, value in (("Place", ""), ("km", "49.0"), ("%", "88")):
        assert name in head
        assert log_view.line(ROWS[5], width)[: head.index(name) + len(name)].endswith(value), name


def test_units_as_asked_for() -> None:
    assert "NM" in log_view.head(76, SEA)
    shown = log_view.line(ROWS[5], 76, SEA).split()
    assert shown[4:6] == ["26.5", "88"]
    assert shown[9:11] == ["57", "43"]


def test_the_foot_says_what_the_table_has_cut_or_left_out() -> None:
    foot = " ".join(line for _, line in log_view.foot(ROWS[2], 60))
    assert "the pump hums since then and runs warm · noted by voyager log" in foot
    foot = " ".join(line for _, line in log_view.foot(ROWS[1], 200, SEA))
    assert foot == (
        "Mon 1 Mar 2027 15:30, Rooskey, NM 13.0, 81 % (22.7 kWh) "
        "sun 3.10 kWh · motor 2.60 kWh · hotel 0.80 kWh · inside 59.0 °F · outside 44.6 °F · noted here"
    )
    assert "53.6764, -7.9912 · from track.gpx" in [line for _, line in log_view.about(ROWS[4])]


def test_without_sound_files_an_entry_is_told_in_utc() -> None:
    bare = {**ROWS[0], "time_local": None, "charge_percent": None}
    assert "08:00Z" in log_view.line(bare, 76)
    assert log_view.title(bare) == "Mon 1 Mar 2027 08:00 UTC, Carrick-on-Shannon, km 0.0, 25.2 kWh"


def test_an_example_has_a_place_of_the_voyage() -> None:
    assert log_view.example(["", "Beck"]) == "14:00 Beck 61% sun 3.2 in 17 out 4: blocked filter"
    assert "Kingston" in log_view.example([])


# where the plan has the boat


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (-48, "By the plan the boat leaves Carrick-on-Shannon on Mon 1 Mar 2027."),
        (0.2, "By the plan: Day 1, Mon 1 Mar, at Carrick-on-Shannon, km 0.0"),
        (2.5, "By the plan: Day 1, Mon 1 Mar, under way to Rooskey"),
        (20, "By the plan: Day 1, Mon 1 Mar, at Rooskey, km 24.0"),
        (12 * 24 + 3, "By the plan the boat lay at Kilrush on Fri 12 Mar 2027, its last day."),
    ],
)
def test_where_the_plan_has_the_boat_now(hours: float, told: str) -> None:
    starts = datetime.fromisoformat(PLAN["days"][0]["starts_utc"])
    assert log_now.planned(PLAN, starts + timedelta(hours=hours)).startswith(told)


def test_where_the_plan_has_the_boat_in_its_units_and_by_the_clock() -> None:
    found = log_now.planned(PLAN, datetime.fromisoformat(PLAN["days"][2]["starts_utc"]), SEA)
    assert "NM 26.5" in found
    assert found.endswith("% by 09:00.")
    assert log_now.planned(None, NOW) == ""


# the table on the screen


async def test_the_newest_entry_is_last_and_the_cursor_on_it() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "L")
        table = app.first.panes["log"].table
        assert table.row["ident"] == 7
        await press(app, pilot, "up")
        assert "Tue 2 Mar 2027 16:00, Lanesborough, km 49.0, 88 % (24.6 kWh)" in flat(app)
        await press(app, pilot, "home", "pageup", "up")
        assert table.cursor == 0
        await press(app, pilot, "i")
        assert "Carrick-on-Shannon" in text(app)
        await press(app, pilot, "escape", "y")
        assert "the pump hums since then and runs warm" in app.clipboard
        await press(app, pilot, "f12")
        assert app.first.opened is None


@pytest.mark.long
async def test_a_long_log_shows_what_is_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    many = [row(at, f"2027-03-{1 + at // 24:02}T{at % 24:02}:00", km=float(at)) for at in range(700)]
    monkeypatch.setattr("tests.tui.fake_book.ROWS", many)
    async with opened() as (app, pilot):
        await press(app, pilot, "L")
        assert "699.0" in text(app)
        assert "Time " in text(app)
        await press(app, pilot, "home")
        assert "  1 Mar 00:00" in text(app)
        assert "699.0" not in text(app)
        for _ in range(3):
            await press(app, pilot, "pagedown")
        table = app.first.panes["log"].table
        assert f"{table.cursor}.0" in text(app)
        assert "Time " in text(app)


@pytest.mark.long
async def test_a_click_points_and_a_second_one_changes() -> None:
    async with opened() as (app, pilot):
        await press(app, pilot, "L")
        await pilot.click("#log-list", offset=(5, 2))
        assert app.first.panes["log"].table.cursor == 1
        await pilot.click("#log-list", offset=(5, 2))
        await settled(app, pilot)
        assert isinstance(app.screen, NoteScreen)
        assert app.screen.field.value == "2027-03-01 15:30 Rooskey 81% sun 3.1 motor 2.6 hotel 0.8 in 15 out 7"


@pytest.mark.long
async def test_no_log_yet_says_how_to_begin_one() -> None:
    async with opened("logless.toml") as (app, pilot):
        await press(app, pilot, "L")
        assert "No entries yet. n notes a reading, such as: 14:00 Rooskey 61%" in flat(app)
        await press(app, pilot, "delete", "u")
        await press(app, pilot, "enter")
        assert isinstance(app.screen, NoteScreen)


@pytest.mark.long
async def test_a_damaged_log_is_said_in_place() -> None:
    async with opened("damaged.toml") as (app, pilot):
        await press(app, pilot, "L")
        assert "✗ damaged.log.sqlite is damaged" in text(app)


async def test_a_demo_says_to_save_it_first_whatever_is_tried() -> None:
    async with opened("demo.toml") as (app, pilot):
        await press(app, pilot, "L")
        assert "save it under another name first" in flat(app)
        await press(app, pilot, "enter", "delete", "I")
        assert app.screen is app.first
        await press(app, pilot, "n")
        assert "✗ demo.toml comes with voyager and has no log" in flat(app)


class Asleep(Nearby):
    """Reads no log before it is woken."""

    awake = False

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        if self.awake or not name.startswith("log"):
            super().ask(name, function, arguments)


@pytest.mark.long
async def test_a_log_that_takes_its_time_is_waited_for_and_holds_nothing_up() -> None:
    async with opened(worker=Asleep()) as (app, pilot):
        await press(app, pilot, "L")
        assert "reading the log …" in text(app)
        await until(lambda: any(sign in str(app.first.panes["log"].border_title) for sign in "◐◓◑◒|/\\"))
        await press(app, pilot, "escape")
        assert app.first.opened is None


def test_the_table_is_copied_whole() -> None:
    table = copying.log(replace(Desk("x.toml"), units=SEA), ROWS)
    assert len(table.rows) == len(ROWS)
    assert table.rows[2][table.headings.index("note")] == ROWS[2]["note"]
    assert table.rows[1][table.headings.index("inside [°F]")] == pytest.approx(59.0)


# on real files


@pytest.fixture
def voyage(tmp_path: Path) -> str:
    """Ashby, Beck at km 12, Croft at km 30; 20 kWh."""
    return write(tmp_path)


def on(voyage: str, worker: PlanWorker | None = None) -> AbstractAsyncContextManager[Any]:
    return opened(voyage, worker=worker or OnFiles(), notices=True)


def keys(line: str) -> Sequence[str]:
    return [*typed(line), "enter"]


async def test_one_key_a_line_and_it_stands_in_the_log_and_its_plan_with_it(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "alt+n", *typed("13:00 Beck 61%"))
        assert "4 Mar 13:00 Beck 12.0 61 12.2" in flat(app)
        assert not log.entries(voyage)
        await press(app, pilot, "enter")
        assert app.screen is app.first
        assert "Noted: Thu 4 Mar 2027 13:00, Beck, km 12.0, 61 % (12.2 kWh)" in told(app)
        days = app.desk.plan["days"]
    (entry,) = log.entries(voyage)
    assert (entry["time_utc"], entry["place"], entry["charge_kwh"]) == ("2027-03-04T13:00:00Z", "Beck", 12.2)
    assert _kept_days(voyage) == [[day["date"] for day in days]]


def _kept_days(voyage: str) -> list[list[str]]:
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as book:
        assert all(len(day["hours"]) == 24 for plan in book.plans() for day in plan.days)
        return [[day["date"] for day in plan.days] for plan in book.plans()]


@pytest.mark.long
async def test_the_plan_is_kept_once_and_never_a_former_one(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "n", *keys("61%"))
        await press(app, pilot, "right_square_bracket")
        await press(app, pilot, "n", *keys("60%"))
    assert len(_kept_days(voyage)) == 1


@pytest.mark.long
async def test_an_empty_line_is_not_kept(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "n", "enter")
        assert "type what you know, or leave" in flat(app)
        await press(app, pilot, "escape")
    assert not log.entries(voyage)


async def test_what_is_not_understood_is_said_and_offered_again_once_left(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "n", *keys("61% Be"))
        assert '✗ "Be" is no place of the voyage; did you mean Beck?' in flat(app), "the line stands above already"
        assert "61 12.2" in flat(app)
        assert not log.entries(voyage)
        await press(app, pilot, "escape")
        assert app.screen is app.first
        await press(app, pilot, "n")
        assert app.screen.field.value == "61% Be"
        await press(app, pilot, *keys("ck"))
        assert log.entries(voyage)[0]["place"] == "Beck"
        await press(app, pilot, "n")
        assert app.screen.field.value == ""


@pytest.mark.long
async def test_a_line_half_typed_outlasts_a_crash(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "n", *typed("61% Be"))
        app.journal.close(clean=False)
        app.journal = None
    async with on(voyage) as (app, pilot):
        assert "a text half typed" in flat(app)
        await press(app, pilot, "t")
        await until(lambda: isinstance(app.screen, NoteScreen) and app.screen.is_mounted)
        assert app.screen.field.value == "61% Be"


def fake_documents(voyage: str) -> Any:
    from voyager.session.sketch.opened import opened as read

    return read(voyage)["documents"]


@pytest.mark.long
async def test_a_change_left_leaves_the_entry_as_it_was(voyage: str) -> None:
    log_page.kept(voyage, fake_documents(voyage), "14:00 Beck 61%", NOW, None)
    before = log.entries(voyage)
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "enter", "backspace", "escape", "enter")
        assert app.screen.field.value == "2027-03-04 14:00 Beck 61%"
        await press(app, pilot, "escape", "n")
        assert app.screen.field.value == ""
    assert log.entries(voyage) == before


async def test_what_is_changed_or_taken_out_comes_back_in_turn(voyage: str) -> None:
    for line in ("10:00 10%", "11:00 11%", "12:00 12% sun 3.2: filter"):
        log_page.kept(voyage, fake_documents(voyage), line, NOW, None)
    before = log.entries(voyage)
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "enter", *["backspace"] * len(": filter"), "enter")
        assert log.entries(voyage)[-1] == {**before[-1], "note": ""}
        assert "u brings it back as it was" in flat(app)
        assert not told(app), "a notice would lie over the line that says so"
        await press(app, pilot, "delete", "ctrl+x")
        assert log.entries(voyage) == before[:1]
        assert "Taken out: Thu 4 Mar 2027 11:00, 11 %" in flat(app)
        await press(app, pilot, "u")
        assert log.entries(voyage) == before[:2]
        await press(app, pilot, "ctrl+z", "u")
        assert log.entries(voyage) == before
        await press(app, pilot, "u")
        assert "Nothing to take back" in told(app)


@pytest.mark.long
async def test_undo_elsewhere_is_of_the_voyage(voyage: str) -> None:
    log_page.kept(voyage, fake_documents(voyage), "10:00 10%", NOW, None)
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "delete", "escape", "u")
        assert not log.entries(voyage)


@pytest.mark.long
async def test_beside_the_line_stands_what_the_plan_has_for_the_time_typed(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "n", *typed("2 Mar 13:00 Beck 61%"))
        assert "By the plan: Day 2, Tue 2 Mar, " in flat(app)


@pytest.mark.parametrize("size", [(60, 15), (80, 24)])
async def test_a_low_terminal_shows_all_that_is_said_of_a_line(voyage: str, size: tuple[int, int]) -> None:
    async with on(voyage) as (app, pilot):
        await pilot.resize_terminal(*size)
        await press(app, pilot, "n")
        assert "Such as: " in flat(app)
        assert "By the plan: " in flat(app)
        await press(app, pilot, *typed("13:00 Beck 61% in 17"))
        assert "inside 17.0 °C" in flat(app)
        assert "By the plan: " in flat(app)


async def test_in_the_open_log_the_foot_says_what_was_noted_and_a_notice_only_what_is_odd(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "n", *keys("4 Mar 2027 13:00 Beck 61%"))
        assert "Noted. Thu 4 Mar 2027 13:00, Beck, km 12.0, 61 % (12.2 kWh)" in flat(app)
        assert not told(app)
        await press(app, pilot, "n", *keys("14 Feb 13:00 60%"))
        assert told(app) == "! Sun 14 Feb 2027 13:00 is before the voyage departs, on Mon 1 Mar 2027"


async def test_the_cursor_goes_to_what_was_noted(voyage: str) -> None:
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "n", *keys("12:00 Beck 61%"))
        assert "12:00 Beck" in flat(app)
        assert app.first.panes["log"].table.row["place"] == "Beck"
        await press(app, pilot, "n", *keys("11:00 60%"))
        assert app.first.panes["log"].table.row["charge_percent"] == 60.0


class Falls(OnFiles):
    """Can't write."""

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        if name.startswith(("note:keep", "log:remove")):
            self._say("refused", 0, (name, "the disk is full"))
        else:
            super().ask(name, function, arguments)


@pytest.mark.long
async def test_a_log_that_cannot_be_written_loses_nothing(voyage: str) -> None:
    log_page.kept(voyage, fake_documents(voyage), "10:00 10%", NOW, None)
    async with on(voyage, Falls()) as (app, pilot):
        await press(app, pilot, "n", *keys("61%"))
        assert "✗ the disk is full" in flat(app)
        assert app.screen.field.value == "61%"
        await press(app, pilot, "escape", "L", "delete")
        assert "✗ the disk is full" in flat(app)
        assert "4 Mar 10:00" in flat(app)


class Lost(OnFiles):
    """Its process ends while a line is on its way, until it is ``whole``."""

    whole = False

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        if name.startswith("note:keep") and not self.whole:
            log_page.kept(*arguments)
            self._say("lost", self.ticket, None)
        else:
            super().ask(name, function, arguments)


@pytest.mark.long
async def test_a_line_on_its_way_when_the_process_ended_is_kept_once(voyage: str) -> None:
    worker = Lost()
    async with on(voyage, worker) as (app, pilot):
        await press(app, pilot, "n", *keys("61%"))
        assert "process ended" in flat(app)
        assert app.screen.field.value == "61%"
        worker.whole = True
        await press(app, pilot, "enter")
        assert app.screen is app.first
    assert len(log.entries(voyage)) == 1


# files


CSV = "time,place,charge_percent,solar_kwh\n2027-03-02T14:00Z,Beck,50,10\n2027-03-03T14:00Z,Beck,55,12.5\n"


@pytest.mark.parametrize(
    ("answer", "solar"), [("a", [10.0, 12.5]), pytest.param("m", [None, 2.5], marks=pytest.mark.long)]
)
async def test_a_csv_is_brought_in_as_amounts_or_meters(voyage: str, answer: str, solar: list[float]) -> None:
    Path(voyage).with_name("readings.csv").write_text(f"{CSV}2027-03-03T14:00Z,Beck,55,12.5\n", encoding="utf-8")
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "I", *typed("readings.csv"), "enter", answer)
        assert "readings.csv: 2 entries of 3 rows" in flat(app)
        assert "4: " in flat(app)
        await press(app, pilot, "escape")
        assert "3 Mar 14:00 Beck" in flat(app)
    assert [one["solar_kwh"] for one in log.entries(voyage)] == solar
    assert len(_kept_days(voyage)) == 1


@pytest.mark.long
async def test_a_file_that_cannot_be_read_says_why_and_changes_nothing(voyage: str) -> None:
    Path(voyage).with_name("readings.csv").write_text("time,placce\n2027-03-02T14:00Z,Beck\n", encoding="utf-8")
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "I", *typed("readings.csv"), "enter", "a")
        assert "Not imported" in flat(app)
        assert "placce" in flat(app)
        await press(app, pilot, "escape", "I", "escape")
        assert app.screen is app.first
    assert not log.entries(voyage)


@pytest.mark.long
async def test_a_track_is_brought_in_without_a_question(voyage: str) -> None:
    from tests.files.gpx_files import gpx, track

    Path(voyage).with_name("day.gpx").write_text(gpx(track([])), encoding="utf-8")
    async with on(voyage) as (app, pilot):
        await press(app, pilot, "L", "I", *typed("day.gpx"), "enter")
        assert "mported" in flat(app)
