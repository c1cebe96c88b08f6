"""The page of fits drawn as lines of runs: kinds, file, options, what was found with its plot. No Textual here."""

import os
from collections.abc import Iterable, Mapping, Sequence
from textwrap import wrap
from typing import Any, Final

from voyager.report.fit_words import figures, left_out, unit
from voyager.report.plot_text import BLANK, PLAIN_POINTS, POINTS, plot_lines
from voyager.report.words import counted
from voyager.session.fit_fields import columns
from voyager.session.recent import short
from voyager.tui import words
from voyager.tui.fits_rows import KINDS, MEANT, Page
from voyager.tui.runs import Line, Run, beside, length

Json = Mapping[str, Any]
LABEL: Final = 26
BESIDE_FROM = 104
PLOT_LEAST, PLOT_MOST = 12, 22
WHEEL = "|/-\\"
CHOOSE = "choose a CSV"


def kinds_line(page: Page, width: int, on: bool) -> Line:
    """The kinds of fit, the one that is shown in brackets; each can be clicked."""
    line: Line = [Run("  Measured   ", "chosen" if on else "bold")]
    for kind in KINDS:
        here = kind == page.kind
        text = f"[{kind}]" if here else f" {kind} "
        line.append(Run(text, "chosen" if here and on else "accent" if here else "plain", f"kind('{kind}')"))
    meant = f"  {MEANT[page.kind]}"
    return [*line, Run(meant, "muted")] if length(line) + len(meant) <= width else line


def file_line(page: Page, base: str, width: int, on: bool) -> Line:
    """The file with the measurements, as it is seen from the voyage's folder where it lies within."""
    file = page.here.file
    path = file.removeprefix(base.rstrip(os.sep) + os.sep) if file.startswith(base) else short(file)
    room = max(8, width - LABEL - 3)
    shown = CHOOSE if not path else path if len(path) <= room else f"…{path[len(path) - room + 1 :]}"
    text = f"  {'File':<{LABEL - 2}} {shown}"
    return [Run(f"{text:<{width}}" if on else text, "chosen" if on else "plain" if path else "accent", "file")]


def busy_line(turn: int, text: str, share: float | None = None) -> Line:
    """What is being computed, while it takes longer than a moment."""
    done = "" if share is None else f" {100 * share:.0f}%"
    return [Run(f"  {WHEEL[turn % len(WHEEL)]} {text}{done}", "accent")]


def awaited(kind: str, width: int) -> list[Line]:
    """What is wanted, before there is anything."""
    return _plain([f"A CSV with a header row: {columns(kind)}."], width, "muted")


def refused(reason: str, width: int) -> list[Line]:
    """Why there is no fit, sentence by sentence."""
    lines: list[Line] = []
    for sentence in reason.splitlines():
        for at, text in enumerate(words.wrapped(sentence, width - 4)):
            lines.append([Run(f"  {' ' if at else '✗'} {text}", "low")])
    return lines


def found(result: Json, width: int, height: int, ascii: bool, does: str) -> list[Line]:
    """What came of a fit, the plot beside it where there is room; ``does``: a line on what can be done with it."""
    wide = width >= BESIDE_FROM
    room = width * 11 // 20 if wide else width
    first = [*_opening(result, room), [], *_parameters(result, room)]
    plot = _plot(result, width - room - 2 if wide else width, height, ascii)
    both = (
        beside([*first, *_derived(result, room)], plot, room + 2)
        if wide
        else [*first, [], *plot, *_derived(result, room)]
    )
    return [heading(title(result), width), [Run(f"  {does}", "accent", "offer")], *both, *_lists(result, width)]


def title(result: Json) -> str:
    """``heat.csv: 150 of 151 rows used``."""
    name = str(result["file"]).replace("\\", "/").rpartition("/")[2]
    return f"{name}: {result['used']} of {counted(result['rows'], 'row', 'rows')} used"


def heading(text: str, width: int) -> Line:
    """A name and a rule."""
    text = words.cut(text, width - 4)
    return [Run(f" {text} ", "bold"), Run("─" * max(0, width - words.columns(text) - 2), "muted")]


def _opening(result: Json, width: int) -> list[Line]:
    rms, of = figures(result["residual"]["rms"])[0], unit(result["residual"]["unit"])
    left = f"{rms} {of}".rstrip()
    return _plain([f"Model: {result['model']}; {left} unexplained (root mean square)"], width, "muted")


def _parameters(result: Json, width: int) -> list[Line]:
    rows = []
    for one in result["parameters"]:
        value, error, low, high = figures(one["value"], one["se"], one["low"], one["high"], error=one["se"])
        rows.append((str(one["name"]), value, f"± {error}", f"{low} to {high}", unit(one["unit"])))
    if not rows:
        return []
    heads = ("Found", "value", "±", "95 % interval", "unit")
    return _table([heads, *rows], width)


def _table(rows: Sequence[tuple[str, ...]], width: int) -> list[Line]:
    """Columns as wide as they must be; names that are too long go on below, the first row is the heading."""
    wide = [max(words.columns(row[at]) for row in rows) for at in range(1, len(rows[0]))]
    room = max(12, min(max(words.columns(row[0]) for row in rows), width - 2 - sum(wide) - 2 * len(wide)))
    lines: list[Line] = []
    for number, row in enumerate(rows):
        name, *more = words.wrapped(row[0], room)
        cells = [
            f"{cell:>{w}}" if at < 2 else f"{cell:<{w}}" for at, (cell, w) in enumerate(zip(row[1:], wide, strict=True))
        ]
        part = "muted" if not number else "plain"
        lines.append([Run(f"  {name:<{room}}", part), Run("  " + "  ".join(cells), part if not number else "bold")])
        lines += [[Run(f"    {text}")] for text in more]
    return lines


def _derived(result: Json, width: int) -> list[Line]:
    rows = []
    for one in result["derived"]:
        value, error = figures(one["value"], one["se"], error=one["se"])
        rows.append((str(one["name"]), value, "" if one["se"] is None else f"± {error}", unit(one["unit"])))
    return [[], *_table([("What follows", "", "", ""), *rows], width)] if rows else []


def _plot(result: Json, width: int, height: int, ascii: bool) -> list[Line]:
    title, *lines = plot_lines(result["plot"], width - 2, min(max(height - 2, PLOT_LEAST), PLOT_MOST), ascii)
    return [[Run(f"  {title}", "bold")], *([Run("  "), *_inked(line)] for line in lines)]


def _inked(line: str) -> Line:
    """Points, lines and frame in inks of their own; their signs tell them apart without."""
    drawn: Line = []
    frame = next((at for at, sign in enumerate(line) if sign in "│|└+"), -1)
    if frame < 0 or not set(line[:frame]) <= set(" -.0123456789"):
        return [Run(line)] if line.startswith(" ") else _legend(line)
    for at, sign in enumerate(line):
        part = "muted" if at <= frame else _ink(sign)
        if drawn and drawn[-1].part == part:
            drawn[-1] = Run(drawn[-1].text + sign, part)
        else:
            drawn.append(Run(sign, part))
    return drawn


def _legend(line: str) -> Line:
    """What is what: each sample in the ink that it has above."""
    drawn: Line = []
    for one in line.split("   "):
        sample, _, name = one.partition(" ")
        drawn += [Run("   ")] if drawn else []
        drawn += [Run(sample, _ink(sample[:1])), Run(f" {name}")]
    return drawn


def _ink(sign: str) -> str:
    if sign in POINTS or sign in PLAIN_POINTS:
        return "mark"
    return "bar" if BLANK < ord(sign) < BLANK + 256 else "plain"


def _lists(result: Json, width: int) -> Iterable[Line]:
    for name, told in (("Notes", result["notes"]), ("Left out", left_out(result["left_out"]))):
        if told:
            yield []
            yield heading(name, width)
            yield from _plain([str(one) for one in told], width)


def _plain(told: Iterable[str], width: int, part: str = "plain") -> list[Line]:
    lines: list[Line] = []
    for sentence in told:
        lines += [[Run(f"  {' ' * (2 if at else 0)}{text}", part)]
                  for at, text in enumerate(words.wrapped(sentence, width - 4))]  # fmt: skip
    return lines


def offered(offer: Json, width: int, take: str, leave: str) -> list[Line]:
    """The difference that a fit would make in the boat file, and the question."""
    lines: list[Line] = [heading("Put this into the boat file? It is saved when you save", width)]
    if not offer["difference"]:
        return [*lines, [Run("  The boat says so already.")], [Run(f"  {leave} goes back", "accent", "leave")]]
    lines.append(
        [Run(f"  {take} puts it in", "accent", "take"), Run("   "), Run(f"{leave} leaves it", "accent", "leave")]
    )
    lines.append([])
    for one in offer["difference"]:
        part = {"-": "low", "+": "bold", "@": "muted"}.get(one[:1], "muted")
        lines += [[Run(f"  {'' if not at else '    '}{text}", part)] for at, text in enumerate(_folded(one, width - 4))]
    return [*lines, *([] if not offer["notes"] else [[]]), *_plain(offer["notes"], width)]


def _folded(text: str, width: int) -> list[str]:
    """A line of a file as it is, folded where it is too long."""
    return wrap(text, max(12, width - 4), break_on_hyphens=False) or [""]
