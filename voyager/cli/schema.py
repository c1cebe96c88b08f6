"""``voyager schema``: JSON Schema of a file, for editors."""

import argparse
import json

from voyager.cli import output


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Which file."""
    parser.add_argument("kind", metavar="boat|voyage", choices=("boat", "voyage"), help="kind of file")


def run(args: argparse.Namespace) -> int:
    """Print the schema, in ASCII so that any terminal carries it."""
    from voyager.session.schema import schema

    output.write(json.dumps(schema(args.kind), indent=2) + "\n")
    return 0
