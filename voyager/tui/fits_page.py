"""The page of fits put together: rows that can be chosen, and what came of them. No Textual here."""

from collections.abc import Mapping, Sequence
from typing import Any

from voyager.session.recent import folder_of
from voyager.session.sketch.history import same
from voyager.tui import fits_view, fits_worth, words
from voyager.tui.actions import key_of
from voyager.tui.desk import Desk
from voyager.tui.fits_rows import FILE_ROW, KIND_ROW, NEXT, OPTIONS_FROM, Page, cautions, kind_of
from voyager.tui.fits_units import in_units
from voyager.tui.runs import Line, Run
from voyager.tui.values_rows import ValueRow
from voyager.tui.values_view import line_of

Drawn = tuple[list[Line], list[int]]
Waits = tuple[str, int]
"""What is being computed for longer than a moment, empty for nothing, and how far its wheel has turned."""


def drawn(
    page: Page, desk: Desk, options: Sequence[ValueRow], size: tuple[int, int], cursor: int, waits: Waits
) -> Drawn:
    """The lines for a size in columns and rows, and which of them the rows are."""
    width, height = size
    if page.offer is not None:
        return fits_view.offered(page.offer, width, key_of("fits-choose"), key_of("fits-close")), [0]
    head = [fits_view.kinds_line(page, width, cursor == KIND_ROW)]
    if page.kind == NEXT:
        return _next(head, page, desk, width, cursor, waits[1])
    head.append(fits_view.file_line(page, folder_of(desk.path), width, cursor == FILE_ROW))
    head += [line_of(row, width, cursor == at) for at, row in enumerate(options, OPTIONS_FROM)]
    return [*head, *_came(page, desk, width, height, waits)], list(range(len(head)))


def _came(page: Page, desk: Desk, width: int, height: int, waits: Waits) -> list[Line]:
    """What came of the fit, or why nothing did."""
    here = page.here
    lines: list[Line] = [fits_view.busy_line(waits[1], waits[0])] if waits[0] else [[]]
    if here.reason:
        return [*lines, *fits_view.refused(here.reason, width)]
    if here.result is not None:
        result = in_units(here.result, desk.units)
        return [*lines, *fits_view.found(result, width, height, desk.ascii, _does(here.result))]
    return lines if here.file else [*lines, *fits_view.awaited(page.kind, width)]


def _does(result: Mapping[str, Any]) -> str:
    picture = f"{key_of('fits-picture')} writes a picture"
    return f"{key_of('fits-put')} puts this into the boat file · {picture}" if result["values"] else picture


def _next(lines: list[Line], page: Page, desk: Desk, width: int, cursor: int, turns: int) -> Drawn:
    worth, stops = page.worth, [KIND_ROW, FILE_ROW]
    lines.append(_search_line(page, width, cursor == FILE_ROW, turns))
    if page.here.reason:
        lines += [[], *fits_view.refused(page.here.reason, width)]
    if worth is None:
        return [*lines, [], *fits_worth.before(width)], stops
    former = page.worth_of is None or not same(page.worth_of, desk.sketch)
    head, rows = fits_worth.table(worth, width)
    lines += [*fits_worth.opening(worth, width, former), [], head]
    for at, row in enumerate(rows, OPTIONS_FROM):
        stops.append(len(lines))
        lines.append([Run(words.padded(row, width), "chosen" if at == cursor else "plain")])
    return [*lines, [], *fits_worth.below(worth_row(page, cursor), width)], stops


def _search_line(page: Page, width: int, on: bool, turns: int) -> Line:
    if page.share is not None:
        share, text = page.share
        return [*fits_view.busy_line(turns, text, share), Run(f" · {key_of('fits-stop')} stops", "accent", "stop")]
    text = f"  {key_of('fits-choose')} works it out{'' if page.worth is None else ' anew'}"
    return [Run(f"{text:<{width}}" if on else text, "chosen" if on else "accent", "search")]


def foot(page: Page, option: ValueRow | None, cursor: int) -> list[tuple[str, str]]:
    """What is to be said of the row under the cursor, and what to heed."""
    lines, row = list[tuple[str, str]](), worth_row(page, cursor) if page.kind == NEXT else None
    if option is not None and option.field is not None and page.offer is None:
        lines.append(("plain", f"{option.title}: {option.field['help']}"))
    if row is not None:
        there = "" if kind_of(row) is None else f" {key_of('fits-choose')} goes to its page."
        lines.append(("plain", f"Test: {row['test']}.{there}"))
    return lines + [("caution", f"! {text}") for text in cautions(page, cursor - OPTIONS_FROM)]


def worth_row(page: Page, cursor: int) -> Mapping[str, Any] | None:
    """The value of "next" under the cursor."""
    values = (page.worth or {}).get("values", ())
    return values[cursor - OPTIONS_FROM] if 0 <= cursor - OPTIONS_FROM < len(values) else None
