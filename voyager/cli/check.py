"""``voyager check``: what is wrong in a voyage file and in the boat file that it names."""

import argparse

from voyager.cli import output


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage and how far to go."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file")
    parser.add_argument("--strict", action="store_true", help="also plan it: exit status 1 where no plan arrives")


def run(args: argparse.Namespace) -> int:
    """Print that all is well, with notes; problems are raised, and go to stderr."""
    from voyager.session.check import check, check_strictly

    notes = (check_strictly if args.strict else check)(args.voyage)
    lines = [f"{_printable(args.voyage)}: no problems found", *(f"note: {note}" for note in notes)]
    output.write("\n".join(lines) + "\n")
    return 0


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text)
