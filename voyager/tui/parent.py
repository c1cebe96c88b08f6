"""An app that a server started ends with that server, however the server ends."""

import os
import threading
import time

SERVER = "VOYAGER_SERVED_BY"
LOOK_EVERY_S = 0.5
GONE = 1
PR_SET_PDEATHSIG = 1  # <linux/prctl.h>


def served() -> bool:
    """Whether a server started this process; its process number stands in the environment."""
    return SERVER in os.environ


def watch() -> bool:
    """Whether a server started this process; if so, from now on this process is killed when the server is gone.

    The number leaves the environment, so that no child of this process takes the server for its own parent.
    """
    told = os.environ.pop(SERVER, "")
    if not told.isdecimal():
        return False
    server = int(told)
    if not _asked_of_the_kernel():
        threading.Thread(target=_look_after, args=(server,), name="server-watch", daemon=True).start()
    if os.getppid() != server:  # it ended before the kernel was asked
        os._exit(GONE)
    return True


def _asked_of_the_kernel() -> bool:
    """Linux kills a process whose parent ends, if the process has asked for it."""
    import signal
    import sys

    if not sys.platform.startswith("linux"):
        return False
    import ctypes

    try:
        return bool(ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, int(signal.SIGKILL), 0, 0, 0) == 0)
    except (OSError, AttributeError):
        return False


def _look_after(server: int) -> None:
    while os.getppid() == server:
        time.sleep(LOOK_EVERY_S)
    os._exit(GONE)
