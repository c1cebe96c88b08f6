"""The form of all values as drawn lines, its foot, and finding in it. No Textual here."""

from collections.abc import Sequence

from voyager.session.value_text import figure as figure_text
from voyager.session.value_text import limits_text, plain_scale
from voyager.tui import words
from voyager.tui.runs import Line, Run
from voyager.tui.values_rows import ROOM, SPARE, ValueRow

LABEL, UNIT = 24, 9
VALUE_AT = LABEL + 3
FIGURES = {"number", "integer", "hourly"}
FAR = 2e4
OWN, DEFAULT, FAULT = "•", " ", "✗"


def line_of(row: ValueRow, width: int, on: bool) -> Line:
    """One line of the form: sign, label, value, unit, whether it is the file's own, limits."""
    if row.heading:
        title = words.cut(row.title, width - 4)
        return [Run(f" {title} ", "bold"), Run("─" * max(0, width - len(title) - 2), "muted")]
    if row.adds:
        return [Run(f"  {row.title:<{max(0, width - 2)}}", "chosen" if on else "accent")]
    sign = FAULT if row.faults else OWN if row.own else DEFAULT
    text = f"{sign} {words.cut(row.title, LABEL):<{LABEL}} {_value(row, width - VALUE_AT)}"
    if on:
        return [Run(f"{words.cut(text, width):<{width}}", "chosen")]
    if row.faults:
        return [Run(words.cut(text, width), "low")]
    return [Run(words.cut(text, width), "plain" if row.own else "muted")]


def _value(row: ValueRow, room: int) -> str:
    """Figures to the right with their unit, all else to the left; what is long has the whole room.

    What stands behind a short text begins nearer to it where it would be cut.
    """
    if row.long:
        return words.cut(row.shown if row.own else f"default: {row.shown}", room)
    figure = row.field is not None and row.field["kind"] in FIGURES
    tail = ", ".join(part for part in ("" if row.own else "default", _limits(row)) if part)
    near = max(words.columns(row.shown) + 2, min(ROOM + UNIT + 2, room - words.columns(tail)))
    head = f"{row.shown:>{ROOM}} {row.unit:<{UNIT}} " if figure else words.padded(row.shown, near)
    return head + words.cut(tail, max(0, room - words.columns(head)))


def _limits(row: ValueRow) -> str:
    """Short: ``>0 … 50``; an upper limit that is only there against slips is left to the foot."""
    if row.field is None or row.field["least"] is None:
        return " / ".join(row.field["choices"]) if row.field else ""
    shown = (row.scale or plain_scale(row.field)).shown
    least = f"{'>' if row.field['above'] else ''}{figure_text(shown(row.field['least']), 4)}"
    most = row.field["most"]
    ending = f" … {'<' if row.field['below'] else ''}{figure_text(shown(most), 4)}" if most and most < FAR else ""
    return f"{least}{ending}" if ending else f"{least}{'' if row.field['above'] else ' or more'}"


def _meaning(row: ValueRow) -> str:
    field = row.field or {}
    help_text = str(field["help"])
    said = f"where none is given, {help_text.removeprefix('none: ')}" if help_text.startswith("none: ") else help_text
    limits = " / ".join(field["choices"]) or limits_text(field, row.scale)
    return f"{row.title}: {said}" + (f"; {limits}" if limits else "") + (f" ({field['key']})" if field["key"] else "")


def foot(row: ValueRow | None, width: int) -> list[tuple[str, str]]:
    """What there is to say about the row under the cursor: its faults, its meaning (two lines), its caution."""
    if row is None or row.heading:
        return []
    if row.field is None:
        return [("plain", f"Enter adds {SPARE[row.adds]}, with figures to be typed over.")]
    faults = [("alarm", f"{FAULT} {fault}") for fault in row.faults]
    caution = [("caution", f"! {row.field['caution']}")] if row.field["caution"] else []
    return [*faults, ("plain", words.cut(_meaning(row), 2 * max(20, width) - 10)), *caution]


def find(rows: Sequence[ValueRow], text: str, start: int) -> int | None:
    """The first row from ``start`` on, coming round, whose group and label hold every word, else its key or meaning."""
    named, meant = _hits(rows, text)
    found = named or meant
    return next((index for index in found if index >= start), found[0] if found else None)


def find_next(rows: Sequence[ValueRow], text: str, at: int) -> int | None:
    """The one after row ``at`` of all that ``find`` could find: first those of the name, then those of the meaning."""
    found = [index for hits in _hits(rows, text) for index in hits]
    if not found:
        return None
    return found[(found.index(at) + 1) % len(found)] if at in found else find(rows, text, at)


def _hits(rows: Sequence[ValueRow], text: str) -> tuple[list[int], list[int]]:
    """Rows whose group and label hold every word, and the others whose key or meaning do."""
    wanted = text.lower().split()
    named, meant = list[int](), list[int]()
    for index, row in enumerate(rows):
        if not wanted or row.heading:
            continue
        name = f"{row.group} {row.title}".lower()
        said = f"{name} {row.field['key']} {row.field['help']}".lower() if row.field else name
        if all(word in name for word in wanted):
            named.append(index)
        elif all(word in said for word in wanted):
            meant.append(index)
    return named, meant
