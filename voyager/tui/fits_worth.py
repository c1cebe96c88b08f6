"""The measurement worth making next, drawn as lines of runs. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from voyager.report.words import counted, long_date
from voyager.report.worth_text import NOTHING, RANKED
from voyager.tui import words
from voyager.tui.fits_view import heading
from voyager.tui.runs import Line, Run

Json = Mapping[str, Any]
NAME_LEAST: Final = 18
TEST_LEAST: Final = 24
HEADS: Final = ("Value", "known", "", "days", "wider", "kWh")
SOURCES: Final = {"boat file": "f", "usual": "u"}
BEFORE: Final = (
    "Every uncertain value of the boat, one standard error up and down: which of them leaves the arrival of this "
    "voyage most in doubt, and the test that would narrow it. It follows the voyage through 200 skies for each, "
    "which takes some seconds to a minute."
)
NOTE: Final = (
    "±: one standard error; f: that of the boat file, u: the usual one of a value that nobody measured (common "
    "practice, no source). Days: later, or sooner (−), by one standard error more. Wider: days that not knowing it "
    "adds to the spread of the arrival. kWh: more or less in reserve. Illustrative, not for navigation."
)


def before(width: int) -> list[Line]:
    """What the search would do."""
    return [[Run(f"  {text}", "muted")] for text in words.wrapped(BEFORE, width - 4)]


def opening(worth: Json, width: int, former: bool) -> list[Line]:
    """Above the table: the arrival, and which measurement."""
    arrival = worth["arrival"]
    half = "fewer than half arrive" if arrival["p50"] is None else f"half arrive by {long_date(arrival['p50'])}"
    spread = "" if arrival["sd_days"] is None else f", give or take {arrival['sd_days']:.1f} days"
    told = [f"{counted(worth['members'], 'sky', 'skies')}: {half}{spread}. {RANKED[worth['ranked_by']]}".strip()]
    best = worth["next"]
    told.append(NOTHING if best is None else f"Measure next: {best['text']}.")
    if former:
        told.append("This answers the voyage as it was before the last changes.")
    lines: list[Line] = [heading("Worth measuring next", width)]
    for at, sentence in enumerate(told):
        part = "lead" if at == 1 else "low" if at == 2 else "plain"
        lines += [[Run(f"  {text}", part)] for text in words.wrapped(sentence, width - 4)]
    return lines


def table(worth: Json, width: int) -> tuple[Line, list[str]]:
    """The heading and the text of each row; its test beside it where there is room."""
    rows = [_cells(one) for one in worth["values"]]
    wide = [max([len(HEADS[at]), *(len(row[at]) for row in rows)]) for at in range(1, len(HEADS))]
    longest = max([len(HEADS[0]), *(words.columns(row[0]) for row in rows)])
    room = max(NAME_LEAST, min(longest, width - 2 - sum(wide) - 2 * len(wide)))
    left = width - 2 - room - sum(wide) - 2 * len(wide) - 2
    tests = [str(one["test"]) if left >= TEST_LEAST else "" for one in worth["values"]]
    head = _row(HEADS, room, wide) + ("  test" if left >= TEST_LEAST else "")
    drawn = [
        _row(row, room, wide) + (f"  {words.cut(test, left)}" if test else "")
        for row, test in zip(rows, tests, strict=True)
    ]
    return [Run(head, "muted")], drawn


def _row(cells: Sequence[str], room: int, wide: Sequence[int]) -> str:
    figures = "  ".join(f"{cell:>{one}}" for cell, one in zip(cells[1:], wide, strict=True))
    return f"  {words.padded(cells[0], room)}  {figures}"


def _cells(one: Json) -> tuple[str, ...]:
    name = f"{one['name']}, {one['unit']}".removesuffix(", ")
    figures = (_figure(one[key]) for key in ("effect_days", "widens_days", "margin_kwh"))
    return name, f"{one['value']:g} ± {one['se']:g}", SOURCES[one["se_from"]], *figures


def _figure(value: float | None) -> str:
    return words.NONE if value is None else f"{value:.3g}".replace("-", "−")


def below(row: Json | None, width: int) -> list[Line]:
    """What the value under the cursor does, and what the columns mean."""
    told = [] if row is None else words.wrapped(f"{row['text']}.", width - 4)
    lines: list[Line] = [[Run(f"  {text}")] for text in told]
    note: list[Line] = [[Run(f"  {text}", "muted")] for text in words.wrapped(NOTE, width - 4)]
    return [*lines, *([[]] if lines else []), *note]
