"""The log page while its answers are late, refused or lost: nothing typed or taken out is lost, no log mistaken."""

import os
from contextlib import AbstractAsyncContextManager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.session.voyages import write
from tests.tui.fake_book import typed
from tests.tui.harness import NOW, opened, press, settled, until
from tests.tui.test_log import fake_documents, flat, keys, told
from tests.tui.waiting import WaitingOnFiles
from voyager.session import log, log_page
from voyager.tui.screens.note import NoteScreen


@pytest.fixture
def voyage(tmp_path: Path) -> str:
    """As in ``test_log``, one entry in its log."""
    path = write(tmp_path)
    log_page.kept(path, fake_documents(path), "10:00 10%", NOW, None)
    return path


@pytest.fixture
def other(tmp_path: Path) -> str:
    """Another voyage, without a log."""
    (tmp_path / "other").mkdir()
    return write(tmp_path / "other")


def on(voyage: str, worker: WaitingOnFiles) -> AbstractAsyncContextManager[Any]:
    return opened(voyage, worker=worker, notices=True)


def logs(voyage: str) -> list[str]:
    """The log files beside a voyage."""
    return [name for name in os.listdir(os.path.dirname(voyage)) if ".log." in name]


async def test_what_was_refused_can_be_taken_out_and_brought_back_later(voyage: str) -> None:
    worker, before = WaitingOnFiles(), log.entries(voyage)
    async with on(voyage, worker) as (app, pilot):
        worker.no = ("log:remove",)
        await press(app, pilot, "L", "delete")
        assert "✗ the disk is full" in flat(app)
        await press(app, pilot, "u")
        assert "Nothing to take back" in told(app), "it was not taken out"
        worker.no = ("log:back",)
        await press(app, pilot, "delete", "u")
        assert "✗ the disk is full" in flat(app)
        assert not log.entries(voyage)
        worker.no = ()
        await press(app, pilot, "u")
    assert log.entries(voyage) == before


@pytest.mark.long
async def test_what_was_asked_of_a_process_that_ended_stands_as_it_was(voyage: str) -> None:
    worker = WaitingOnFiles()
    async with on(voyage, worker) as (app, pilot):
        worker.late = ("log:page",)
        await press(app, pilot, "L")
        assert "reading the log …" in flat(app)
        worker.fall()
        await settled(app, pilot)
        assert "✗ the planner's process ended before the log answered" in flat(app)
        assert not worker.waits, "what may have ended it is not asked again at once"
        worker.late = ("log:remove",)
        await press(app, pilot, "L", "L")
        await settled(app, pilot)
        await press(app, pilot, "delete")
        assert "4 Mar 10:00" not in flat(app)
        worker.fall()
        await settled(app, pilot)
        assert "4 Mar 10:00" in flat(app)


async def test_what_is_typed_while_a_line_is_on_its_way_is_offered_again(voyage: str) -> None:
    worker = WaitingOnFiles()
    async with on(voyage, worker) as (app, pilot):
        worker.late = ("note:keep",)
        await press(app, pilot, "n", *keys("11:00 61%"))
        worker.no = ("note:understood",)
        await press(app, pilot, *typed(" sun 3"))
        assert "✗ the disk is full" in flat(app)
        worker.no = ()
        worker.release()
        await settled(app, pilot)
        assert app.screen is app.first, "a line that can't be read is still on its way"
        await press(app, pilot, "n")
        assert app.screen.field.value == "11:00 61% sun 3"
    assert [one["charge_percent"] for one in log.entries(voyage)] == [10.0, 61.0]


async def test_nothing_of_one_voyages_log_comes_into_that_of_another(voyage: str, other: str) -> None:
    worker = WaitingOnFiles()
    async with on(voyage, worker) as (app, pilot):
        app.desk = replace(app.desk, finished=None)
        worker.late = ("note:keep",)
        await press(app, pilot, "n", *keys("11:00 61%"))
        await press(app, pilot, "escape")
        await press(app, pilot, "L", "enter", *typed(" in 17"), "enter", "escape")
        await press(app, pilot, "n", *typed("12:00 6"), "escape")
        worker.late = ()
        for one in list(worker.waits)[:1]:
            worker.ask(*one)
        await settled(app, pilot)
        assert app.plan_due, "the plan is kept once it is finished"
        await app.reopen(other)
        await settled(app, pilot)
        for one in worker.waits[1:]:
            worker.ask(*one)
        await settled(app, pilot)
        assert log.entries(voyage)[0]["inside_c"] == 17.0
        await press(app, pilot, "u")
        assert "Nothing to take back" in told(app)
        await press(app, pilot, "n")
        assert app.screen.field.value == ""
        await press(app, pilot, "escape")
        await app.reopen(voyage)
        await settled(app, pilot)
        await press(app, pilot, "n")
        assert app.screen.field.value == "12:00 6", "it waits for its own voyage"
    assert not logs(other)


@pytest.mark.long
async def test_a_half_typed_reading_outlasts_a_change_and_a_crash(voyage: str) -> None:
    async with on(voyage, WaitingOnFiles()) as (app, pilot):
        await press(app, pilot, "n", *typed("61% Be"), "escape")
        await press(app, pilot, "L", "enter", *typed(" in 17"), "escape")
        app.journal.close(clean=False)
        app.journal = None
    async with on(voyage, WaitingOnFiles()) as (app, pilot):
        await press(app, pilot, "t")
        await until(lambda: isinstance(app.screen, NoteScreen) and app.screen.is_mounted)
        assert app.screen.field.value == "61% Be"


@pytest.mark.parametrize("save", [False, True])
@pytest.mark.long
async def test_a_half_typed_reading_outlasts_saving(voyage: str, save: bool) -> None:
    async with on(voyage, WaitingOnFiles()) as (app, pilot):
        await press(app, pilot, "n", *typed("61% Be"), "escape", "right_square_bracket")
        if save:
            await press(app, pilot, "ctrl+s")
            await until(lambda: not app.desk.unsaved)
            await settled(app, pilot)
        app.journal.close(clean=False)
        app.journal = None
    async with on(voyage, WaitingOnFiles()) as (app, pilot):
        assert "a text half typed" in flat(app)


async def test_leaving_asks_where_a_reading_is_half_typed(voyage: str) -> None:
    async with on(voyage, WaitingOnFiles()) as (app, pilot):
        await press(app, pilot, "n", *typed("61% Be"), "escape", "q")
        assert "A reading is half typed and not in the log: 61% Be" in flat(app)
        await press(app, pilot, "o")
        assert app.screen.field.value == "61% Be"
        await press(app, pilot, "escape", "q", "g")
        assert app.screen is app.first
        await press(app, pilot, "q", "l")
        await until(lambda: not app.is_running)
    assert len(log.entries(voyage)) == 1
