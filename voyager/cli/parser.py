"""The words of the command line: every command is listed, only the one asked for is imported."""

import argparse
from collections.abc import Collection, Mapping
from importlib import import_module
from typing import Any, NoReturn

from voyager import __version__

COMMANDS: Mapping[str, str] = {
    "open": "the terminal screens (the demo voyage when none is named)",
    "serve": "the same screens in a browser on this machine, for this user only",
    "check": "what is wrong in a boat and voyage file: file, line, key, what was meant",
    "plan": "days, legs, odds and morning card of a voyage; departures compared; on from midday",
    "sun": "sky and irradiation at a place on a date",
    "speeds": "speed, power, range, and the speed the sun sustains by hour",
    "fit": "your own measurements: heater test, speed trial, panel log, model or roll test to parameters of the boat",
    "log": "readings in, by hand or from a file; the days as they were against the plan",
    "schema": "JSON Schema of the boat or voyage file, for editors",
    "completion": "completion script for bash, zsh or tcsh",
}
DESCRIPTION = "Plan weeks on a solar-electric boat: which days to go, how fast, where to charge, how warm."
EPILOG = "Illustrative, not for navigation. Exit status: 0 done, 1 no plan, 2 bad input, 130 cancelled."


class Parser(argparse.ArgumentParser):
    """An argument parser that answers a fault with one sentence on stderr and exit status 2."""

    def error(self, message: str) -> NoReturn:
        self.exit(2, f"{self.prog}: {message}; see {self.prog} --help\n")


def build(asked: Collection[str]) -> Parser:
    """A parser that knows all commands and the arguments of the ``asked`` ones."""
    parser = Parser(prog="voyager", description=DESCRIPTION, epilog=EPILOG, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"voyager {__version__}")
    commands = parser.add_subparsers(title="commands", dest="command", metavar="COMMAND", required=True)
    for name, text in COMMANDS.items():
        one = commands.add_parser(name, help=text, description=_sentence(text), allow_abbrev=False)
        if name in asked:
            module(name).add_arguments(one)
    return parser


def module(command: str) -> Any:
    """The module of a command: it offers ``add_arguments(parser)`` and ``run(args) -> int``."""
    return import_module(f"voyager.cli.{command}")


def options(parser: argparse.ArgumentParser, *commands: str) -> list[str]:
    """The option words of one command, or of a kind of it, as typed."""
    for command in commands:
        parser = subparser(parser, command)
    return sorted(word for action in parser._actions for word in action.option_strings)


def subparser(parser: argparse.ArgumentParser, command: str) -> argparse.ArgumentParser:
    """The parser of one command inside the parser of all."""
    return subparsers(parser)[command]


def subparsers(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """The parsers inside a parser, by the words that lead to them."""
    found = next((one for one in parser._actions if isinstance(one, argparse._SubParsersAction)), None)
    return dict(found.choices) if found else {}


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + "."
