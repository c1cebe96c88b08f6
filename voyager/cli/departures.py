"""``voyager plan --depart FIRST..LAST``: departures of a range compared."""

import argparse
from collections.abc import Mapping
from datetime import date

from voyager.cli import output
from voyager.cli.progress import progress
from voyager.errors import InputError

ARRIVES, NO_PLAN = 0, 1
SURE = 0.8
PLANNED, WITHOUT_EVERY, MOST = 15, 60, 366
"""Departures planned unless ``--every`` says otherwise; dates of a range without it; departures with it."""


def run(args: argparse.Namespace, span: tuple[date, date], changes: Mapping[str, object]) -> int:
    """Plan each departure and print; 1 when none of them arrives in half the skies."""
    _refuse(args)
    every = spacing(span, args.every)
    from voyager.session.depart import depart

    with progress() as report:
        result = depart(
            args.voyage,
            span,
            every=every,
            sure=SURE if args.sure is None else args.sure,
            members=args.members,
            seed=args.seed,
            changes=changes,
            progress=report,
        )
    if args.every is None and every > 1:
        output.note(f"planned every {every} days, {PLANNED} departures at most; --every 1 plans each day")
    _write(result, args)
    return ARRIVES if any(one["arrival_p50"] for one in result["departures"]) else NO_PLAN


def spacing(span: tuple[date, date], every: int | None) -> int:
    """Days between departures: as asked, else the fewest that plan 15 at most."""
    dates = (span[1] - span[0]).days + 1
    if every is None and dates > WITHOUT_EVERY:
        raise InputError(
            f"voyager plan: --depart {span[0]}..{span[1]} holds {dates} dates, {WITHOUT_EVERY} at most; shorten it "
            f"or say how many days apart, like --every {_apart(dates, PLANNED)}"
        )
    if every is not None and -(-dates // every) > MOST:
        least = _apart(dates, MOST)
        raise InputError(f"voyager plan: --every {every} plans more than {MOST} departures; write --every {least}")
    return every or _apart(dates, PLANNED)


def _apart(dates: int, departures: int) -> int:
    return -(-dates // departures)


def _refuse(args: argparse.Namespace) -> None:
    if args.start is not None:
        raise InputError("voyager plan: --from goes on from one day; it cannot stand beside a range of departures")
    if args.csv or args.card:
        form = "--csv" if args.csv else "--card"
        raise InputError(f"voyager plan: {form} belongs to one departure; with a range write --json or neither")
    if not args.members:
        raise InputError("voyager plan: comparing departures needs skies; leave --members 0 away")


def _write(result: Mapping[str, object], args: argparse.Namespace) -> None:
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.depart_text import depart_text

        output.write(depart_text(result, output.width(), styled=output.styled()))
