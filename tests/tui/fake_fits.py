"""Fits and the search for the next measurement, made up by hand: not results."""

import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from tests.report.fit_samples import HEAT
from tests.report.test_worth_text import RESULT
from voyager.errors import Cancelled, InputError, Problem, Problems
from voyager.session.fit_cautions import ALWAYS, texts

Json = dict[str, Any]
SAID = "2027-03-01, voyager fit heat heater-test.csv"
UA = "cabin.ua_w_per_k"
PUTS = [[["cabin", "ua_w_per_k"], 62.4], [["standard_error", UA], 1.8]]
REMARKS = {UA: f"{SAID}, ± 1.8", f"standard_error.{UA}": SAID}


def fit_here(kind: str, file: str, options: Mapping[str, Any], path: str, documents: Mapping[str, Any]) -> Json:
    """The sample, whatever is asked for, which its notes repeat."""
    if "bad" in file:
        raise Problems([Problem("bad.csv", 1, "insid_c", "there is no such column; did you mean inside_c?"),
                        Problem("bad.csv", 4, "heater_w", '"nine" is no number')])  # fmt: skip
    if kind == "roll" and "scale" not in options:
        raise InputError("roll.csv: the scale is missing: give --scale")
    asked = [f"asked with {', '.join(f'{key} {value}' for key, value in options.items())}"] if options else []
    values = {} if kind == "roll" else {UA: 62.41}
    return {**HEAT, "kind": kind, "file": file, "caution_texts": texts(ALWAYS[kind]), "values": values,
            "notes": [*HEAT["notes"], *asked]}  # fmt: skip


def offered(result: Mapping[str, Any], boat: str, held: Mapping[str, Any], today: str) -> Json:
    """A difference in one value; none where the boat has it."""
    if not result["values"]:
        raise InputError("fit roll gives nothing that a boat file holds")
    if held.get("cabin", {}).get("ua_w_per_k") == 62.4:
        return {"difference": [], "puts": PUTS, "remarks": {}, "notes": []}
    lines = ["--- sedge.toml", "+++ sedge.toml with the fit", "@@ -40,1 +40,1 @@", " [cabin]", "-ua_w_per_k = 62",
             f"+ua_w_per_k = 62.4 # {REMARKS[UA]}", "+[standard_error]", f'+"{UA}" = 1.8 # {SAID}']  # fmt: skip
    return {"difference": lines, "puts": PUTS, "remarks": REMARKS, "notes": []}


def draw(result: Mapping[str, Any], path: str, force: bool = False) -> Json:
    """No picture, but the kind of the fit."""
    if not force and Path(path).exists():
        return {"exists": path}
    Path(path).write_text(f"drawn: {result['kind']}", "utf-8")
    return {"written": path}


def worth(
    path: str,
    documents: Mapping[str, Any],
    *,
    progress: Callable[[float, str], None],
    cancelled: Callable[[], bool],
) -> Json:
    """Two values; from an endless voyage only once it is no longer wanted."""
    progress(0.25, "boat 2 of 5")
    while "endless" in path:
        if cancelled():
            raise Cancelled
        time.sleep(0.01)
    hull, share = ({**one, "text": f"{one['name']}: 1.2 days later"} for one in RESULT["values"])
    health = {**share, "name": "health of the battery", "command": "", "test": "counted from full to the reserve"}
    return {**RESULT, "values": [hull, share, health]}


def patient(*, progress: Callable[[float, str], None], cancelled: Callable[[], bool]) -> str:
    """Tells that it has begun, and is at it until it is no longer wanted."""
    progress(0.5, "half")
    while not cancelled():
        time.sleep(0.01)
    raise Cancelled


def soon(text: str, *, progress: Callable[[float, str], None], cancelled: Callable[[], bool]) -> str:
    """At once."""
    return text
