"""The morning card drawn as lines of runs. No Textual here."""

from dataclasses import dataclass

from voyager.report.words import short_date
from voyager.tui import strips, words
from voyager.tui.morning import Berth, Sky, chance_words, evening_words, kwh_words
from voyager.tui.runs import Line, Run, length

LABEL = 15
LEGEND = "▸ the plan's sky · ┃ its charge · kWh stand below the edges │"


@dataclass(frozen=True)
class MorningView:
    """One morning: ``at`` counts the berths, None where the plan's own ``mooring`` has no card; ``note`` says why.

    ``headline``: go, slow or stay; ``left``: what is left if it turns out worse; ``forecast``: which one is in.
    """

    day: int
    date: str
    mooring: str
    berths: tuple[Berth, ...]
    at: int | None
    plan_kwh: float | None
    plan_sky: str | None
    capacity_kwh: float
    ceiling_kwh: float
    note: str | None
    headline: str = ""
    left: tuple[str, ...] = ()
    forecast: str = ""

    @property
    def berth(self) -> Berth | None:
        """The berth whose card is shown."""
        return None if self.at is None else self.berths[self.at]


def draw(view: MorningView, width: int, height: int) -> list[Line]:
    """The card in ``width`` columns; blank lines between the skies where ``height`` has room for them."""
    head = [_head(view, width), *_now(view, width), *_others(view, width)]
    berth = view.berth
    if berth is None or view.note is not None:
        return [*head, [], *([Run(text)] for text in words.wrapped(view.note or "", width))]
    blocks = [_sky(view, sky, berth, width) for sky in berth.skies]
    if berth.one_evening:
        blocks.append(_evening(view, berth.skies[0], width))
    top = _scale(view, width)
    flat: list[Line] = [line for block in blocks for line in block]
    if len(head) + 2 + len(flat) + len(blocks) <= height:
        flat = [line for block in blocks for line in (*block, [])]
    foot = [[Run(text, "muted")] for text in words.wrapped(LEGEND, width)]
    return [*head, top, *flat, *(foot if len(head) + 1 + len(flat) + len(foot) <= height else [])]


def _head(view: MorningView, width: int) -> Line:
    day = [Run("◂", "accent", "day(-1)"), Run(f" Day {view.day}, {' '.join(short_date(view.date).split())} ", "bold")]
    close = Run(" ×", "accent", "close")
    line = [*day, Run("▸ ", "accent", "day(1)"), Run(words.cut(_where(view), width - length(day) - 5))]
    return [*line, Run(" " * (width - length(line) - 2)), close]


def _now(view: MorningView, width: int) -> list[Line]:
    """The headline in bold, then what is left and the forecast."""
    lines: list[Line] = [[Run(text, "lead")] for text in words.wrapped(view.headline, width) if view.headline]
    for sentence in view.left:
        lines += [[Run(text)] for text in words.wrapped(sentence, width)]
    return [*lines, *([Run(text, "muted", "app.forecast")] for text in words.wrapped(view.forecast, width))]


def _where(view: MorningView) -> str:
    berth = view.berth
    name = view.mooring if berth is None else berth.mooring
    where = name if berth is None or name.startswith("km ") else f"{name}, km {words.figure(berth.km)}"
    if view.plan_kwh is None:
        return where
    sky = f", {view.plan_sky}" if view.plan_sky else ""
    return f"{where} · plan: {words.figure(view.plan_kwh)} kWh{sky}"


def _others(view: MorningView, width: int) -> list[Line]:
    """All berths of the day, likeliest named where not all fit; each can be clicked."""
    if len(view.berths) < 2:
        return []
    names = [f" {berth.mooring} {chance_words(berth.chance)} " for berth in view.berths]
    shown = _fitting(view, names, width - 9)
    line = [Run("wakes at ", "muted")]
    for index in shown:
        on = index == view.at
        line.append(Run(names[index], "chosen" if on else "plain", f"berth({index})"))
    return [line if len(shown) == len(names) else [*line, Run("…", "muted")]]


def _fitting(view: MorningView, names: list[str], room: int) -> list[int]:
    """The berth shown and the likeliest others, in their order, as many as fit."""
    order = sorted(range(len(names)), key=lambda index: (index != view.at, -view.berths[index].chance))
    kept: list[int] = []
    for index in order:
        if sum(len(names[one]) for one in [*kept, index]) + 1 > room:
            break
        kept.append(index)
    return sorted(kept)


def _scale(view: MorningView, width: int) -> Line:
    left = Run(f"{'  sky    wakes':<{LABEL}}", "muted")
    return [left, *strips.scale(view.capacity_kwh, view.ceiling_kwh, _cells(width), view.plan_kwh)]


def _cells(width: int) -> int:
    return max(10, width - LABEL - 1)


def _sky(view: MorningView, sky: Sky, berth: Berth, width: int) -> list[Line]:
    on = sky.name == view.plan_sky
    label = f"{'▸' if on else ' '}{sky.sign} {sky.name:<6} {chance_words(sky.chance):>4} "
    never = "  always stay" if sky.stays else ""
    go = never if sky.go_from_kwh is None else f"  go from {kwh_words(sky.go_from_kwh)}"
    cells = _cells(width)
    lines = [
        [Run(label, "accent" if on else "bold"), *strips.strip(sky.few, view.ceiling_kwh, cells, view.plan_kwh)],
        [Run(f"{go:<{LABEL}}", "muted"), Run(strips.edges(sky.few, view.ceiling_kwh, cells))],
    ]
    if berth.one_evening:
        return lines
    return [*lines, [Run(f"{_plug(sky) or '  evening':<{LABEL}}", "muted"), Run(words.cut(evening_words(sky), cells))]]


def _evening(view: MorningView, sky: Sky, width: int) -> list[Line]:
    cells = _cells(width)
    return [
        [Run(f"{'  evening':<{LABEL}}", "bold"), *strips.strip(sky.evening, view.ceiling_kwh, cells, None)],
        [Run(f"{_plug(sky):<{LABEL}}", "muted"), Run(strips.edges(sky.evening, view.ceiling_kwh, cells))],
    ]


def _plug(sky: Sky) -> str:
    return "" if sky.shore_below_kwh is None else f"  plug < {kwh_words(sky.shore_below_kwh)}"
