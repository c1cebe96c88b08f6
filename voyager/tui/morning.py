"""The card of one morning, ready to be drawn: berths, kinds of sky, bands of charge. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from voyager.report.card import held, printed, up
from voyager.tui import words
from voyager.tui.units import PLAIN, Units

Row = Mapping[str, Any]
SKIES = {"dark": "▁", "dull": "▂", "mixed": "▄", "fair": "▆", "bright": "█"}
WAYS = {"go": "→", "back": "←"}
NOT_HELD = " (not held)"
BerthKey = tuple[str, float, int]


@dataclass(frozen=True)
class Band:
    """From a charge (kWh) up to the next band; ``part`` its ink, ``name`` what to do."""

    from_kwh: float
    part: str
    name: str
    text: str

    @property
    def labels(self) -> tuple[str, ...]:
        """From the longest to the shortest."""
        name = self.name
        if self.part in WAYS:
            sign, short = WAYS[self.part], name.partition(".")[0] if name.startswith("km ") else name
            return f"{sign} {name}", name, f"{sign} {short}", short, words.cut(short, 6), words.cut(short, 4), sign
        if self.part == "plug":
            return f"╧ {name}", "╧"
        if name.endswith(NOT_HELD):
            return name, NOT_HELD.strip(" ()"), "not…", "✗"
        return name, name.partition(" ")[0], words.cut(name, 4), name[:1]


@dataclass(frozen=True)
class Sky:
    """One kind of sky on one morning at one berth: all its ``bands``, and the ``few`` that a strip can name."""

    name: str
    sign: str
    chance: float
    bands: tuple[Band, ...]
    few: tuple[Band, ...]
    evening: tuple[Band, ...]
    go_from_kwh: float | None
    shore_below_kwh: float | None

    @property
    def stays(self) -> bool:
        """Whether no charge is enough to go."""
        return all(band.part == "stay" for band in self.bands)


@dataclass(frozen=True)
class Berth:
    """Where the boat may wake, with the rows of its skies, darkest first."""

    mooring: str
    km: float
    night: int
    skies: tuple[Sky, ...]

    @property
    def chance(self) -> float:
        """Share of members that wake here."""
        return max(sky.chance for sky in self.skies)

    @property
    def key(self) -> "BerthKey":
        """What tells it from all others of the day."""
        return self.mooring, self.km, self.night

    @property
    def one_evening(self) -> bool:
        """Whether the evening is the same under every sky."""
        return len({sky.evening for sky in self.skies}) == 1


def berths(
    rows: Sequence[Row], capacity_kwh: float, ceiling_kwh: float, units: Units = PLAIN
) -> tuple[Berth, ...]:
    """The berths of one day's rows in their order along the way; a further night at a place is a berth of its own."""
    groups: list[list[Row]] = []
    for row in rows:
        group = next((g for g in groups if _joins(g, row)), None)
        if group is None:
            groups.append([row])
        else:
            group.append(row)
    found: list[Berth] = []
    for group in groups:
        mooring, km = group[0]["mooring"], group[0]["km"]
        night = sum((berth.mooring, berth.km) == (mooring, km) for berth in found)
        skies = tuple(_sky(row, capacity_kwh, ceiling_kwh, units) for row in _in_order(group))
        found.append(Berth(mooring, km, night, skies))
    return tuple(sorted(found, key=lambda berth: (berth.km, berth.night)))


def _joins(group: Sequence[Row], row: Row) -> bool:
    same = (group[0]["mooring"], group[0]["km"]) == (row["mooring"], row["km"])
    return same and all(row["sky_class"] != other["sky_class"] for other in group)


def _in_order(rows: Sequence[Row]) -> list[Row]:
    order = list(SKIES)
    return sorted(rows, key=lambda row: order.index(row["sky_class"]))


def _sky(row: Row, capacity_kwh: float, ceiling_kwh: float, units: Units) -> Sky:
    name, km = row["sky_class"], row["km"]
    bands = merged([_morning(band, km, units) for band in row["bands"]])
    evening = merged([_evening(band) for band in row["evening"]])
    few = tuple(_morning(band, km, units) for band in printed(row["bands"], km, capacity_kwh, ceiling_kwh))
    return Sky(name, SKIES[name], row["chance"], bands, few, evening, row["go_from_kwh"], row["shore_below_kwh"])


def _morning(band: Row, here_km: float, units: Units) -> Band:
    short = "" if held(band) else NOT_HELD
    if band["do"] == "stay":
        return Band(band["from_kwh"], "stay", f"stay{short}", f"stay{short}")
    name, km = band["to"], words.figure(units.length_of(band["to_km"]))
    speed = f"{words.figure(units.speed_of(band['speed_kmh']))} {units.speed}"
    where = name if name.startswith("km ") else f"{name}, {units.length} {km}"
    back = band["to_km"] < here_km
    to = "to the plug at" if band.get("why") == "to-shore" else "to"
    text = f"go {'back ' * back}{to} {where}, at {speed}{short}"
    return Band(band["from_kwh"], "back" if back else "go", f"plug {name}" if to != "to" else name, text)


def _evening(band: Row) -> Band:
    step, short = band["comfort"], "" if held(band) else NOT_HELD
    if band["plug_in"]:
        return Band(band["from_kwh"], "plug", f"plug, {step}", f"plug in, {step}{short}")
    return Band(band["from_kwh"], "step", step + short, step + short)


def merged(bands: Sequence[Band]) -> tuple[Band, ...]:
    """Neighbours that say the same as one, the lowest of them."""
    return tuple(band for at, band in enumerate(bands) if not at or band.text != bands[at - 1].text)


def kwh_words(kwh: float) -> str:
    """A charge from which something holds, never flattered: rounded up to a tenth."""
    return f"{up(kwh):.1f}"


def chance_words(share: float) -> str:
    """``41%``; below one percent says so."""
    return "<1%" if 0 < share < 0.0095 else f"{100 * share:.0f}%"


def thresholds(sky: Sky) -> str:
    """Go-from and shore-below in words."""
    never = "stay at any charge" if sky.stays else "go at no charge up to full"
    go = never if sky.go_from_kwh is None else f"go from {kwh_words(sky.go_from_kwh)} kWh"
    return go if sky.shore_below_kwh is None else f"{go} · plug in below {kwh_words(sky.shore_below_kwh)} kWh"


def evening_words(sky: Sky) -> str:
    """The evening's bands in one line of text."""
    first, *rest = sky.evening
    return " · ".join([first.text, *(f"from {kwh_words(band.from_kwh)} {band.text}" for band in rest)])


def page_lines(berth: Berth, ceiling_kwh: float) -> list[tuple[str, str]]:
    """Every band in full, as lines of (kind, text)."""
    lines: list[tuple[str, str]] = []
    for sky in berth.skies:
        lines.append(("title", f"{sky.sign} {sky.name}: {thresholds(sky)}"))
        ends = [*(band.from_kwh for band in sky.bands[1:]), ceiling_kwh]
        for band, end in zip(sky.bands, ends, strict=True):
            lines.append(("plain", f"  {kwh_words(band.from_kwh):>5} to {kwh_words(end):>5} kWh  {band.text}"))
        lines.append(("plain", f"  evening: {evening_words(sky)}"))
    return lines
