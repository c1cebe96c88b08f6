"""``voyager fit next``: which measurement of the boat is worth making next for a voyage."""

import argparse

from voyager.cli import output
from voyager.cli.arguments import count, members
from voyager.cli.progress import progress

MEMBERS, SEED = 200, 1


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage file, and how many skies."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML)")
    parser.add_argument("--members", metavar="N", type=members, default=MEMBERS, help=f"skies (default {MEMBERS})")
    parser.add_argument("--seed", metavar="N", type=count, default=SEED, help=f"seed of the skies (default {SEED})")
    parser.add_argument("--json", action="store_true", help="the same as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the values in doubt and the test that would tell most."""
    from voyager.session.worth import worth

    with progress() as report:
        result = worth(args.voyage, members=args.members, seed=args.seed, progress=report)
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.worth_text import worth_text

        output.write(worth_text(result, output.width(), styled=output.styled()))
    return 0
