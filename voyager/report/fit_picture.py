"""The plot of a fit as a picture, SVG or PNG: the same bytes for the same result, readable without colour."""

import io
import re
from collections.abc import Mapping
from html import escape
from typing import Any, Final

from voyager.errors import InputError

Result = Mapping[str, Any]
FORMS: Final = ("svg", "png")
MARKS: Final = "oxs+^dv*"
LINES: Final = ("-", "--", ":", "-.")
HATCHES: Final = ("///", "\\\\\\", "...", "xxx")
COLOURS: Final = ("#0b4f8a", "#b3470c", "#2f6b2f", "#6d3f8f", "#5a5a5a")
"""Dark enough on white for text (contrast 4.5 and more); marks, dashes and hatching tell the series apart without."""
SIZE_IN: Final = (8.0, 5.0)
DPI: Final = 150
MANY: Final = 40
"""More points than so many are drawn hollow and below the lines, which they would hide."""
SALT: Final = "voyager"
STYLE: Final = {
    "svg.fonttype": "none",
    "svg.hashsalt": SALT,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
}


def form_of(path: str) -> str:
    """svg or png, by the ending of a file's name. Raises InputError."""
    ending = path.rpartition(".")[2].lower()
    if ending not in FORMS:
        raise InputError(f"--picture {path}: its name must end in .svg or .png")
    return ending


def picture(result: Result, form: str) -> bytes:
    """The plot of a ``fit`` object; SVG with a role, a title and a description for those who cannot see it."""
    import matplotlib

    with matplotlib.rc_context(STYLE):
        figure = _figure(result["plot"])
        stream = io.BytesIO()
        if form == "svg":
            figure.savefig(stream, format="svg", metadata={"Date": None})
            return _described(stream.getvalue().decode("utf-8"), result).encode("utf-8")
        figure.savefig(stream, format="png", dpi=DPI, metadata={"Software": None})
        return stream.getvalue()


def _figure(plot: Result) -> Any:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=SIZE_IN, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    counts = {"points": 0, "line": 0, "band": 0}
    for number, one in enumerate(plot["series"]):
        _draw(axes, one, counts[one["kind"]], COLOURS[number % len(COLOURS)])
        counts[one["kind"]] += 1
    axes.set_title(_plain(plot["title"]))
    axes.set_xlabel(_plain(plot["x_label"]))
    axes.set_ylabel(_plain(plot["y_label"]))
    axes.grid(True, linewidth=0.4, color="#c8c8c8")
    axes.set_axisbelow(True)
    if plot["series"]:
        axes.legend(frameon=True, framealpha=0.9)
    return figure


def _draw(axes: Any, one: Result, number: int, colour: str) -> None:
    label = _plain(one["name"])
    if one["kind"] == "band":
        style = {"facecolor": "#e4e4e4", "edgecolor": "#9a9a9a", "linewidth": 0.6}
        axes.fill_between(one["x"], one["y"], one["y2"], label=label, hatch=HATCHES[number % len(HATCHES)], **style)
    elif one["kind"] == "line":
        dashes = LINES[number % len(LINES)]
        axes.plot(one["x"], one["y"], dashes, label=label, color=colour, linewidth=1.6, zorder=3)
    else:
        mark, many = MARKS[number % len(MARKS)], len(one["x"]) > MANY
        size = {"markersize": 4, "fillstyle": "none", "zorder": 2.5} if many else {"markersize": 6, "zorder": 4}
        axes.plot(one["x"], one["y"], mark, label=label, color=colour, **size)


def _plain(text: str) -> str:
    """Text without signs that the drawing would take as formulas."""
    return text.replace("$", "\\$")


def describe(result: Result) -> str:
    """What the picture shows, in words."""
    plot = result["plot"]
    names = ", ".join(str(one["name"]) for one in plot["series"])
    found = "; ".join(f"{one['name']} {one['value']:.4g} {one['unit']}".rstrip(" -") for one in result["parameters"])
    return f"{plot['y_label']} against {plot['x_label']}: {names}. Found: {found}."


def _described(svg: str, result: Result) -> str:
    svg = re.sub(r"<!DOCTYPE.*?>\s*|<metadata>.*?</metadata>\s*", "", svg, flags=re.DOTALL)
    title, told = escape(str(result["plot"]["title"])), escape(describe(result))
    head = 'role="img" aria-labelledby="voyager-title voyager-desc"'
    told = f'<title id="voyager-title">{title}</title>\n <desc id="voyager-desc">{told}</desc>\n'
    return re.sub(r"<svg ([^>]*)>\s*", lambda found: f"<svg {head} {found[1]}>\n {told} ", svg, count=1)
