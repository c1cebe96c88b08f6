"""Typed positions: signed decimals, or degrees, minutes, seconds with N, S, E, W. What reads two ways is refused."""

import re
from collections.abc import Iterator
from typing import NamedTuple

LatLon = tuple[float, float]
EXAMPLES = "53.4237, -7.9413 or 53°25.4'N 7°56.5'W"
LONGEST = 80
SIGNS = str.maketrans({"−": "-", "–": "-", "º": "°", "˚": "°", "′": "'", "’": "'", "‘": "'", "″": '"', "”": '"',
                       "“": '"', "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\t": " "})  # fmt: skip
FIGURE = r"\d+(?:[.,]\d+)?"
ONE = re.compile(
    rf"(?P<before>[NSEW])? ?(?P<sign>[+-])?(?P<deg>{FIGURE}) ?°?"
    rf"(?:(?<=[° ]) ?(?P<min>{FIGURE}) ?'?(?:(?<=[' ]) ?(?P<sec>{FIGURE}) ?(?:\"|'')?)?)?"
    r" ?(?P<after>[NSEW])?"
)
GLUED = re.compile(r"""[NSEW'"°]$""")


class Part(NamedTuple):
    """One coordinate as read; ``letter`` is empty where there is none."""

    degrees: float
    letter: str


def parse_position(text: str) -> LatLon:
    """Latitude and longitude in degrees, north and east positive. ValueError says why it can't be read, and how to.

    Its sentence lacks the subject, as ``is one figure only; …``.
    """
    if len(text) > LONGEST:
        raise ValueError(f"is longer than a position; write it as {EXAMPLES}")
    clean = re.sub(r" +", " ", text.strip().translate(SIGNS).upper()).strip("()[] ")
    if not clean:
        raise ValueError(f"is missing; write it as {EXAMPLES}")
    if re.search(r"[\d°'\"] ?O\b|\bO ?\d", clean):
        raise ValueError("has an O, which may mean east or west; write E or W")
    found = {_in_order(*pair) for pair in _pairs(clean)}
    if not found:
        raise ValueError(_why_not(clean))
    if len(found) > 1 or _part(clean) is not None:
        raise ValueError(f"can be read in more than one way; write it as {EXAMPLES}")
    return _checked(*found.pop())


def position_words(at: LatLon) -> str:
    """``53.42370, -7.94130``, without the noughts at the end: read again by ``parse_position``."""
    return ", ".join(_decimal(value) for value in at)


def _decimal(value: float) -> str:
    text = f"{value:.6f}".rstrip("0")
    return text + "0" if text.endswith(".") else text


def _pairs(text: str) -> Iterator[tuple[Part, Part]]:
    """Every way to read the whole text as two coordinates."""
    for at in range(1, len(text)):
        left, right = text[:at], text[at:]
        mark = re.match(r" ?[,;/] ?| ", right)
        if mark is None and not (GLUED.search(left) or right[0] in "NSEW" or _both_signed(left, right)):
            continue
        first, second = _part(left), _part(right[mark.end() :] if mark else right)
        if first and second and bool(first.letter) == bool(second.letter):
            yield first, second


def _both_signed(left: str, right: str) -> bool:
    return left[0] in "+-" and right[0] in "+-"


def _part(text: str) -> Part | None:
    """One coordinate, None if the text is none."""
    match = ONE.fullmatch(text.strip())
    if match is None or (match["before"] and match["after"]):
        return None
    if (match["min"] and _broken(match["deg"])) or (match["sec"] and _broken(match["min"])):
        return None
    letter = match["before"] or match["after"] or ""
    minutes, seconds = _value(match["min"]), _value(match["sec"])
    if (letter and match["sign"]) or minutes >= 60 or seconds >= 60:
        return None
    degrees = _value(match["deg"]) + minutes / 60 + seconds / 3600
    return Part(-degrees if match["sign"] == "-" or letter in {"S", "W"} else degrees, letter)


def _broken(figure: str) -> bool:
    return "." in figure or "," in figure


def _value(figure: str | None) -> float:
    return float(figure.replace(",", ".")) if figure else 0.0


def _in_order(first: Part, second: Part) -> LatLon:
    letters = {first.letter, second.letter}
    if first.letter and (letters <= {"N", "S"} or letters <= {"E", "W"}):
        raise ValueError("needs one of N or S and one of E or W")
    swapped = first.letter in {"E", "W"} and bool(first.letter)
    return (second.degrees, first.degrees) if swapped else (first.degrees, second.degrees)


def _checked(lat: float, lon: float) -> LatLon:
    if abs(lat) > 90:
        meant = f"; {_decimal(lon)}, {_decimal(lat)} may be meant" if abs(lon) <= 90 and abs(lat) <= 180 else ""
        raise ValueError(f"has latitude {_decimal(lat)}°, the most is 90°, and latitude comes first{meant}")
    if abs(lon) > 180:
        raise ValueError(f"has longitude {_decimal(lon)}°, the most is 180°")
    return round(lat, 6), round(lon, 6)


def _why_not(text: str) -> str:
    if not re.search(r"\d", text):
        return f"is no position; write it as {EXAMPLES}"
    if re.search(r"[NSEW] ?[+-]|-\d[^,;]*[NSEW]", text):
        return "has a sign and a letter; give one of them"
    if re.search(r"\d° ?[6-9]\d(\D|$)|\d° ?\d+(\.\d+)?' ?[6-9]\d", text):
        return "has 60 or more minutes or seconds"
    if _part(text) is not None:
        return f"is one figure only; a position is latitude and longitude, as {EXAMPLES}"
    return f"can't be read as latitude and longitude; write it as {EXAMPLES}"
