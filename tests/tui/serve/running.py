"""``voyager serve`` as a process of its own, and headless Chromium driven over its debugging socket."""

import asyncio
import contextlib
import itertools
import os
import re
import shutil
import signal
import sys
import time
from asyncio.subprocess import DEVNULL, PIPE, Process
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from aiohttp import ClientSession, ClientWebSocketResponse, DummyCookieJar, WSMsgType

ROOT = Path(__file__).parents[3]
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-component-update",
    "--disable-background-networking", "--disable-sync", "--remote-debugging-port=0", "--window-size=1300,800",
    "about:blank",
)  # fmt: skip
HOOK = """
addEventListener("keydown", (event) => (window.keysPressed ??= []).push(event), true);
Object.defineProperty(Object.prototype, "_core", {configurable: true, set(core) {
  Object.defineProperty(this, "_core", {value: core, writable: true});
  window.shownTerminal ??= this;
}});
"""
LINES = """(() => {
  const buffer = window.shownTerminal?.buffer.active, lines = [];
  for (let line = 0; buffer && line < buffer.length; line++) lines.push(buffer.getLine(line).translateToString(true));
  return lines.join("\\n");
})()"""
PATIENCE_S = 60.0


def environment(folder: Path) -> dict[str, str]:
    """The user's folders are the test's own; the first-run tour has been seen."""
    (folder / "config" / "voyager").mkdir(parents=True, exist_ok=True)
    (folder / "config" / "voyager" / "settings.toml").write_text("toured = true\n", "utf-8")
    named = {"XDG_STATE_HOME": "state", "XDG_CONFIG_HOME": "config", "XDG_CACHE_HOME": "cache", "HOME": "home"}
    kept = {name: text for name, text in os.environ.items() if name not in {"NO_COLOR", "VOYAGER_LOOK"}}
    return {**kept, **{name: str(folder / part) for name, part in named.items()}, "TEXTUAL_ANIMATIONS": "none"}


@asynccontextmanager
async def server(folder: Path, *words: str) -> AsyncIterator[tuple[Process, str]]:
    """The process, and its one-time address."""
    command = [sys.executable, "-m", "voyager.cli.main", "serve", "--no-browser", *words]
    process = await asyncio.create_subprocess_exec(
        *command, stdin=DEVNULL, stdout=PIPE, stderr=PIPE, env=environment(folder), cwd=ROOT
    )
    try:
        assert process.stdout is not None
        yield process, (await asyncio.wait_for(process.stdout.readline(), PATIENCE_S)).decode().strip()
    finally:
        await ended(process)


def started(folder: Path) -> set[int]:
    """All processes that live under the environment of a test's folder, whoever started them."""
    mark, found = f"XDG_STATE_HOME={folder / 'state'}".encode(), set()
    for name in filter(str.isdecimal, os.listdir("/proc")):
        with contextlib.suppress(OSError):
            if mark in Path("/proc", name, "environ").read_bytes().split(b"\0"):
                found.add(int(name))
    return found


async def ended(process: Process, sign: int = signal.SIGINT) -> int:
    """The exit status of a process that was told to end, if it had not before."""
    with contextlib.suppress(ProcessLookupError):
        process.send_signal(sign)
    try:
        return await asyncio.wait_for(process.wait(), 10)
    except TimeoutError:
        process.kill()
        return await process.wait()


@asynccontextmanager
async def visitor(address: str) -> AsyncIterator[Callable[[], Awaitable[ClientWebSocketResponse]]]:
    """No browser, but what one does: the token brought once, and then as many windows as are asked for."""
    root = address.partition("/?")[0]
    async with ClientSession(cookie_jar=DummyCookieJar()) as client:
        async with client.get(address, allow_redirects=False) as answer:
            cookie = answer.headers["Set-Cookie"].partition(";")[0]
        headers = {"Origin": root, "Cookie": cookie}
        yield lambda: client.ws_connect(f"{root}/ws/dark?width=100&height=30", headers=headers)


@asynccontextmanager
async def window(address: str) -> AsyncIterator[ClientWebSocketResponse]:
    """One window of a visitor."""
    async with visitor(address) as opens, await opens() as socket:
        yield socket


async def painted(socket: ClientWebSocketResponse, wanted: str) -> None:
    """Wait until this text is drawn into a window, all in one piece."""
    end, text = time.monotonic() + PATIENCE_S, ""
    while wanted not in text:
        message = await socket.receive(timeout=end - time.monotonic())
        assert message.type == WSMsgType.BINARY, text
        text += re.sub(r"\x1b\[[0-9;:?]*[A-Za-z]", "", message.data.decode("utf-8", "replace"))


class Page:
    """One page of the browser. ``asked``: every address it asked for; ``sent``: into its socket; ``said``: faults."""

    def __init__(self, socket: ClientWebSocketResponse) -> None:
        self.socket, self.numbers = socket, itertools.count(1)
        self.answers: dict[int, asyncio.Future[Any]] = {}
        self.asked: list[str] = []
        self.said: list[str] = []
        self.sent: list[str] = []

    async def listen(self) -> None:
        async for message in self.socket:
            if message.type == WSMsgType.TEXT:
                self._take(message.json())

    def _take(self, told: dict[str, Any]) -> None:
        if "id" in told:
            self.answers.pop(told["id"]).set_result(told)
        elif told["method"] == "Network.requestWillBeSent":
            self.asked.append(told["params"]["request"]["url"])
        elif told["method"] == "Network.webSocketCreated":
            self.asked.append(told["params"]["url"])
        elif told["method"] == "Network.webSocketFrameSent":
            self.sent.append(told["params"]["response"]["payloadData"])
        elif told["method"] == "Runtime.exceptionThrown":
            self.said.append(str(told["params"]["exceptionDetails"]))
        elif told["method"] == "Log.entryAdded":
            self.said.append(told["params"]["entry"]["text"])

    async def call(self, method: str, **params: Any) -> Any:
        number = next(self.numbers)
        self.answers[number] = answer = asyncio.get_running_loop().create_future()
        await self.socket.send_json({"id": number, "method": method, "params": params})
        told = await asyncio.wait_for(answer, PATIENCE_S)
        assert "error" not in told, told
        return told["result"]

    async def value(self, script: str) -> Any:
        return (await self.call("Runtime.evaluate", expression=script, returnByValue=True))["result"].get("value")

    async def text(self) -> str:
        """What the terminal in the page shows."""
        return str(await self.value(LINES))

    async def shown(self, wanted: Callable[[str], bool]) -> str:
        """The terminal's text once it is as wanted."""
        end, text = time.monotonic() + PATIENCE_S, ""
        while not wanted(text):
            assert time.monotonic() < end, f"it did not come:\n{text}\n{self.said}"
            await asyncio.sleep(0.05)
            text = await self.text()
        return text

    async def press(self, key: str, code: str, number: int, modifiers: int = 0) -> None:
        """One key as a person presses it; ``number`` is the browser's for the key, 2 in ``modifiers`` is Ctrl."""
        typed = {} if modifiers & 2 or len(key) > 1 else {"text": key}
        common = {"key": key, "code": code, "windowsVirtualKeyCode": number, "modifiers": modifiers}
        await self.call("Input.dispatchKeyEvent", type="keyDown", **common, **typed)
        await self.call("Input.dispatchKeyEvent", type="keyUp", **common)


@asynccontextmanager
async def chromium(folder: Path) -> AsyncIterator[Page]:
    """An empty page of a browser with a profile of its own."""
    assert CHROMIUM is not None
    profile = folder / "profile"
    process = await asyncio.create_subprocess_exec(
        CHROMIUM, f"--user-data-dir={profile}", *FLAGS,
        stdin=DEVNULL, stdout=DEVNULL, stderr=DEVNULL, env=environment(folder), start_new_session=True,
    )  # fmt: skip
    try:
        async with (
            ClientSession() as client,
            client.ws_connect(await _debugged(client, profile), max_msg_size=0) as socket,
        ):
            page = Page(socket)
            listening = asyncio.create_task(page.listen())
            for domain in ("Network", "Page", "Runtime", "Log"):
                await page.call(f"{domain}.enable")
            await page.call("Emulation.setFocusEmulationEnabled", enabled=True)
            await page.call("Page.addScriptToEvaluateOnNewDocument", source=HOOK)
            yield page
            listening.cancel()
    finally:
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        await process.wait()


async def _debugged(client: ClientSession, profile: Path) -> str:
    """The address of the first page's debugging socket."""
    end, port = time.monotonic() + PATIENCE_S, profile / "DevToolsActivePort"
    while not (port.exists() and port.read_text().strip()):
        assert time.monotonic() < end, "the browser did not start"
        await asyncio.sleep(0.05)
    while True:
        async with client.get(f"http://127.0.0.1:{port.read_text().split()[0]}/json/list") as answer:
            for one in await answer.json():
                if one["type"] == "page":
                    return str(one["webSocketDebuggerUrl"])
        await asyncio.sleep(0.05)
