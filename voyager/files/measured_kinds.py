"""The columns of every kind of measurement file: one table, in the words of the files."""

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from voyager.files.printable import nearest
from voyager.files.units import FOREIGN_UNITS, KM_PER_NM, M_PER_FT, MPS_PER_KMH, UNITS, stem


@dataclass(frozen=True)
class Column:
    """One column. ``cells``: number, text, yes (or no), time, date, span (seconds, or minutes:seconds), or by commas
    the words that may stand in it.

    ``own``: the name it has among what is read, ``factor`` from the file's unit to that of the name.
    """

    name: str
    cells: str = "number"
    own: str = ""
    factor: float = 1.0

    @property
    def read_as(self) -> str:
        """The name under which it is read."""
        return self.own or self.name


@dataclass(frozen=True)
class Layout:
    """``needed``: of each group exactly one column must stand; ``others``: of each group one may.

    ``alone_with``: columns that, with the time, tell two rows apart; ``repeats``: equal rows are two measurements;
    ``timed``: a speed may be given as the seconds over a measured distance.
    """

    needed: tuple[tuple[Column, ...], ...]
    others: tuple[tuple[Column, ...], ...] = ()
    alone_with: tuple[str, ...] = ()
    repeats: bool = False
    timed: bool = False

    @property
    def groups(self) -> tuple[tuple[Column, ...], ...]:
        """All groups of columns."""
        return (*self.needed, *self.others)

    @property
    def columns(self) -> dict[str, Column]:
        """Every known column by its name in the file."""
        return {column.name: column for group in self.groups for column in group}


def _either(*names: str) -> tuple[Column, ...]:
    return tuple(map(Column, names))


def _speed(name: str) -> tuple[Column, ...]:
    own = f"{name}_mps"
    return (
        Column(f"{name}_kmh", own=own, factor=MPS_PER_KMH),
        Column(f"{name}_kn", own=own, factor=KM_PER_NM * MPS_PER_KMH),
    )


TIME: Final = (Column("time", "time"),)
SECONDS: Final = Column("seconds", "span", own="run_s")
DISTANCE: Final = (
    Column("distance_m"),
    Column("distance_km", own="distance_m", factor=1000.0),
    Column("distance_nm", own="distance_m", factor=1000 * KM_PER_NM),
)
NEWTON_PER_GRAM: Final = 9.80665e-3
"""Weight of a gram: standard gravity, 3rd General Conference on Weights and Measures (from memory)."""
CHARGE: Final = _either("charge_percent", "charge_kwh")
LAYOUTS: Final[Mapping[str, Layout]] = {
    "heat": Layout(
        (TIME, _either("inside_c"), _either("outside_c"), _either("heater_w")),
        (_either("people"), _either("other_w")),
    ),
    "trial": Layout(
        ((*_speed("speed"), SECONDS), _either("motor_w"), (Column("direction", "out, back"),)),
        (
            DISTANCE,
            (Column("run", "text"),),
            _speed("wind"),
            (Column("depth_m"), Column("depth_ft", own="depth_m", factor=M_PER_FT)),
        ),
        timed=True,
    ),
    "panels": Layout(
        (
            (*TIME, Column("date", "date")),
            (Column("energy_kwh"), Column("energy_wh", own="energy_kwh", factor=1e-3), Column("power_w")),
        ),
        (
            (Column("array", "text"),),
            _either("heading_deg"),
            (Column("moored", "yes"),),
            _either("ghi_kwh_m2"),
            _either("air_c"),
            (Column("battery_full", "yes"),),
        ),
        alone_with=("date", "array"),
    ),
    "model": Layout(
        (
            (Column("speed_mps"), SECONDS),
            (Column("force_n"), Column("force_g", own="force_n", factor=NEWTON_PER_GRAM), Column("power_w")),
        ),
        (
            DISTANCE,
            (Column("model", "text"),),
            *map(_either, ("model_length_m", "wetted_m2", "scale", "displacement_kg", "payload_kg", "midship_m2")),
        ),
        timed=True,
    ),
    "roll": Layout((_either("period_s", "roll_s"),), (_either("rolls"),), repeats=True),
    "log": Layout(
        (TIME,),
        (
            _either("lat"),
            _either("lon"),
            _either("km"),
            (Column("place", "text"),),
            CHARGE,
            *map(_either, ("solar_kwh", "shore_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh")),
            _either("inside_c"),
            _either("outside_c"),
            (Column("note", "text"),),
        ),
    ),
}


CELLS: Final = {
    "number": "",
    "text": "",
    "time": " (2027-03-01T14:00+01:00)",
    "date": " (2027-03-01)",
    "span": " (763, or 12:43)",
    "yes": " (yes, no)",
}


def column_words(kind: str) -> tuple[list[str], list[str]]:
    """The columns that a kind of file needs, and those that may be missing, as they are told in help."""
    layout = LAYOUTS[kind]
    needed, others = ([" or ".join(map(_word, group)) for group in groups] for groups in (layout.needed, layout.others))
    return needed, others


def _word(column: Column) -> str:
    return column.name + CELLS.get(column.cells, f" ({column.cells})")


CLOSE: Final = 0.8
"""How alike a column must be to one that may be missing, to be refused as a slip: a logger has columns of its own."""


def meant(name: str, layout: Layout, there: set[str]) -> str | None:
    """The known column that an unknown one was probably meant to be, of those that do not stand in the file."""
    needed, others = (
        [column.name for group in groups if not there & {one.name for one in group} for column in group]
        for groups in (layout.needed, layout.others)
    )
    base, unit = stem(name, (*UNITS, *FOREIGN_UNITS))
    same = [one for one in (*needed, *others) if stem(one, UNITS)[0] == base and (unit or base == name)]
    close = get_close_matches(name, others, n=1, cutoff=CLOSE)
    return same[0] if same else nearest(name, needed) or (close[0] if close else None)


def other_kind(names: set[str], kind: str) -> str | None:
    """The kind of fit that a file has all columns of, where it lacks one that it needs for ``kind``."""
    if _complete(names, kind):
        return None
    return next((other for other in LAYOUTS if other not in (kind, "log") and _complete(names, other)), None)


def _complete(names: set[str], kind: str) -> bool:
    return all(names & {column.name for column in group} for group in LAYOUTS[kind].needed)
