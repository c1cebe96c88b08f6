"""``voyager open``: the terminal screens."""

import argparse
import gc
import os
import sys

from voyager.errors import InputError


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage to open, and the signs to draw with."""
    parser.add_argument("voyage", metavar="VOYAGE", nargs="?", help="voyage file (default: the demo voyage)")
    parser.add_argument("--ascii", action="store_true", help="draw with ASCII signs alone (or set VOYAGER_ASCII=1)")


def run(args: argparse.Namespace) -> int:
    """Open the screens until the user leaves them."""
    _terminal()
    gc.disable()  # until the screens stand: there is nothing to collect yet, and looking for it delays them
    from voyager.tui.start import run as run_screens

    return run_screens(args.voyage, ascii=args.ascii)


def _terminal() -> None:
    from voyager.tui.parent import served

    if served():  # the terminal is in a browser
        return
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise InputError("voyager open needs a terminal to draw on; use voyager plan VOYAGE for text, JSON or CSV")
    if os.environ.get("TERM", "dumb") == "dumb":
        raise InputError("voyager open cannot draw on a terminal of TERM=dumb; set TERM, or use voyager plan VOYAGE")
