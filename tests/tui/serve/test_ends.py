"""The real app in the real server: nothing is left of either, however the server or the window ends."""

import asyncio
import contextlib
import os
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from aiohttp import ClientWebSocketResponse, WSMsgType

from tests.tui.serve.running import ROOT, ended, environment, painted, server, started, visitor, window
from tests.tui.serve.support import gone, lives
from voyager.tui import parent

pytestmark = pytest.mark.skipif(not os.path.isdir("/proc/self"), reason="processes are looked up in /proc")
QUIET_S = 1.0
EMPTY_LOOKS = 10
APP_AND_WORKER = 3  # and the tracker of multiprocessing


async def grown(folder: Path, count: int) -> set[int]:
    """All processes, once there are so many."""
    end = time.monotonic() + 30
    while len(found := started(folder)) < count:
        assert time.monotonic() < end, found
        await asyncio.sleep(0.02)
    return found


async def test_an_app_and_its_worker_end_with_their_window(tmp_path: Path) -> None:
    async with server(tmp_path) as (process, address):
        async with window(address):
            found = await grown(tmp_path, 1 + APP_AND_WORKER)
        assert await gone(*found - {process.pid})
        assert started(tmp_path) == {process.pid}
        assert await ended(process) == 0
        assert process.stderr is not None
        assert len((await process.stderr.read()).splitlines()) == 1, "the hint under the address and nothing more"


async def test_edits_of_a_window_that_was_closed_are_offered_in_the_next(tmp_path: Path) -> None:
    shutil.copytree(ROOT / "routes", tmp_path / "routes")
    async with server(tmp_path, str(tmp_path / "routes" / "spring.toml")) as (_, address), visitor(address) as opens:
        async with await opens() as first:
            await painted(first, "Tue 2 Mar 2027")
            await first.send_json(["stdin", "]"])
            await painted(first, "Wed 3 Mar 2027")
        async with await opens() as second:
            await painted(second, "1 unsaved edit,")


async def paints(socket: ClientWebSocketResponse) -> bool:
    """Whether an app is still drawing."""
    with contextlib.suppress(TimeoutError):
        return (await socket.receive(timeout=QUIET_S)).type == WSMsgType.BINARY
    return False


@pytest.mark.parametrize("sign", [signal.SIGTERM, signal.SIGKILL])
async def test_all_end_with_the_server(tmp_path: Path, sign: signal.Signals) -> None:
    """An app that draws notices by itself that nobody takes it: it must have come to rest first."""
    async with server(tmp_path) as (process, address), window(address) as socket:
        found = await grown(tmp_path, 1 + APP_AND_WORKER)
        while sign == signal.SIGKILL and await paints(socket):
            pass
        assert lives(process.pid)
        process.send_signal(sign)
        assert await gone(*found, *started(tmp_path))
        assert await process.wait() == (-sign if sign == signal.SIGKILL else 0)
        assert not started(tmp_path)


@pytest.mark.parametrize("after_s", [0.0, 0.3])
async def test_a_server_killed_while_an_app_starts_leaves_nothing(tmp_path: Path, after_s: float) -> None:
    async with server(tmp_path) as (process, address), window(address):
        await grown(tmp_path, 2)
        await asyncio.sleep(after_s)
        process.kill()
        await process.wait()
        assert not await left(tmp_path)


async def left(folder: Path) -> set[int]:
    """Processes that don't end. One that is just being loaded has no environment yet: one empty look proves nothing."""
    end, empty = time.monotonic() + 15, 0
    while empty < EMPTY_LOOKS and time.monotonic() < end:
        empty = 0 if started(folder) else empty + 1
        await asyncio.sleep(0.05)
    return started(folder)


WATCHES = "from voyager.tui import parent; {first}; print(parent.watch(), flush=True); import time; time.sleep(60)"


def watcher(folder: Path, first: str, server: int | str) -> "subprocess.Popen[str]":
    """A process that watches over ``server`` and then sleeps."""
    named = {**environment(folder), parent.SERVER: str(server)}
    words = [sys.executable, "-c", WATCHES.format(first=first)]
    return subprocess.Popen(words, env=named, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def test_a_server_that_ended_before_the_watch_began_is_noticed(tmp_path: Path) -> None:
    with watcher(tmp_path, "pass", 1) as child:
        assert child.wait(10) == parent.GONE
        assert child.stdout is not None
        assert child.stdout.read() == ""


MIDDLE = """
import os, subprocess, sys
named = {{**os.environ, {name!r}: str(os.getpid())}}
child = subprocess.Popen([sys.executable, "-c", {code!r}], env=named, stdout=subprocess.PIPE, text=True)
print(child.stdout.readline().strip(), child.pid, flush=True)
child.wait()
"""


@pytest.mark.parametrize("first", ["pass", "parent._asked_of_the_kernel = lambda: False"])
async def test_both_ways_of_watching_end_the_child(tmp_path: Path, first: str) -> None:
    code = MIDDLE.format(name=parent.SERVER, code=WATCHES.format(first=first))
    with subprocess.Popen([sys.executable, "-c", code], cwd=ROOT, stdout=subprocess.PIPE, text=True) as middle:
        assert middle.stdout is not None
        told, pid = middle.stdout.readline().split()
        assert told == "True"
        assert lives(int(pid))
        middle.kill()
        middle.wait()
        assert await gone(int(pid))


def test_a_process_that_no_server_started_watches_over_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(parent.SERVER, raising=False)
    assert not parent.served()
    assert not parent.watch()
    monkeypatch.setenv(parent.SERVER, "nobody")
    assert not parent.watch()
    assert parent.SERVER not in os.environ
