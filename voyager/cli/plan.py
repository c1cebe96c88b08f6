"""``voyager plan``: the days, legs and cautions of a voyage as text, JSON or CSV."""

import argparse

from voyager.cli import output
from voyager.cli.arguments import civil_date, count
from voyager.cli.progress import progress

ARRIVES, NO_PLAN = 0, 1
SKIES = ("cautious", "middling", "good")
AIMS = ("soonest", "fewest-shore", "calmest")
CHANGES = {"depart": "departs", "sky": "sky", "aim": "aim", "by": "by", "comfort": "comfort"}
NO_ODDS = "the odds are not computed yet: what follows is the plan of one sky, as with --members 0"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage file, the form of the answer, and what to change for this once."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML)")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="everything, as JSON")
    form.add_argument("--csv", action="store_true", help="the days, as CSV")
    parser.add_argument("--depart", metavar="DATE", type=civil_date, help="leave on this date, not the file's")
    parser.add_argument("--sky", choices=SKIES, help="which sky to plan on")
    parser.add_argument("--aim", choices=AIMS, help="what to make small")
    parser.add_argument("--by", metavar="DATE", type=civil_date, help="latest date of arrival")
    parser.add_argument("--comfort", metavar="STEP", help="comfort step to keep, as named in the boat file, or off")
    parser.add_argument("--members", metavar="N", type=count, help="skies for the odds (not computed yet)")
    parser.add_argument("--seed", metavar="N", type=count, help="seed of the skies (not used yet)")


def run(args: argparse.Namespace) -> int:
    """Plan and print; 0 when the boat arrives, 1 when it does not."""
    from voyager.session.plan import plan

    with progress() as report:
        result = plan(args.voyage, changes(args), progress=report)
    if args.members:
        output.note(NO_ODDS)
    _write(result, args)
    return ARRIVES if result["arrives"] else NO_PLAN


def changes(args: argparse.Namespace) -> dict[str, object]:
    """The keys of the voyage file that the command line overrides."""
    given = {key: getattr(args, option) for option, key in CHANGES.items()}
    return {key: value for key, value in given.items() if value is not None}


def _write(result: dict[str, object], args: argparse.Namespace) -> None:
    if args.json:
        output.write_json(result)
    elif args.csv:
        from voyager.report.export import days_csv

        output.write(days_csv(result))
    else:
        from voyager.report.plan_text import plan_text

        output.write(plan_text(result, output.width(), styled=output.styled()))
