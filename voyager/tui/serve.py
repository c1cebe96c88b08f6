"""The screens in a browser on this machine: a free port, a server behind a guard, until it is told to end."""

import asyncio
import logging
import os
import signal
import socket
import sys
from collections.abc import Callable, Sequence

from aiohttp import web

from voyager.errors import InputError
from voyager.tui.web.guard import LOOPBACK
from voyager.tui.web.server import ScreenServer

ENDS = ("SIGINT", "SIGTERM", "SIGHUP")
LOGS = ("aiohttp", "textual-serve", "asyncio")
CLOSING_S = 2.0

Hear = Callable[[str], None]


def serve(voyage: str, port: int, told: Hear, said: Hear, browse: bool = False) -> int:
    """Serve the screens of one voyage on the loopback interface until a signal ends it; 0.

    ``told`` hears the one-time address once the server listens, ``said`` anything else worth a line. Port 0 takes a
    free one. Raises InputError where the port can't be had.
    """
    if os.name != "posix":
        raise InputError("voyager serve needs Linux or macOS; use voyager open in a terminal")
    for name in LOGS:
        _quieten(logging.getLogger(name))
    with listening(port) as taken:
        asyncio.run(_serving(taken, screens(voyage), told, said, browse))
    return 0


def screens(voyage: str) -> list[str]:
    """The words that open one voyage's screens in a process; the working directory lends it no modules."""
    return [sys.executable, "-P", "-m", "voyager.cli.main", "open", "--", voyage]


def listening(port: int) -> socket.socket:
    """A socket bound to the loopback interface; InputError where the port can't be had."""
    try:
        return socket.create_server((LOOPBACK, port))
    except PermissionError:
        raise InputError(f"port {port} needs special rights; name one from 1024 up, or none for a free one") from None
    except OverflowError:
        raise InputError(f"there is no port {port}; name one from 1024 to 65535, or none for a free one") from None
    except OSError:
        raise InputError(f"port {port} is in use; name another, or none for a free one") from None


async def _serving(taken: socket.socket, command: Sequence[str], told: Hear, said: Hear, browse: bool) -> None:
    end = asyncio.Event()
    for name in ENDS:
        asyncio.get_running_loop().add_signal_handler(getattr(signal, name), end.set)
    server = ScreenServer(command, taken.getsockname()[1], said)
    runner = web.AppRunner(await server._make_app(), access_log=None, shutdown_timeout=CLOSING_S)
    await runner.setup()
    try:
        await web.SockSite(runner, taken).start()
        told(server.guard.address)
        if browse:
            await _browse(server.guard.address, said)
        await end.wait()
    finally:
        await runner.cleanup()


async def _browse(address: str, said: Hear) -> None:
    import webbrowser

    if not await asyncio.to_thread(webbrowser.open, address):
        said("no browser could be opened from here; open the address in one yourself")


def _quieten(log: logging.Logger) -> None:
    """What libraries log would be painted over the terminal; a debugger sees it."""
    if not os.environ.get("VOYAGER_DEBUG"):
        log.addHandler(logging.NullHandler())
        log.propagate = False
