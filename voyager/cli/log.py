"""``voyager log``: readings in, by hand or from a file; the log shown; planned against actual."""

import argparse
from collections.abc import Mapping
from typing import Any

from voyager.cli import output
from voyager.cli.arguments import entry_number
from voyager.cli.progress import progress
from voyager.errors import InputError

SHOWN = 12
"""Entries shown unless all are asked for."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The voyage, and what to do with its log."""
    parser.add_argument("voyage", metavar="VOYAGE", help="voyage file (TOML); the log is kept beside it")
    does = parser.add_mutually_exclusive_group()
    does.add_argument(
        "--add", metavar="TEXT", help='note a reading, like "14:00 Kingston 61%% sun 3.2 in 17 out 4: blocked filter"'
    )
    does.add_argument("--import", dest="file", metavar="FILE", help="readings of a CSV, or a GPX track with times")
    does.add_argument("--entries", action="store_true", help="all entries (default: the last ones and the days)")
    does.add_argument(
        "--change", metavar=("N", "TEXT"), nargs=2, help='values of entry N anew, as in --add; "sun -" takes one out'
    )
    does.add_argument("--remove", metavar="N", type=entry_number, help="take entry N out")
    parser.add_argument("--counters", action="store_true", help="energies of the imported CSV are meters counting up")
    parser.add_argument("--json", action="store_true", help="the same as JSON")


def run(args: argparse.Namespace) -> int:
    """Do what is asked, then print what came of it."""
    if args.counters and args.file is None:
        raise InputError("voyager log: --counters goes with --import FILE")
    if args.file is not None:
        _import(args)
    elif args.add is not None or args.change is not None or args.remove is not None:
        _edit(args)
    else:
        _show(args)
    return 0


def _edit(args: argparse.Namespace) -> None:
    from datetime import UTC, datetime

    from voyager.session import log

    now = datetime.now(UTC)
    if args.add is not None:
        done = "noted", log.add(args.voyage, log.parse_entry(args.add, args.voyage, now), now, source="command")
        _keep_plan(args.voyage, now, done[1])
    elif args.change is not None:
        number = _number(args.change[0])
        values = log.parse_entry(args.change[1], args.voyage, now, changing=True)
        done = "changed", log.change(args.voyage, number, values)
    else:
        done = "removed", log.remove(args.voyage, args.remove)
    _write({"format": 1, "done": done[0], **done[1]}, args)


def _number(text: str) -> int:
    try:
        return entry_number(text)
    except argparse.ArgumentTypeError as fault:
        raise InputError(f"voyager log: --change: {fault}") from None


def _keep_plan(voyage: str, now: Any, result: dict[str, Any]) -> None:
    """The first entry keeps the plan that the days are held against."""
    from voyager.session import log

    with progress() as report:
        fault = log.keep_first_plan(voyage, now, report)
    if fault:
        result["notes"] = [*result["notes"], fault]


def _import(args: argparse.Namespace) -> None:
    from datetime import UTC, datetime

    from voyager.session import log

    result = log.import_file(args.voyage, args.file, counters=args.counters)
    if result["added"]:
        _keep_plan(args.voyage, datetime.now(UTC), result)
    _write({"format": 1, "done": "imported", **result}, args)


def _show(args: argparse.Namespace) -> None:
    from voyager.session import log

    entries = log.entries(args.voyage)
    result = {"format": 1, "file": log.log_name(args.voyage), "entries": entries}
    if not args.entries:
        result["actual"], result["notes"] = _actual(args.voyage) if entries else (None, [])
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.log_text import log_text

        shown = len(entries) if args.entries else SHOWN
        output.write(log_text(result, shown, output.width(), styled=output.styled()))


def _actual(voyage: str) -> tuple[Mapping[str, Any] | None, list[str]]:
    """Planned against actual, or the sentence that says why there is none yet."""
    from voyager.session.actual import actual

    try:
        with progress() as report:
            return actual(voyage, progress=report), []
    except InputError as fault:
        return None, str(fault).splitlines()


def _write(result: Mapping[str, Any], args: argparse.Namespace) -> None:
    if args.json:
        output.write_json(result)
    else:
        from voyager.report.log_text import done_text

        output.write(done_text(result, output.width()))
