"""A server in the test's own loop with the pretended app behind it, a client that says only what it is told to."""

import asyncio
import contextlib
import json
import os
import sys
import time
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import Any

from aiohttp import ClientResponse, ClientSession, ClientWebSocketResponse, DummyCookieJar, WSMsgType, web

from voyager.tui.serve import listening
from voyager.tui.web.server import ScreenServer

PATIENCE_S = 15.0


@dataclass
class Served:
    """``said``: last words of apps that failed; ``secret``: the cookie's, once the token was brought."""

    server: ScreenServer
    client: ClientSession
    runner: web.AppRunner
    said: list[str]
    secret: str = ""

    @property
    def root(self) -> str:
        return self.server.guard.address.partition("/?")[0]

    @property
    def origin(self) -> dict[str, str]:
        return {"Origin": self.root}

    @property
    def cookie(self) -> dict[str, str]:
        return {"Cookie": f"{self.server.guard.cookie}={self.secret}"} if self.secret else {}

    async def get(self, path: str, method: str = "GET", **headers: str) -> ClientResponse:
        """The answer, read whole; a ``Host`` among the headers takes the place of the right one."""
        named = {name.replace("_", "-"): text for name, text in headers.items()}
        async with self.client.request(
            method, self.root + path, headers={**self.cookie, **named}, allow_redirects=False
        ) as answer:
            await answer.read()
            return answer

    async def sign_in(self) -> None:
        answer = await self.get("/" + self.server.guard.address.partition("/?")[2].join(["?", ""]))
        assert answer.status == 303
        self.secret = answer.cookies[self.server.guard.cookie].value

    async def window(self, query: str = "?width=90&height=30", look: str = "dark") -> ClientWebSocketResponse:
        return await self.client.ws_connect(f"{self.root}/ws/{look}{query}", headers={**self.cookie, **self.origin})


@asynccontextmanager
async def served(*words: str, most: int = 3, patience_s: float = 5.0, signed_in: bool = True) -> AsyncIterator[Served]:
    """A server of the pretended app that behaves as ``words`` say."""
    said: list[str] = []
    command = [sys.executable, "-m", "tests.tui.serve.tiny", *words]
    with listening(0) as taken:
        server = ScreenServer(command, taken.getsockname()[1], said.append, most, patience_s)
        runner = web.AppRunner(await server._make_app(), access_log=None, shutdown_timeout=1)
        await runner.setup()
        await web.SockSite(runner, taken).start()
        async with ClientSession(cookie_jar=DummyCookieJar()) as client:
            one = Served(server, client, runner, said)
            try:
                if signed_in:
                    await one.sign_in()
                yield one
            finally:
                await runner.cleanup()


async def drawn(window: ClientWebSocketResponse) -> Any:
    """The next thing that the pretended app draws."""
    message = await window.receive(timeout=PATIENCE_S)
    assert message.type == WSMsgType.BINARY, message
    return json.loads(message.data)


async def last_code(window: ClientWebSocketResponse) -> int | None:
    """The code with which the server closes a socket."""
    while not window.closed:
        await window.receive(timeout=PATIENCE_S)
    return window.close_code


def lives(pid: int) -> bool:
    """Whether a process is there and no mere entry that waits to be read."""
    try:
        with open(f"/proc/{pid}/stat") as entry:
            return entry.read().rpartition(")")[2].split()[0] not in "ZX"
    except FileNotFoundError:
        return False
    except OSError:
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, 0)
            return True
        return False


def below(pid: int) -> Iterator[int]:
    """All processes that a process started, theirs too."""
    parents: dict[int, list[int]] = {}
    for name in filter(str.isdecimal, os.listdir("/proc")):
        with contextlib.suppress(OSError), open(f"/proc/{name}/stat") as entry:
            parents.setdefault(int(entry.read().rpartition(")")[2].split()[1]), []).append(int(name))
    waiting = [pid]
    while waiting:
        children = parents.get(waiting.pop(), [])
        waiting.extend(children)
        yield from children


async def gone(*pids: int) -> bool:
    """Whether all of these processes end soon."""
    end = time.monotonic() + PATIENCE_S
    while any(map(lives, pids)) and time.monotonic() < end:
        await asyncio.sleep(0.02)
    return not any(map(lives, pids))
