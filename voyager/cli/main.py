"""The ``voyager`` command: parse, run one command, answer faults in one sentence and an exit status."""

import argparse
import gc
import os
import sys
from collections.abc import Sequence

from voyager.cli import parser as words
from voyager.errors import Cancelled, NoPlan, VoyagerError

DONE, NO_PLAN, BAD_INPUT, CANCELLED = 0, 1, 2, 130
DEBUG = "VOYAGER_DEBUG"


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command line; the exit status of FILES section 1."""
    _quieten()
    if argv is None and "plan" in sys.argv[1:2]:
        gc.disable()  # a process that plans once and ends has no use for it: a twentieth of the time
    try:
        status = _answer(list(sys.argv[1:] if argv is None else argv))
        sys.stdout.flush()
    except BaseException as fault:
        status = _status(fault)
        _settle()
    return status


def _answer(argv: list[str]) -> int:
    asked = next((word for word in argv if not word.startswith("-")), None)
    if asked is not None and asked not in words.COMMANDS:
        raise VoyagerError(f"voyager: there is no command {asked}{_nearest(asked, list(words.COMMANDS))}")
    parser = words.build({asked} if asked else set())
    if not argv:
        parser.error("name a command, one of " + ", ".join(words.COMMANDS))
    args, left = parser.parse_known_args(argv)
    if left:
        _refuse(parser, args, left[0])
    return int(words.module(args.command).run(args))


def _refuse(parser: argparse.ArgumentParser, args: argparse.Namespace, word: str) -> None:
    commands = [args.command, *filter(None, [getattr(args, "kind", None)])]
    known, name = words.options(parser, *commands), " ".join(commands)
    if word in known:
        raise VoyagerError(f"voyager: {word} belongs to {name}; write it after that word")
    kind = "option" if word.startswith("-") else "argument"
    raise VoyagerError(f"voyager {name}: it has no {kind} {word}{_nearest(word, known)}")


def _nearest(word: str, known: list[str]) -> str:
    from difflib import get_close_matches

    near = get_close_matches(word, known, 1)
    return f"; did you mean {near[0]}?" if near else f"; there are {', '.join(known)}"


def _status(fault: BaseException) -> int:
    if isinstance(fault, SystemExit):
        return fault.code if isinstance(fault.code, int) else (BAD_INPUT if fault.code else DONE)
    if isinstance(fault, BrokenPipeError):
        return DONE
    if isinstance(fault, KeyboardInterrupt | Cancelled):
        return _say("cancelled", CANCELLED)
    if isinstance(fault, VoyagerError):
        return _say(str(fault), NO_PLAN if isinstance(fault, NoPlan) else BAD_INPUT)
    if os.environ.get(DEBUG) or not isinstance(fault, Exception):
        raise fault
    return _say(_unexpected(fault), BAD_INPUT)


def _unexpected(fault: Exception) -> str:
    what = " ".join(f"{type(fault).__name__}: {fault}".split())
    return f"voyager stopped on a fault of its own ({what}); set {DEBUG}=1 to see where, and report it"


def _say(text: str, status: int) -> int:
    try:
        sys.stderr.write(text.rstrip() + "\n")
    except OSError:
        _drop(sys.stderr.fileno())
    return status


def _settle() -> None:
    """Leave nothing in stdout that would fail again, with a traceback, when the interpreter ends."""
    try:
        sys.stdout.flush()
    except (OSError, ValueError):
        _drop(sys.stdout.fileno())


def _drop(descriptor: int) -> None:
    os.dup2(os.open(os.devnull, os.O_WRONLY), descriptor)


def _quieten() -> None:
    """One thread for linear algebra, no library warnings on stderr, text that any terminal takes."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if not os.environ.get(DEBUG):
        import warnings

        warnings.simplefilter("ignore")
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")


if __name__ == "__main__":
    sys.exit(main())
