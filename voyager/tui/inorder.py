"""Keys keep their typed order however fast they come: each is let in when the one before has been acted on.

Textual handles a letter at once but a bound key only after it has bubbled to the app, so in a burst (lag, a remote
line) they would change places.
"""

import asyncio
import re
import time
from collections.abc import Awaitable, Callable
from typing import Any

from textual import events
from textual.app import App
from textual.message_pump import MessagePump

PATIENCE_S = 1.0
HOLD_S = 0.05
REPLY = "]11;rgb:"
REPLY_BODY = re.compile(r"\]11;rgb:[0-9a-fA-F/]{1,24}")
REPLY_ENDS = {"backslash", "ctrl+g"}


class KeyGate:
    """A queue before the app's own dispatch; ``after`` is called when a key has been acted on."""

    def __init__(
        self, app: "App[Any]", dispatch: Callable[[events.Event], Awaitable[None]], after: Callable[[], object]
    ) -> None:
        self.app, self.dispatch, self.after = app, dispatch, after
        self.queue: asyncio.Queue[events.Event] = asyncio.Queue()
        self.task: asyncio.Task[None] | None = None
        self.begun = 0.0

    @property
    def holds(self) -> bool:
        """Whether a key is being acted on: painting may wait a moment for all that comes of it."""
        return time.monotonic() - self.begun < HOLD_S

    def put(self, event: events.Event) -> None:
        """Take a key; the serving task starts with the first one."""
        self.queue.put_nowait(event)
        if self.task is None:
            self.task = asyncio.create_task(self._serve())

    async def settled(self) -> None:
        """Wait until every key taken so far has been acted on."""
        await self.queue.join()

    def close(self) -> None:
        """Stop serving."""
        if self.task is not None:
            self.task.cancel()

    async def _serve(self) -> None:
        while True:
            event = await self.queue.get()
            self.begun = time.monotonic()
            try:
                await self._one(event)
            finally:
                self.begun = 0.0
                self.after()
                self.queue.task_done()

    async def _one(self, event: events.Event) -> None:
        if not self.app.is_running or not self.app.screen_stack:
            return
        chain = self._chain()
        await self.dispatch(event)
        for pump in chain:
            await self._passed(pump)
        for pump in self._chain():
            await self._passed(pump)

    def _chain(self) -> list[MessagePump]:
        if not self.app.screen_stack:
            return []
        start = self.app.screen.focused or self.app.screen
        return [node for node in start.ancestors_with_self if isinstance(node, MessagePump)]

    async def _passed(self, pump: MessagePump) -> None:
        """Wait until the pump has worked off what it holds now."""
        done = asyncio.Event()
        if pump.is_running and pump.call_later(done.set):
            try:
                await asyncio.wait_for(done.wait(), PATIENCE_S)
            except TimeoutError:
                return


class ReplySieve:
    """Drops a terminal's late answer to the background question, which Textual would hand on as typed letters."""

    def __init__(self, armed: bool) -> None:
        self.armed, self.seen = armed, ""

    def drops(self, key: str, character: str | None) -> bool:
        """Whether this key continues such an answer, ``]11;rgb:`` and colours up to its end mark."""
        if not self.armed:
            return False
        if self.seen and key in REPLY_ENDS:
            self.armed = False
            return True
        text = self.seen + (character or "")
        fits = bool(character) and (REPLY.startswith(text) or bool(REPLY_BODY.fullmatch(text)))
        self.seen = text if fits else ""
        return fits
