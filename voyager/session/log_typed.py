"""One typed line of the log: ``14:00 Kingston 61% sun 3.2 in 17 out 4: blocked filter``."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, time
from typing import Any, Final
from zoneinfo import ZoneInfo

from voyager.errors import InputError
from voyager.files.printable import printable
from voyager.session.log_dates import DATE, day_of
from voyager.session.log_places import Way

NUMBER: Final = r"([-+−]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+))"
END: Final = r"(?![\w.,]?\d)(?!\w)"
ENERGY_WORDS: Final = {
    "solar_kwh": ("sun", "solar"),
    "shore_kwh": ("shore", "plug"),
    "propulsion_kwh": ("motor", "propulsion"),
    "heating_kwh": ("heat", "heating", "heater"),
    "hotel_kwh": ("hotel",),
}
AIR_WORDS: Final = {"inside_c": ("in", "inside", "cabin"), "outside_c": ("out", "outside")}
WORDS: Final = {**ENERGY_WORDS, **AIR_WORDS}
NOTE: Final = re.compile(r":(?![0-9]{2}(?![0-9]))")
CLOCK: Final = re.compile(r"(?<![\w:.])([0-9]{1,2}):([0-9]{2})(?![\w:.])")
POSITION: Final = re.compile(rf"(?<![\w.]){NUMBER}\s*,\s*{NUMBER}{END}")
DISTANCE: Final = re.compile(rf"(?<![\w.,-])(?:(km|nm)\s*{NUMBER}|{NUMBER}\s*(km|nm))(?![\w.])", re.IGNORECASE)
CHARGE: Final = re.compile(rf"(?:(?<!\w)(?:charge|battery)\s*)?(?<![\w.,]){NUMBER}\s*(%|kwh(?!\w))", re.IGNORECASE)
NOTHING: Final = r"(?:-|none)(?=\s|$|,)"
KM_PER_NM: Final = 1.852
EXAMPLE: Final = '"14:00 Kingston 61% sun 3.2 in 17 out 4: blocked filter"'
LONGEST_SHOWN: Final = 80


class NotRead(InputError):
    """A line that cannot be read. ``brief``: the sentence for where the line itself stands beside it."""

    def __init__(self, text: str, what: str) -> None:
        self.what = what
        cut = what.removeprefix("cannot be read: ")
        self.brief = f"this line {what}" if cut == what else cut
        super().__init__(text)

    def __reduce__(self) -> tuple[type["NotRead"], tuple[str, str]]:
        return NotRead, (str(self), self.what)


@dataclass
class Line:
    """A line while it is read: what is left of it, and the values found; None: to be taken out."""

    text: str
    rest: str
    values: dict[str, Any] = field(default_factory=dict)

    def wrong(self, what: str) -> InputError:
        """The one sentence on what cannot be read."""
        shown = self.text if len(self.text) <= LONGEST_SHOWN else self.text[:LONGEST_SHOWN] + "…"
        return NotRead(f'"{shown}" {what}', what)

    def take(self, pattern: re.Pattern[str], what: str) -> re.Match[str] | None:
        """The one match of a pattern, taken out of the rest."""
        found = list(pattern.finditer(self.rest))
        if len(found) > 1:
            raise self.wrong(
                f"says more than one {what} ({found[0][0].strip()}, {found[1][0].strip()}); leave one away"
            )
        if not found:
            return None
        self.rest = f"{self.rest[: found[0].start()]} | {self.rest[found[0].end() :]}"
        return found[0]


def parse_line(text: str, way: Way, capacity_kwh: float, now: datetime, *, clearing: bool = False) -> dict[str, Any]:
    """The values that a line says, by the names of an entry; ``time_utc`` where it says a time.

    In any order: a time of the voyage's clock and perhaps its date (``log_dates``; else the day of ``now``), a place
    of the voyage or its kilometre or a position in degrees, the charge in % or kWh, and energies [kWh] and air [°C]
    after their words (sun, shore, motor, heat, hotel, in, out); after a colon a note. ``clearing``: ``sun -`` takes a
    value out. Raises InputError, one sentence.
    """
    text = printable(" ".join(text.split()))
    head, note = _parted(text)
    line = Line(text, head)
    if note is not None:
        line.values["note"] = note
    _take_place(line, way)
    for name, words in WORDS.items():
        _take_amount(line, name, words, clearing)
    _take_time(line, way, now)
    _take_km(line, way)
    _take_charge(line, capacity_kwh)
    _take_position(line)
    _refuse_rest(line, way)
    if not line.values.keys() - {"time_utc"}:
        raise line.wrong(f"says nothing but a time; write it like {EXAMPLE}" if text else f"is empty; write {EXAMPLE}")
    return line.values


def _parted(text: str) -> tuple[str, str | None]:
    """What stands before and after the first colon that is none of a clock time."""
    found = NOTE.search(text)
    return (text, None) if found is None else (text[: found.start()], text[found.end() :].strip())


def _take_place(line: Line, way: Way) -> None:
    for name in sorted(dict(way.places), key=lambda one: (-len(one), one)):
        found = re.search(rf"(?<!\w){re.escape(' '.join(name.split()))}(?!\w)", line.rest, re.IGNORECASE)
        if found is None:
            continue
        if "place" in line.values:
            raise line.wrong(f"names two places, {line.values['place']} and {name}; leave one away")
        line.values["place"] = name
        line.rest = f"{line.rest[: found.start()]} | {line.rest[found.end() :]}"


def _take_amount(line: Line, name: str, words: tuple[str, ...], clearing: bool) -> None:
    either = "|".join(sorted(words, key=len, reverse=True))
    energy = name.endswith("_kwh")
    unit = r"(kwh|wh|mj)?" if energy else r"(°\s?[cf]?|deg|[cf])?"
    if clearing and line.take(re.compile(rf"(?<!\w)(?:{either})\s*{NOTHING}", re.IGNORECASE), words[0]):
        line.values[name] = None
        return
    pattern = re.compile(rf"(?<!\w)(?:{either})\s*=?\s*{NUMBER}\s*{unit}{END}", re.IGNORECASE)
    found = line.take(pattern, words[0])
    if found is None:
        return
    wanted, said = ("kWh", "kwh") if energy else ("°C", "c")
    if found[2] and found[2].lower().lstrip("°deg ") not in ("", said):
        raise line.wrong(f"says {words[0]} in {found[2].strip()}; it is noted in {wanted}")
    line.values[name] = _number(found[1])


def _number(text: str) -> float:
    return float(text.replace("−", "-"))


def _take_time(line: Line, way: Way, now: datetime) -> None:
    zone = ZoneInfo(way.voyage.time_zone)
    named, found = line.take(DATE, "date"), line.take(CLOCK, "time")
    if found is None:
        if named is not None:
            raise line.wrong(f"says a date and no time; write it like {EXAMPLE}")
        return
    if int(found[1]) > 23 or int(found[2]) > 59:
        raise line.wrong(f"has no clock time in {found[0]}; times run from 00:00 to 23:59")
    try:
        day = day_of(named, now.astimezone(zone).date())
    except ValueError as wrong:
        raise line.wrong(f"has the date {'' if named is None else named[0].strip()}, which {wrong}") from None
    local = datetime.combine(day, time(int(found[1]), int(found[2])), zone)
    line.values["time_utc"] = local.astimezone(UTC)


def _take_position(line: Line) -> None:
    found = line.take(POSITION, "position")
    if found is None:
        return
    if "." not in found[1] and "." not in found[2]:
        mend = f"decimals take a point, so {found[1]}.{found[2]} may be meant; a position is like 51.55, -0.48"
        raise line.wrong(f'has a part "{found[0].strip()}" that is no number: {mend}')
    line.values |= {"lat": _number(found[1]), "lon": _number(found[2])}


def _take_km(line: Line, way: Way) -> None:
    found = line.take(DISTANCE, "distance")
    if found is None:
        return
    km = _number(found[2] or found[3]) * (KM_PER_NM if (found[1] or found[4]).lower() == "nm" else 1.0)
    line.values["km"] = _answered(line, lambda: way.on_route(km))


def _answered(line: Line, ask: Callable[[], float]) -> float:
    try:
        return ask()
    except InputError as fault:
        raise line.wrong(f"has a fault: {fault}") from None


def _take_charge(line: Line, capacity_kwh: float) -> None:
    found = line.take(CHARGE, "charge")
    if found is None:
        return
    kwh = _number(found[1]) * (capacity_kwh / 100 if found[2] == "%" else 1.0)
    if not 0 <= kwh <= capacity_kwh * (1 + 1e-9):
        raise line.wrong(f"has a charge that the battery cannot have; it holds 0 to {capacity_kwh:g} kWh (100 %)")
    line.values["charge_kwh"] = min(kwh, capacity_kwh)


def _refuse_rest(line: Line, way: Way) -> None:
    parts = [part.strip(" ,;") for part in line.rest.split("|")]
    left = next((part for part in parts if part), None)
    if left is None:
        return
    word = left.split()[0].casefold()
    known = next((names for names in WORDS.values() if word in names), None)
    if known:
        raise line.wrong(f'says "{left}", and {known[0]} wants a number after it, such as {known[0]} 3.2')
    if word in ("charge", "battery"):
        raise line.wrong(f'says "{left}", and {word} wants a number with % or kWh after it, such as {word} 61%')
    if re.fullmatch(r"[-+−]?[0-9.,]+", left):
        raise line.wrong(f'has a number "{left}" that says not of what; write 61%, sun 3.2, in 17 or km 63')
    from difflib import get_close_matches

    near = get_close_matches(word, [one for names in WORDS.values() for one in names], 1, 0.75)
    if near and re.search("[0-9]", left):
        raise line.wrong(f'has a part "{left}" that it cannot read; did you mean {near[0]}?')
    unknown = way.unknown(left)
    told = unknown if unknown.endswith("?") else f'"{left}" is no place of the voyage; a note stands after a colon'
    raise line.wrong(f"cannot be read: {told}")
