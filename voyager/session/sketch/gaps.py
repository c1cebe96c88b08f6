"""What does not hang together in a sketch's legs."""

from voyager.session.sketch.state import Row, Sketch


def gaps(sketch: Sketch) -> list[tuple[int, str]]:
    """Leg (from 0) and sentence: legs without an end, ends that are no places, and legs that do not meet."""
    names = {_name(row, "name") for row in sketch.places}
    found = []
    for index, leg in enumerate(sketch.legs):
        start, end = _name(leg, "from"), _name(leg, "to")
        if not end:
            found.append((index, f"leg {index + 1} does not say where it ends"))
        elif end not in names:
            found.append((index, f'"{end}" is no place yet, leg {index + 1} ends there'))
        before = _name(sketch.legs[index - 1], "to") if index else start
        if not start:
            found.append((index, f"leg {index + 1} does not say where it begins"))
        elif start not in names and start != before:
            found.append((index, f'"{start}" is no place yet, leg {index + 1} begins there'))
        if before and start and start != before:
            found.append((index, _apart(index, before, start)))
        if start and start == end:
            found.append((index, f'leg {index + 1} ends where it begins, at "{end}"'))
    return found


def _name(row: Row, key: str) -> str:
    """A name, empty where there is none or the file has something else in its place."""
    value = row.get(key)
    return value if isinstance(value, str) else ""


def _apart(index: int, before: str, start: str) -> str:
    return f"leg {index} ends at {before}, leg {index + 1} begins at {start}"
