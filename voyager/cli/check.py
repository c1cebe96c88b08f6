"""``voyager check``: what is wrong in a voyage file and in the boat file that it names."""

import argparse

from voyager.cli import output

SOUND, NO_PLAN = 0, 1


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage and how far to go."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML)")
    parser.add_argument("--strict", action="store_true", help="also plan it: exit status 1 where no plan arrives")


def run(args: argparse.Namespace) -> int:
    """Print that all is well, with notes; problems are raised, and go to stderr."""
    notes, arrives = _strictly(args.voyage) if args.strict else (_plainly(args.voyage), True)
    lines = [f"{_printable(args.voyage)}: no problems found", *(f"note: {note}" for note in notes)]
    output.write("\n".join(lines) + "\n")
    return SOUND if arrives else NO_PLAN


def _plainly(path: str) -> list[str]:
    from voyager.session.check import check

    return check(path)


def _strictly(path: str) -> tuple[list[str], bool]:
    from voyager.cli.progress import progress
    from voyager.session.check import check_strictly

    with progress() as report:
        return check_strictly(path, report)


def _printable(text: str) -> str:
    return "".join(c if c.isprintable() else "?" for c in text)
