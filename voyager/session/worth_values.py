"""The uncertain values of one boat: what each is, how well it is known, and the changes that move it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import exp, inf, isfinite, log
from typing import Any

from voyager.quantities import unit_of
from voyager.session.worth_table import BY_TABLE, TRIAL_USUAL, UNCERTAIN, Uncertain

Documents = Mapping[str, Any]
WRITTEN, USUAL = "boat file", "usual"
HULL, TRIAL = ("hull", "coefficient_w_per_mps3"), ("hull", "trial")
HEALTH, CAPACITY = ("battery", "health_percent"), ("battery", "capacity_kwh")
"""Two keys for what a battery holds: where the one is measured, the other is not in doubt."""
OPEN = frozenset({"coastal", "open"})


@dataclass(frozen=True)
class Value:
    """One uncertain value with the standard errors now and after its test; ``path`` of the key in the boat file.

    ``scaled``: what moves is a table of numbers as a whole, of which ``value`` is the mean.
    """

    kind: Uncertain
    path: tuple[str, ...]
    value: float
    se: float
    after_se: float
    se_from: str
    scaled: bool

    def steps(self) -> list[float]:
        """One standard error to the harder side and to the easier, cut short at the limits; none of length 0."""
        up = min(self.se, self.kind.most - self.value)
        room = self.value - self.kind.least
        down = self.se if self.se < room else 0.9 * room
        sides = [up, -down] if self.kind.harder > 0 else [-down, up]
        return [step for step in sides if abs(step) > 1e-9 * max(1.0, abs(self.value))]

    def change(self, step: float) -> str:
        """The change of ``files.change`` that moves the value by a step."""
        from voyager.files.change import key_text

        key = key_text(self.path)
        return f"{key}*={1 + step / self.value!r}" if self.scaled else f"{key}={self.value + step!r}"


def values(documents: Documents) -> list[Value]:
    """All that matter to a voyage, in the order of the table; those that only standard errors name come last."""
    written = dict(_written(documents["boat"]))
    found = [one for kind in UNCERTAIN if _matters(kind, documents) for one in _of_kind(kind, documents, written)]
    if CAPACITY in written and HEALTH not in written:
        found = [one for one in found if one.path != HEALTH]
    known = {one.path for one in found} | {one.kind.path for one in found} | {HULL, TRIAL}
    others = (_other(path, se, documents) for path, se in written.items() if path not in known)
    return [*found, *(one for one in others if one is not None)]


def _written(boat: Mapping[str, Any]) -> Iterator[tuple[tuple[str, ...], float]]:
    """Path and number of each standard error of the boat file; an array's name stands as it is or in quotes."""
    from voyager.errors import InputError
    from voyager.files.change import parse_key

    for text, se in boat.get("standard_error", {}).items():
        table, _, rest = text.partition(".")
        name, _, key = rest.rpartition(".")
        if any(row.get("name") == name for row in _rows(boat, table)):
            yield (table, name, key), float(se)
            continue
        try:
            yield parse_key(text), float(se)
        except InputError:
            continue


def _rows(boat: Mapping[str, Any], table: str) -> list[dict[str, Any]]:
    rows = boat.get(table, [])
    return rows if isinstance(rows, list) else []


def _matters(kind: Uncertain, documents: Documents) -> bool:
    """Not the sea margin on inland waters, nor the cabin's heat where nothing heats it."""
    if kind.path == ("hull", "sea_margin_percent"):
        return any(leg.get("water", "canal") in OPEN for leg in documents["voyage"]["leg"])
    return kind.path[0] != "cabin" or bool(documents["boat"].get("heater"))


def _of_kind(kind: Uncertain, documents: Documents, written: Mapping[tuple[str, ...], float]) -> Iterator[Value]:
    for path in _paths(kind.path, documents["boat"]):
        found = _value(kind, path, documents, written)
        if found is not None:
            yield found


def _paths(path: tuple[str, ...], boat: Mapping[str, Any]) -> list[tuple[str, ...]]:
    if "*" not in path:
        return [path]
    return [(path[0], str(row["name"]), path[2]) for row in _rows(boat, path[0])]


def _value(
    kind: Uncertain, path: tuple[str, ...], documents: Documents, written: Mapping[tuple[str, ...], float]
) -> Value | None:
    """None where the value is nothing, or unknown, and no error of it is written."""
    value, scaled, moved = _number(path, documents)
    if value is None or (kind.share and value <= 0):
        return None
    own = written.get(path)
    each = value if kind.share else 1.0
    name = f"{kind.name} {path[1]}" if len(path) > 2 else kind.name
    usual = TRIAL_USUAL if moved == TRIAL else kind.usual
    se = usual * each if own is None else own
    after = min(kind.after * each, se)
    return Value(replace(kind, name=name), moved, value, se, after, USUAL if own is None else WRITTEN, scaled)


def _number(path: tuple[str, ...], documents: Documents) -> tuple[float | None, bool, tuple[str, ...]]:
    """What stands for a value, whether it is moved as a whole, and the path of what is moved."""
    from voyager.files.change import value_of

    trial = documents["boat"].get("hull", {}).get("trial")
    if path == HULL and trial:
        return cube_coefficient(trial), True, TRIAL
    value = value_of(documents, path)
    if isinstance(value, list):
        return sum(value) / len(value), True, path
    return (float(value), False, path) if isinstance(value, int | float) else (None, False, path)


def cube_coefficient(trial: list[tuple[float, float]]) -> float:
    """c of P = c v³ [W/(m/s)³] for trial points (km/h, W): the geometric mean of P/v³, which leans to no speed."""
    logs = [log(power / (speed / 3.6) ** 3) for speed, power in trial]
    return exp(sum(logs) / len(logs))


def _other(path: tuple[str, ...], se: float, documents: Documents) -> Value | None:
    """A value that only the standard errors name; None where there is no such number."""
    from voyager.errors import InputError
    from voyager.files.change import key_text

    harder, test = -1 if path == CAPACITY else 1, BY_TABLE.get(path[0], "again")
    kind = Uncertain(path, key_text(path), unit_of(path[-1]) or "", 0.0, inf, False, harder, test, least=-inf)
    try:
        found = _value(kind, path, documents, {path: se})
    except InputError:
        return None
    return found if found is None or isfinite(found.value) else None
