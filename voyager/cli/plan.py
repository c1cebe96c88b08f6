"""``voyager plan``: days, legs, odds and the morning card as text, JSON or CSV; departures compared; on from midday."""

import argparse
from collections.abc import Mapping

from voyager.cli import departures, output
from voyager.cli.arguments import card_day, chance, civil_date, count, days, departure, members
from voyager.cli.progress import progress
from voyager.errors import InputError

ARRIVES, NO_PLAN = 0, 1
SKIES = ("cautious", "middling", "good")
AIMS = ("soonest", "fewest-shore", "calmest")
CHANGES = {"depart": "departs", "sky": "sky", "aim": "aim", "by": "by", "comfort": "comfort"}
MEMBERS, SEED = 1000, 1


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage file, the form of the answer, what to change for this once, and how many skies."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML)")
    form = parser.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="everything, as JSON")
    form.add_argument("--csv", action="store_true", help="the days, as CSV")
    form.add_argument(
        "--card", metavar="DAY", nargs="?", const=1, type=card_day,
        help="the morning card alone, one page to print, of the mornings from a day on (default 1)",
    )  # fmt: skip
    _add_changes(parser)
    parser.add_argument(
        "--from", dest="start", metavar="WHERE",
        help='on from midday, like "14:00 km 63 61%%" (today by --depart), or "log": from its last reading',
    )  # fmt: skip
    parser.add_argument(
        "--members", metavar="N", type=members, default=MEMBERS, help=f"skies for the odds (default {MEMBERS}; 0: none)"
    )
    parser.add_argument("--seed", metavar="N", type=count, default=SEED, help=f"seed of the skies (default {SEED})")


def _add_changes(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--depart", metavar="DATE", type=departure, help="leave on this date; A..B compares the dates of a range"
    )
    parser.add_argument("--every", metavar="DAYS", type=days, help="days between the dates of a range")
    parser.add_argument("--sure", metavar="P", type=chance, help="chance of being in time, for a range (default 0.8)")
    parser.add_argument("--sky", choices=SKIES, help="which sky to plan on")
    parser.add_argument("--aim", choices=AIMS, help="what to make small")
    parser.add_argument("--by", metavar="DATE", type=civil_date, help="latest date of arrival")
    parser.add_argument("--comfort", metavar="STEP", help="comfort step to keep, as named in the boat file, or off")


def run(args: argparse.Namespace) -> int:
    """Plan and print; 0 when the boat arrives (in most skies, for a range of departures), 1 when it does not."""
    if isinstance(args.depart, tuple):
        return departures.run(args, args.depart, changes(args))
    _refuse(args)
    from voyager.session.plan import plan

    with progress() as report:
        result = plan(
            args.voyage, changes(args), members=args.members, seed=args.seed, start=args.start, progress=report
        )
    if args.start == "log":
        _keep(args.voyage, result)
    _write(result, args)
    return ARRIVES if result["arrives"] else NO_PLAN


def _keep(voyage: str, result: Mapping[str, object]) -> None:
    """The days to come are held against the plan that was made for them; a log that takes no more keeps the old one."""
    from contextlib import suppress
    from datetime import UTC, datetime

    from voyager.errors import VoyagerError
    from voyager.session.log import keep_plan

    with suppress(VoyagerError):
        keep_plan(voyage, result, datetime.now(UTC))


def _refuse(args: argparse.Namespace) -> None:
    for option in ("every", "sure"):
        if getattr(args, option) is not None:
            raise InputError(f"voyager plan: --{option} goes with a range of dates; write --depart FIRST..LAST")
    if args.card and not args.members:
        raise InputError("voyager plan: the morning card needs skies; leave --members 0 away")


def changes(args: argparse.Namespace) -> dict[str, object]:
    """The keys of the voyage file that the command line overrides; a range of departures is no change."""
    given = {key: getattr(args, option) for option, key in CHANGES.items()}
    return {key: value for key, value in given.items() if value is not None and not isinstance(value, tuple)}


def _write(result: Mapping[str, object], args: argparse.Namespace) -> None:
    if args.json:
        output.write_json(result)
    elif args.csv:
        from voyager.report.export import days_csv

        output.write(days_csv(result))
    elif args.card:
        from voyager.report.card_page import card_page

        output.write(card_page(result, args.card))
    else:
        from voyager.report.plan_text import plan_text

        output.write(plan_text(result, output.width(), styled=output.styled()))
