"""``voyager serve``: the terminal screens in a browser on this machine."""

import argparse
import sys

from voyager.cli import output
from voyager.cli.arguments import port


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage, the port, and whether a browser is opened."""
    parser.add_argument("voyage", metavar="VOYAGE", nargs="?", help="voyage file (default: the demo voyage)")
    parser.add_argument("--port", metavar="PORT", type=port, default=0, help="port to listen on (default: a free one)")
    browser = parser.add_mutually_exclusive_group()
    browser.add_argument("--browse", action="store_true", help="open the address in the default browser")
    browser.add_argument("--no-browser", action="store_true", help="only print the address (the default)")


def run(args: argparse.Namespace) -> int:
    """Serve until Ctrl+C; the one-time address goes to stdout, all else to stderr."""
    voyage = args.voyage or _demo()
    from voyager.session.readable import readable

    readable(voyage)
    from voyager.tui.serve import serve

    return serve(voyage, args.port, _told, output.note, args.browse)


def _demo() -> str:
    from voyager.session.demo import demo_path

    return demo_path()


def _told(address: str) -> None:
    output.write(address + "\n")
    sys.stdout.flush()
    output.note("open this address in a browser on this machine; it works once. Ctrl+C here ends voyager serve")
