"""``voyager fit``: the owner's own measurements to parameters of the boat, and into the boat file."""

import argparse
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from voyager.cli import fit_next, output
from voyager.cli.arguments import count, number, scale
from voyager.cli.progress import progress
from voyager.errors import InputError
from voyager.session.fit_cautions import ALWAYS, texts
from voyager.session.fit_options import OPTIONS, WHAT, Option, columns

if TYPE_CHECKING:
    from datetime import date

NEXT = "next"
COMMANDS: Mapping[str, str] = {**WHAT, NEXT: "which measurement is worth making next for a voyage"}
NOT_WRITTEN = "nothing was written"
NEGATIVE = re.compile(r"-(\d+\.?\d*|\.\d+)(,.*)?")
"""What is a number, or a position, and no option."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """One word for the kind of measurement, each with its own options."""
    kinds = parser.add_subparsers(title="measurements", dest="kind", metavar="KIND", required=True)
    for name, text in COMMANDS.items():
        one = kinds.add_parser(name, help=text, description=text[0].upper() + text[1:] + ".", allow_abbrev=False)
        if name == NEXT:
            fit_next.add_arguments(one)
        else:
            _add(one, name)


def _add(parser: argparse.ArgumentParser, kind: str) -> None:
    vars(parser)["_negative_number_matcher"] = NEGATIVE
    parser.add_argument("file", metavar="FILE", help="measurements: a CSV with a header row")
    for option in OPTIONS[kind]:
        _add_option(parser, option)
    parser.add_argument("--picture", metavar="FILE", help="the plot as a picture too: a name ending in .svg or .png")
    parser.add_argument(
        "--into", metavar="BOAT", help="put the values into this boat file: shows the change, then asks"
    )
    parser.add_argument("--yes", action="store_true", help="with --into: write without asking")
    parser.add_argument("--json", action="store_true", help="the same as JSON")
    parser.add_argument_group("columns of the CSV", columns(kind))
    parser.add_argument_group("heed", " ".join(texts(ALWAYS[kind])))


def _add_option(parser: argparse.ArgumentParser, option: Option) -> None:
    told = option.text.replace("%", "%%")
    if option.takes == "yes":
        parser.add_argument(option.word, action="store_true", help=told)
    elif option.takes in ("number", "whole"):
        reader = count if option.takes == "whole" else scale if option.name == "scale" else number
        parser.add_argument(option.word, type=reader, metavar="N", help=told)
    elif "|" in option.takes:
        parser.add_argument(option.word, choices=option.takes.split("|"), help=told)
    else:
        name = "NAME" if option.takes == "text" else option.takes
        parser.add_argument(option.word, metavar="LAT,LON" if option.name == "at" else name, help=told)


def run(args: argparse.Namespace) -> int:
    """Fit, show, and write what was asked for; nothing is shown or written where anything is wrong."""
    if args.kind == NEXT:
        return fit_next.run(args)
    from datetime import date

    if args.yes and not args.into:
        raise InputError("--yes belongs to --into BOAT: name the boat file too")
    form = _form(args.picture)
    result, offer = _fitted(args, date.today())
    if form:
        _save_picture(args.picture, form, result)
    if offer and args.yes and offer["difference"]:
        result["written"] = _write(result, offer, date.today())
    if args.json:
        output.write_json({**result, "difference": offer["difference"]} if offer else result)
    else:
        _show(result, offer)
    if offer and not result["written"]:
        _ask(args, result, offer, date.today())
    elif offer:
        output.note(f"written: {offer['boat']}")
    return 0


def _form(path: str | None) -> str | None:
    if path is None:
        return None
    from voyager.report.fit_picture import form_of

    return form_of(path)


def _fitted(args: argparse.Namespace, today: "date") -> tuple[dict[str, Any], dict[str, Any] | None]:
    """The fit, and what it would change in the boat file."""
    from voyager.session.fit_into import proposed
    from voyager.session.fits import fit

    options = {option.name: getattr(args, option.name) for option in OPTIONS[args.kind]}
    if args.into and options.get("boat") is None and options.get("voyage") is None:
        options["boat"] = args.into
    with progress():
        result = fit(args.kind, args.file, options)
        offer = proposed(result, args.into, today) if args.into else None
    return result, offer


def _save_picture(path: str, form: str, result: Mapping[str, Any]) -> None:
    from voyager.report.fit_picture import picture
    from voyager.session.fits import save_picture

    save_picture(path, picture(result, form))


def _write(result: Mapping[str, Any], offer: Mapping[str, Any], today: "date") -> str:
    from voyager.session.fit_into import write

    return write(result, offer["boat"], today, stamp=offer["stamp"])


def _show(result: Mapping[str, Any], offer: Mapping[str, Any] | None) -> None:
    from voyager.report.fit_text import difference_text, fit_text

    output.write(fit_text(result, output.width(), styled=output.styled(), ascii=output.ascii_only()))
    if offer:
        output.write("\n" + difference_text(offer["difference"], styled=output.styled()))
        for note in offer["notes"]:
            output.note(note)


def _ask(args: argparse.Namespace, result: Mapping[str, Any], offer: Mapping[str, Any], today: "date") -> None:
    """Write where somebody at the terminal says so."""
    if not offer["difference"]:
        output.note(f"{offer['boat']} says so already; {NOT_WRITTEN}")
    elif args.json or not output.interactive():
        output.note(f"{NOT_WRITTEN}; add --yes to put this into {offer['boat']}")
    elif output.agreed(f"put this into {offer['boat']}?"):
        output.note(f"written: {_write(result, offer, today)}")
    else:
        output.note(NOT_WRITTEN)
