"""Opens the app on the pretended planner, in the test's own process or with the real worker process."""

import asyncio
import threading
import time
from collections.abc import AsyncIterator, Callable, Mapping
from contextlib import asynccontextmanager
from datetime import UTC, date, datetime
from functools import partial
from importlib import import_module
from typing import Any

from textual import events
from textual.pilot import Pilot

from tests.tui import fake
from voyager.errors import Cancelled, VoyagerError
from voyager.tui.app import VoyagerApp
from voyager.tui.packed import packed
from voyager.tui.worker import MEMBERS, PlanWorker, Sources

FAKE = Sources("tests.tui.fake:opened", "tests.tui.fake:faults", "tests.tui.fake:stages")
PATIENCE_S = 10.0
PRETENDED = {
    "voyager.session.onward:onward": "tests.tui.fake_log:onward",
    "voyager.session.actual:actual": "tests.tui.fake_log:actual",
    "voyager.session.log_page:page": "tests.tui.fake_book:page",
    "voyager.session.log_page:understood": "tests.tui.fake_book:understood",
    "voyager.session.fit_sketch:fit_here": "tests.tui.fake_fits:fit_here",
    "voyager.session.fit_sketch:offered": "tests.tui.fake_fits:offered",
    "voyager.session.fit_sketch:draw": "tests.tui.fake_fits:draw",
    "voyager.session.worth:worth": "tests.tui.fake_fits:worth",
}
TODAY = date(2027, 3, 1)
NOW = datetime(2027, 3, 4, 14, 0, tzinfo=UTC)


class Nearby(PlanWorker):
    """The worker's interface without its process: a job runs in the test's own thread, or ``beside`` it."""

    beside = False
    pretended: Mapping[str, str] = PRETENDED
    """Questions that need a log or long, and who answers them here."""

    def start(self) -> None:
        self.asked: list[dict[str, object]] = []
        self.starts: list[str | None] = []
        self.held: list[tuple[str, int, Any]] = []
        self.read: Mapping[str, Any] = fake.documents()

    def listen(self, report: Callable[[str, int, Any], None]) -> None:
        self.report = report
        for one in self.held:
            report(*one)

    def open(self, path: str) -> None:
        self.opening += 1
        self._run("opened", self.opening, "unopened", lambda: self._read(path))

    def _read(self, path: str) -> Any:
        opened = self.files(path)
        self.read = opened["documents"]
        return opened

    def files(self, path: str) -> Any:
        """What the files hold: the pretended ones."""
        return fake.opened(path)

    def faults(self, path: str, documents: Mapping[str, Any]) -> Any:
        """What is wrong in a sketch."""
        return fake.faults(path, documents)

    def plan(self, path: str, documents: Mapping[str, Any] | None, start: str | None = None) -> int:
        self.ticket += 1
        ticket = self.ticket
        self.starts.append(start)
        self.asked.append({} if documents is None else fake.changes(documents))
        asked = self.read if documents is None else documents
        if self.beside or "slow" in path:
            threading.Thread(target=self._all, args=(ticket, path, asked, start), daemon=True).start()
        else:
            self._all(ticket, path, asked, start)
        return ticket

    def _all(self, ticket: int, path: str, documents: Mapping[str, Any], start: str | None = None) -> None:
        if found := self.faults(path, documents):
            self._say("faults", ticket, found)
            return
        watch: dict[str, Any] = {"progress": self._progress(ticket), "cancelled": lambda: self.ticket > ticket}
        watch |= {} if start is None else {"start": start}
        plans = fake.stages(path, documents, members=MEMBERS, **watch)
        for kind in ("draft", *["better"] * (len(MEMBERS) - 2), "plan"):
            if not self._run(kind, ticket, "problem", lambda: packed(next(plans))):
                return
            self._wait(ticket, kind)

    def _wait(self, ticket: int, kind: str) -> None:
        """Between one plan and a better one."""

    def ask(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        module, _, attribute = self.pretended.get(function, function).partition(":")
        call = getattr(import_module(module), attribute)
        try:
            self._say("answer", 0, (name, call(*arguments)))
        except VoyagerError as error:
            self._say("refused", 0, (name, str(error)))

    def watch(self, name: str, function: str, arguments: tuple[Any, ...]) -> None:
        module, _, attribute = self.pretended.get(function, function).partition(":")
        call = getattr(import_module(module), attribute)
        self.left = False

        def tell(share: float, text: str) -> None:
            self._say("share", 0, (name, share, text))

        def ask() -> None:
            found = partial(call, *arguments, progress=tell, cancelled=lambda: self.left)
            try:
                self._say("answer", 0, (name, found()))
            except Cancelled:
                return
            except VoyagerError as error:
                self._say("refused", 0, (name, str(error)))

        if self.beside:
            threading.Thread(target=ask, daemon=True).start()
        else:
            ask()

    def leave(self, name: str) -> None:
        self.left = True

    def cancel(self) -> None:
        self.ticket += 1

    def stop(self) -> None:
        self.ticket += 1

    def _progress(self, ticket: int) -> Callable[[float, str], None]:
        return lambda share, text: self._say("progress", ticket, (share, text))

    def _run(self, kind: str, ticket: int, refused: str, call: Callable[[], Any]) -> bool:
        """Whether it went well."""
        try:
            self._say(kind, ticket, call())
            return True
        except Cancelled:
            return False
        except VoyagerError as error:
            self._say(refused, ticket, str(error))
        except ZeroDivisionError as error:
            self._say("fault", ticket, f"ZeroDivisionError: {error}")
        return False

    def _say(self, kind: str, ticket: int, body: Any) -> None:
        if kind not in {"opened", "unopened", "answer", "refused", "share"} and ticket != self.ticket:
            return
        if self.report is None:
            self.held.append((kind, ticket, body))
        else:
            self.report(kind, ticket, body)


class OnFiles(Nearby):
    """Real files, whose plans are pretended."""

    pretended: Mapping[str, str] = {}

    def files(self, path: str) -> Any:
        from voyager.session.sketch.opened import opened

        return opened(path)

    def faults(self, path: str, documents: Mapping[str, Any]) -> Any:
        from voyager.session.sketch.faults import faults

        return faults(path, documents)


class Held(Nearby):
    """Computes no odds before they are let go; plans no longer wanted end by themselves."""

    beside = True

    def __init__(self) -> None:
        super().__init__()
        self.let_go = threading.Event()

    def _wait(self, ticket: int, kind: str) -> None:
        while kind == "draft" and self.ticket == ticket and not self.let_go.wait(0.01):
            pass


@asynccontextmanager
async def opened(
    path: str = "shannon.toml",
    size: tuple[int, int] = (80, 24),
    theme: str = "voyager-dark",
    worker: PlanWorker | None = None,
    wait: bool = True,
    notices: bool = False,
    today: date = TODAY,
) -> AsyncIterator[tuple[VoyagerApp, "Pilot[Any]"]]:
    """The app with its first plan on screen."""
    worker = worker or Nearby()
    worker.start()
    try:
        worker.open(path)
        app = VoyagerApp(path, worker, theme, today=lambda: today, now=lambda: NOW)
        app.expect_first(worker.plan(path, None))
        app.animation_level = "none"
        async with app.run_test(size=size, tooltips=False, notifications=notices) as pilot:
            if wait:
                await settled(app, pilot)
            yield app, pilot
    finally:
        worker.stop()


async def settled(app: VoyagerApp, pilot: "Pilot[Any]") -> None:
    """All keys acted on, all plans in, all drawn."""
    await app.gate.settled()
    await pilot.pause()
    await until(lambda: not app.is_running or not (app.desk.ticket or app.desk.opened is None or app.saving))
    await app.gate.settled()
    await pilot.pause()
    await pilot.pause()


async def until(condition: Callable[[], bool]) -> None:
    """Wait for a condition, fail when it does not come true."""
    end = time.monotonic() + PATIENCE_S
    while not condition():
        if time.monotonic() > end:
            raise TimeoutError("it did not come true")
        await asyncio.sleep(0.01)


async def press(app: VoyagerApp, pilot: "Pilot[Any]", *keys: str) -> None:
    """Keys as a person types them, and what comes of them drawn."""
    await burst(app, *keys)
    await settled(app, pilot)


async def burst(app: VoyagerApp, *keys: str) -> None:
    """Keys all at once through the driver, as a paste or a lagging line brings them; waits until all came in."""
    came: list[object] = []
    put = app.gate.put
    app.gate.put = lambda event: (came.append(event), put(event))[1]  # type: ignore[method-assign]
    driver = app._driver
    if driver is None:
        raise RuntimeError("the app is not running")
    for key in keys:
        driver.send_message(events.Key(key, " " if key == "space" else key if len(key) == 1 else None))
    await until(lambda: len(came) == len(keys))


def text(app: VoyagerApp) -> str:
    """What a person reads."""
    return "\n".join(strip.text.rstrip() for strip in app.screen._compositor.render_strips()) + "\n"


def process_worker(log: str | None = None, grace_s: float = 2.0) -> PlanWorker:
    """The real worker process on the pretended planner."""
    return PlanWorker(FAKE, log, grace_s)
