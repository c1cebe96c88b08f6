"""One window of the browser: one app in a process of its own, ended when its socket is."""

import asyncio
import os
import re
import signal
from asyncio.subprocess import PIPE, Process
from collections.abc import Sequence
from contextlib import suppress

from aiohttp.web import WebSocketResponse
from textual_serve.app_service import AppService
from textual_serve.download_manager import DownloadManager

from voyager.tui.background import TOLD
from voyager.tui.parent import SERVER

LEFT, FAILED = 1000, 4001
POLITE_S = 3.0
FIRM_S = 2.0
BAD_INPUT, DEBUG = 2, "VOYAGER_DEBUG"
FAULT = re.compile(r"[A-Za-z_.]*(Error|Exception|Matches|Interrupt|Exit)\b")
GREETING = b"__GANGLION__\n"
LAST_WORDS_BYTES = 4000
LARGEST_SIDE = 500
TERMINAL = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}


class Session(AppService):
    """Starts the command without a shell, in a process group of its own, and carries bytes to and fro.

    ``last_words``: why the process ended, if it failed by itself. ``code``: what to close the socket with,
    if that is known before the process ends.
    """

    def __init__(self, command: Sequence[str], look: str, websocket: WebSocketResponse) -> None:
        super().__init__(
            command[0],
            write_bytes=websocket.send_bytes,
            write_str=websocket.send_str,
            close=websocket.close,  # type: ignore[arg-type]
            download_manager=DownloadManager(),
        )
        self.words, self.look, self.websocket = command, look, websocket
        self.last_words, self.code = "", 0

    def _build_environment(self, width: int = 80, height: int = 24) -> dict[str, str]:
        told = {SERVER: str(os.getpid()), TOLD: self.look}
        return {**super()._build_environment(width, height), **TERMINAL, **told}

    async def _open_app_process(self, width: int = 80, height: int = 24) -> Process:
        process = await asyncio.create_subprocess_exec(
            *self.words, stdin=PIPE, stdout=PIPE, stderr=PIPE,
            env=self._build_environment(side(width), side(height)), start_new_session=True,
        )  # fmt: skip
        self._process, self._stdin = process, process.stdin
        return process

    async def set_terminal_size(self, width: int, height: int) -> None:
        """The window's size in cells, kept to what a screen can have."""
        await super().set_terminal_size(side(width), side(height))

    async def run(self) -> None:
        """Carry what the app draws until it ends, then close the socket with a code that says how."""
        process, status = self._process, None
        if process is None or process.stdout is None or process.stderr is None:
            raise RuntimeError("the app was not started")
        heard = asyncio.create_task(_tail(process.stderr))
        try:
            await self._relay(process.stdout)
            status = await asyncio.wait_for(process.wait(), FIRM_S)
            if status and not self.code:
                self.last_words = worth_saying(status, await asyncio.wait_for(heard, FIRM_S))
        finally:
            heard.cancel()
            await self.websocket.close(code=self.code or (LEFT if status == 0 else FAILED))

    async def _relay(self, stdout: asyncio.StreamReader) -> None:
        """Drawing goes to the browser; files and addresses never do. A lost socket must not stop up the pipe."""
        with suppress(asyncio.IncompleteReadError, asyncio.LimitOverrunError, ConnectionError):
            await stdout.readuntil(GREETING)
            while True:
                kind, size = await stdout.readexactly(1), await stdout.readexactly(4)
                payload = await stdout.readexactly(int.from_bytes(size, "big"))
                if kind == b"D" and not self.websocket.closed:
                    with suppress(ConnectionError, RuntimeError):
                        await self.on_data(payload)

    async def stop(self) -> None:
        """Ask the app to leave, then tell it, then kill it with all that it started."""
        self.code = self.code or LEFT
        with suppress(TimeoutError):
            await asyncio.wait_for(super().stop(), POLITE_S)
        for sign in (signal.SIGTERM, signal.SIGKILL):
            if self._process is None or self._process.returncode is not None:
                return
            with suppress(ProcessLookupError):
                os.killpg(self._process.pid, sign)
            with suppress(TimeoutError):
                await asyncio.wait_for(self._process.wait(), FIRM_S)


def worth_saying(status: int, text: str) -> str:
    """Sentences about bad input as they are; of a fault of the program's own one sentence that names it."""
    if status == BAD_INPUT or os.environ.get(DEBUG):
        return text
    named = [line for line in text.splitlines() if FAULT.match(line)]
    what = f" ({named[-1].strip()})" if named else ""
    return f"the screens stopped on a fault of their own{what}; set {DEBUG}=1 to see where, and report it"


def side(cells: object) -> int:
    """A width or height in cells as a browser gave it, kept to what a screen can have."""
    try:
        return max(1, min(int(str(cells)), LARGEST_SIDE))
    except ValueError:
        return 80


async def _tail(stream: asyncio.StreamReader) -> str:
    kept = b""
    while data := await stream.read(LAST_WORDS_BYTES):
        kept = (kept + data)[-LAST_WORDS_BYTES:]
    return kept.decode("utf-8", "replace").strip()
