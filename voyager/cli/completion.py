"""``voyager completion``: a completion script for a shell."""

import argparse
from collections.abc import Iterator

from voyager.cli import output, parser

SHELLS = ("bash", "zsh", "tcsh")
FILES = frozenset({"VOYAGE", "BOAT", "FILE"})


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which shell."""
    parser.add_argument("shell", choices=SHELLS, metavar="SHELL", help="bash, zsh or tcsh")


def run(args: argparse.Namespace) -> int:
    """Print the script."""
    output.write(script(args.shell) + "\n")
    return 0


def script(shell: str) -> str:
    """The script for one shell; arguments that name a file complete file names."""
    import shtab

    everything = parser.build(parser.COMMANDS)
    for one in _all(everything):
        for action in one._actions:
            if action.metavar in FILES:
                vars(action)["complete"] = shtab.FILE
    return str(shtab.complete(everything, shell))


def _all(one: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """A parser and those inside it."""
    yield one
    for inner in parser.subparsers(one).values():
        yield from _all(inner)
