"""``voyager speeds``: speed, power and range of a boat, and the speed the sun sustains by hour."""

import argparse

from voyager.cli import output
from voyager.cli.arguments import civil_date
from voyager.cli.progress import progress


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage file, and when, where and on what charge."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML)")
    parser.add_argument("--date", metavar="DATE", type=civil_date, help="civil date (default: the departure)")
    parser.add_argument("--place", metavar="NAME", help="a place of the voyage (default: the first)")
    parser.add_argument("--charge", metavar="KWH", help="in kWh, or like 61%% (default: the charge at the start)")
    parser.add_argument("--json", action="store_true", help="the same as JSON")


def run(args: argparse.Namespace) -> int:
    """Print the speeds."""
    from voyager.session.place import speeds

    with progress():
        result = speeds(args.voyage, args.date, args.place, args.charge)
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.answers import speeds_text

        output.write(speeds_text(result, output.width(), styled=output.styled()))
    return 0
