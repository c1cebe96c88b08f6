"""The measurement worth making next, drawn as lines of runs. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any, Final

from voyager.report.words import counted
from voyager.report.worth_text import NOTHING, RANKED
from voyager.tui import words
from voyager.tui.fits_view import heading
from voyager.tui.runs import Line, Run

Json = Mapping[str, Any]
NAME_LEAST: Final = 18
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
    half = "fewer than half arrive" if arrival["p50"] is None else f"half arrive by {arrival['p50']}"
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
    """The heading and the text of each row."""
    rows = [_cells(one) for one in worth["values"]]
    heads = ("Value", "known", "", "days", "wider", "kWh")
    wide = [max([len(heads[at]), *(len(row[at]) for row in rows)]) for at in range(1, len(heads))]
    room = max(NAME_LEAST, width - 2 - sum(wide) - 2 * len(wide))
    return [Run(f"  {_row(heads, room, wide)}", "muted")], [_row(row, room, wide) for row in rows]


def _row(cells: Sequence[str], room: int, wide: Sequence[int]) -> str:
    return f"{words.padded(cells[0], room)}  " + "  ".join(f"{c:>{w}}" for c, w in zip(cells[1:], wide, strict=True))


def _cells(one: Json) -> tuple[str, ...]:
    name = f"{one['name']}, {one['unit']}".removesuffix(", ")
    figures = (_figure(one[key]) for key in ("effect_days", "widens_days", "margin_kwh"))
    return name, f"{one['value']:g} ± {one['se']:g}", one["se_from"][:1], *figures


def _figure(value: float | None) -> str:
    return words.NONE if value is None else f"{value:.3g}".replace("-", "−")


def below(row: Json | None, width: int, test_key: str) -> list[Line]:
    """What there is to say of the value under the cursor: what it does, its test; then what the columns mean."""
    lines: list[Line] = []
    if row is not None:
        test = f"Test: {row['test']}." if row["test"] else "No test of this page narrows it."
        told = [str(row["text"]), test + (f" {test_key}" if row["command"] else "")]
        lines += [[Run(f"  {text}", "plain")] for sentence in told for text in words.wrapped(sentence, width - 4)]
        lines.append([])
    return [*lines, *([Run(f"  {text}", "muted")] for text in words.wrapped(NOTE, width - 4))]
