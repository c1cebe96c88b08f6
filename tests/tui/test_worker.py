"""The real worker process, on the pretended planner."""

import os
import time
from pathlib import Path

import pytest

from tests.tui import fake
from tests.tui.harness import FAKE, opened, press, process_worker, settled, text, until
from voyager.tui.worker import PlanWorker, Sources

PATIENCE_S = 20.0


class Heard(list):
    """Reports as they come in."""

    def __call__(self, kind, ticket, body) -> None:
        self.append((kind, ticket, body))

    def wait(self, kind: str):
        end = time.monotonic() + PATIENCE_S
        while time.monotonic() < end:
            for report in list(self):
                if report[0] == kind:
                    return report
            time.sleep(0.01)
        raise TimeoutError(f"no {kind} in {list(self)}")


@pytest.fixture
def desk(tmp_path: Path):
    worker, heard = process_worker(str(tmp_path / "planner.log"), grace_s=0.3), Heard()
    worker.start()
    worker.listen(heard)
    yield worker, heard
    worker.stop()


def with_sky(sky: str):
    read = fake.documents()
    return {**read, "voyage": {**read["voyage"], "sky": sky}}


def test_opened_then_planned(desk):
    worker, heard = desk
    worker.open("shannon.toml")
    ticket = worker.plan("shannon.toml", with_sky("good"))
    assert heard.wait("opened")[2]["documents"]["voyage"]["leg"][5]["speed_kmh"] == 5.2
    _, answered, plan = heard.wait("plan")
    assert (answered, plan["voyage"]["sky"]) == (ticket, "good")


def test_the_plan_under_one_sky_comes_before_its_odds(desk):
    worker, heard = desk
    ticket = worker.plan("shannon.toml", None)
    heard.wait("plan")
    told = [(kind, number, body["voyage"]["members"]) for kind, number, body in heard if kind != "progress"]
    assert told == [("draft", ticket, 0), ("better", ticket, 200), ("plan", ticket, 1000)]
    assert heard.wait("draft")[2]["odds"] is None
    assert heard.wait("better")[2]["odds"]["members"] == 200


def test_a_change_while_the_odds_are_computed_cancels_them(desk):
    worker, heard = desk
    worker.plan("patient.toml", with_sky("good"))
    heard.wait("draft")
    process = worker.process
    newest = worker.plan("shannon.toml", with_sky("middling"))
    assert heard.wait("plan")[1] == newest
    assert worker.process is process


def test_a_newer_plan_cancels_the_older(desk):
    worker, heard = desk
    worker.plan("slow.toml", with_sky("good"))
    heard.wait("progress")
    process = worker.process
    newest = worker.plan("shannon.toml", with_sky("middling"))
    assert heard.wait("plan")[1:] == (newest, heard.wait("plan")[2])
    assert [ticket for kind, ticket, _ in heard if kind == "plan"] == [newest]
    assert worker.process is process


def test_a_planner_that_will_not_stop_is_ended_with_its_process(desk):
    worker, heard = desk
    worker.plan("stubborn.toml", with_sky("good"))
    end = time.monotonic() + PATIENCE_S
    while not worker.running and time.monotonic() < end:
        time.sleep(0.01)
    process = worker.process
    newest = worker.plan("stubborn.toml", with_sky("middling"))
    assert heard.wait("plan")[1] == newest
    assert worker.process is not process


def test_problems_come_as_text(desk):
    worker, heard = desk
    worker.open("bad.toml")
    assert heard.wait("unopened")[2].splitlines()[0] == "bad.toml:4: departs: there is no 30 February"


def test_a_broken_sketch_is_told_by_its_faults_and_not_planned(desk):
    worker, heard = desk
    broken = fake.documents()
    del broken["voyage"]["leg"][2]
    ticket = worker.plan("shannon.toml", broken)
    _, number, faults = heard.wait("faults")
    assert (number, [(fault["number"], fault["key"]) for fault in faults]) == (ticket, [(3, "from")])
    worker.plan("shannon.toml", None)
    heard.wait("plan")
    assert [kind for kind, number, _ in heard if number == ticket] == ["faults"]


def test_a_question_is_answered_while_a_plan_is_made(desk):
    worker, heard = desk
    worker.plan("slow.toml", None)
    heard.wait("progress")
    worker.ask("map", "tests.tui.fake:slow_answer", (0.0, "coast"))
    assert heard.wait("answer")[2] == ("map", "coast")
    assert "plan" not in [kind for kind, *_ in heard]


def test_only_the_newest_question_of_a_name_is_answered(desk):
    worker, heard = desk
    for word in ("one", "two", "three"):
        worker.ask("map", "tests.tui.fake:slow_answer", (0.05, word))
    worker.ask("hours", "tests.tui.fake:slow_answer", (0.0, "other"))
    heard.wait("answer")
    end = time.monotonic() + PATIENCE_S
    while len(heard) < 2 and time.monotonic() < end:
        time.sleep(0.01)
    assert [body for _, _, body in heard] == [("map", "three"), ("hours", "other")]


def test_a_question_that_can_not_be_answered_says_why(desk):
    worker, heard = desk
    worker.ask("map", "tests.tui.fake:refused_answer", ())
    assert heard.wait("refused")[2] == ("map", "coast.toml:1: window: there is no such window")
    worker.ask("map", "tests.tui.fake:no_such_function", ())
    assert heard.wait("refused")[2][0] == "map"


def test_a_long_question_tells_how_far_it_is_keeps_none_waiting_and_is_left(desk):
    worker, heard = desk
    worker.watch("fits:next", "tests.tui.fake_fits:patient", ())
    assert heard.wait("share")[2] == ("fits:next", 0.5, "half")
    worker.ask("map", "tests.tui.fake:slow_answer", (0.0, "coast"))
    assert heard.wait("answer")[2] == ("map", "coast")
    worker.leave("fits:next")
    heard.clear()
    worker.watch("fits:other", "tests.tui.fake_fits:soon", ("done",))
    assert heard.wait("answer")[2] == ("fits:other", "done"), "the one that was left has ended"
    assert "refused" not in [kind for kind, *_ in heard]


def test_a_question_is_asked_again_of_the_process_that_takes_the_old_ones_place(desk):
    worker, heard = desk
    worker.plan("stubborn.toml", with_sky("good"))
    end = time.monotonic() + PATIENCE_S
    while not worker.running and time.monotonic() < end:
        time.sleep(0.01)
    worker.ask("map", "tests.tui.fake:slow_answer", (1.0, "coast"))
    worker.plan("stubborn.toml", with_sky("middling"))
    assert heard.wait("answer")[2] == ("map", "coast")
    assert heard.wait("plan")


def test_the_last_voyage_opened_is_the_one_that_is_told(desk):
    worker, heard = desk
    worker.open("bad.toml")
    worker.open("shannon.toml")
    assert heard.wait("opened")[2]["files"]["voyage"] == "shannon.toml"
    assert "unopened" not in [kind for kind, *_ in heard]


def test_a_fault_is_logged_with_its_trace_and_reported_without(desk):
    worker, heard = desk
    worker.plan("fault.toml", with_sky("good"))
    assert heard.wait("fault")[2] == "ZeroDivisionError: division by zero"
    assert "Traceback" in Path(worker.log).read_text()


def test_a_process_that_dies_is_replaced(desk):
    worker, heard = desk
    worker.plan("dies.toml", with_sky("good"))
    heard.wait("lost")
    newest = worker.plan("dies.toml", None)
    assert heard.wait("plan")[1] == newest


def test_a_process_that_can_not_run_is_given_up(tmp_path: Path):
    worker, heard = PlanWorker(Sources(*["no.such.module:call"] * 3)), Heard()
    worker.start()
    worker.listen(heard)
    worker.plan("shannon.toml", None)
    assert "No module named 'no'" in heard.wait("fault")[2]
    worker.stop()


def test_the_process_keeps_to_one_thread_and_gives_way(desk):
    worker, heard = desk
    worker.plan("shannon.toml", None)
    heard.wait("plan")
    environ = Path(f"/proc/{worker.process.pid}/stat")
    if not environ.exists():
        pytest.skip("no /proc here")
    nice = int(environ.read_text().rpartition(")")[2].split()[16])
    assert nice == os.nice(0) + 5


def test_no_process_is_left_after_stop(tmp_path: Path):
    worker = PlanWorker(FAKE)
    worker.start()
    process = worker.process
    worker.stop()
    assert not process.is_alive()


async def test_the_app_plans_in_the_process():
    async with opened(worker=process_worker()) as (app, pilot):
        await press(app, pilot, "s", "g")
        await settled(app, pilot)
        assert app.desk.plan["voyage"]["sky"] == "good"


async def test_a_dead_process_is_told_and_the_next_wish_works():
    async with opened("dies.toml", worker=process_worker()) as (app, pilot):
        await pilot.press("s", "g")
        await until(lambda: app.desk.trouble is not None)
        await settled(app, pilot)
        assert "process ended" in text(app)
        await press(app, pilot, "u")
        assert app.desk.trouble is None
