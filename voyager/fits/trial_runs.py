"""Rows of a speed trial made into runs both ways, the current taken out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from voyager.boat.hull import Hull, air_power_w
from voyager.boat.water import critical_speed_mps, lackenby_delta
from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.result import Floats, LeftOut

LIKE_POWER = 1.25
"""Rows without a run's name belong together up to this ratio of motor power."""
MOST_POWER_RATIO = 2.0
"""Beyond this ratio of the powers out and back the current is not taken out well any more."""
MOST_RUNS = 500
BOTH_WAYS = "run the distance both ways at the same motor power, so that the current cancels"


@dataclass(frozen=True)
class Runs:
    """Runs out and back, each array (r,): speed through water, power into the water at the battery, current found.

    ``depth_m`` nan where not noted. ``delta``: the share of its speed that the depth takes from each run (Lackenby's).
    ``rows``: lines of the file of each run.
    """

    speed_mps: Floats
    power_w: Floats
    current_mps: Floats
    depth_m: Floats
    wind_mps: Floats
    delta: Floats
    rows: tuple[tuple[int, ...], ...]

    def __len__(self) -> int:
        return len(self.rows)

    def some(self, chosen: np.ndarray) -> "Runs":
        """The runs that a mask (r,) or indices choose."""
        at = np.arange(len(self))[chosen]
        return Runs(
            speed_mps=self.speed_mps[at],
            power_w=self.power_w[at],
            current_mps=self.current_mps[at],
            depth_m=self.depth_m[at],
            wind_mps=self.wind_mps[at],
            delta=self.delta[at],
            rows=tuple(self.rows[i] for i in at),
        )


def read_runs(measured: Measured, hull: Hull, midship_m2: float | None) -> tuple[Runs, list[LeftOut], list[str]]:
    """Runs both ways of a trial, rows left out, notes. InputError for what cannot have been, or where no run is left.

    Of ``hull`` only the air drag is used: what the air takes (``boat/hull.air_power_w``; without a noted wind that of a
    calm) is subtracted from the motor's power, as ``boat/hull.propulsion_w`` adds it to the water's.
    """
    _refuse_nonsense(measured)
    groups, left, notes = _grouped(measured)
    if len(groups) > MOST_RUNS:
        raise InputError(
            f"{len(groups)} runs are more than a trial has: give the rows of one passage the same name in a column run"
        )
    runs = []
    for rows in groups:
        try:
            runs.append(_run(measured, rows, hull, midship_m2))
        except InputError as why:
            left += [LeftOut(int(measured.line[i]), str(why)) for i in rows]
    if not runs:
        raise InputError(f"no run goes out and back ({_reason(left)}): {BOTH_WAYS}")
    speed, power, current, depth, wind, delta = np.array([run for run, _ in runs]).T
    return Runs(speed, power, current, depth, wind, delta, tuple(lines for _, lines in runs)), left, notes


def _reason(left: Sequence[LeftOut]) -> str:
    whys = list(dict.fromkeys(one.why for one in left))
    return whys[0] if whys else "there are no rows"


def _refuse_nonsense(measured: Measured) -> None:
    checks = (
        ("speed_mps", "the speed is {} m/s", "a run needs a speed over the ground above 0, the same way as it steers"),
        ("motor_w", "the motor's power is {} W", "note what the motor alone draws, above 0; drifting is no run"),
    )
    for name, what, mend in checks:
        values = measured.numbers(name)
        bad = np.flatnonzero(values <= 0)
        if bad.size:
            raise InputError(f"line {measured.line[bad[0]]}: {what.format(f'{values[bad[0]]:g}')}: {mend}")
    for name, what in (("depth_m", "depth"), ("wind_mps", "wind")):
        values = measured.numbers(name)
        bad = np.flatnonzero(values < 0 if name == "wind_mps" else values <= 0)
        if bad.size:
            raise InputError(f"line {measured.line[bad[0]]}: a {what} of {values[bad[0]]:g} cannot be: leave it empty")


def _grouped(measured: Measured) -> tuple[list[list[int]], list[LeftOut], list[str]]:
    """Indices of the rows of each run that goes both ways, in the file's order."""
    left, usable = [], []
    for i, (speed, power) in enumerate(zip(measured.numbers("speed_mps"), measured.numbers("motor_w"), strict=True)):
        missing = "no speed" if np.isnan(speed) else "no motor power" if np.isnan(power) else ""
        if missing:
            left.append(LeftOut(int(measured.line[i]), missing))
        else:
            usable.append(i)
    names = measured.texts("run")
    named: dict[str, list[int]] = {}
    for i in (i for i in usable if names[i]):
        named.setdefault(names[i], []).append(i)
    groups, single = _both_ways(named, measured)
    pairs, alone = _paired([i for i in usable if not names[i]], measured)
    why = "one direction only: the same run is needed the other way, at like motor power"
    left += [LeftOut(int(measured.line[i]), why) for i in [*single, *alone]]
    return sorted([*groups, *pairs]), left, _pair_note(pairs)


def _pair_note(pairs: Sequence[Sequence[int]]) -> list[str]:
    if not pairs:
        return []
    text = "rows without a run's name were paired with the nearest row before them that goes the other way"
    return [f"{text} at like motor power (within {100 * (LIKE_POWER - 1):.0f} %): name the runs if that is not so"]


def _both_ways(named: Mapping[str, list[int]], measured: Measured) -> tuple[list[list[int]], list[int]]:
    ways = measured.texts("direction")
    groups = [rows for rows in named.values() if len({ways[i] for i in rows}) == 2]
    return groups, [i for rows in named.values() if len({ways[i] for i in rows}) != 2 for i in rows]


def _paired(rows: Sequence[int], measured: Measured) -> tuple[list[list[int]], list[int]]:
    """Each row with the nearest waiting row before it of the other direction and like power; what waits at the end."""
    ways, power = measured.texts("direction"), measured.numbers("motor_w")
    pairs: list[list[int]] = []
    waiting: dict[str, list[int]] = {"out": [], "back": []}
    for i in rows:
        there = waiting["back" if ways[i] == "out" else "out"]
        like = (j for j in reversed(there) if max(power[i], power[j]) <= LIKE_POWER * min(power[i], power[j]))
        other = next(like, None)
        if other is None:
            waiting[ways[i]].append(i)
        else:
            there.remove(other)
            pairs.append([other, i])
    return pairs, [*waiting["out"], *waiting["back"]]


def _run(
    measured: Measured, rows: Sequence[int], hull: Hull, midship_m2: float | None
) -> tuple[tuple[float, ...], tuple[int, ...]]:
    """Speed, power, current, depth, wind, delta of one run, and its lines; InputError says why it can't be used.

    Out at v(P1) + u, back at v(P2) - u: half the sum of both is the mean of v(P1) and v(P2) whatever the current u is,
    and belongs to the power whose cube root is the mean of theirs (exact for a cube law, and where P1 = P2 for any).
    """
    ground, motor = measured.numbers("speed_mps")[rows], measured.numbers("motor_w")[rows]
    out = np.array([measured.texts("direction")[i] == "out" for i in rows])
    speed = (ground[out].mean() + ground[~out].mean()) / 2
    wind = _mean(measured.numbers("wind_mps")[rows])
    water = motor - air_power_w(hull, speed, 0.0 if np.isnan(wind) else wind)
    if water.min() <= 0:
        raise InputError("the air alone takes more than the motor gave: repeat it in a calm, or mend the air drag area")
    roots = np.cbrt(water)
    there, back = float(roots[out].mean()), float(roots[~out].mean())
    if max(there, back) ** 3 > MOST_POWER_RATIO * min(there, back) ** 3:
        raise InputError("the motor's power out and back differs too much for the current to cancel: hold it the same")
    depth = _mean(measured.numbers("depth_m")[rows])
    delta = 0.0 if np.isnan(depth) else float(lackenby_delta(speed, depth, midship_m2))
    if not np.isnan(depth) and speed > critical_speed_mps(depth):
        raise InputError("faster than the waves of so shallow a water: repeat it in deep water")
    power = ((there + back) / 2) ** 3
    current = (ground[out].mean() - ground[~out].mean()) / 2 - (there - back) / (there + back) * speed
    return (speed, power, current, depth, wind, delta), tuple(int(line) for line in measured.line[rows])


def _mean(values: Floats) -> float:
    """Mean of the values noted; nan if none is."""
    noted = values[~np.isnan(values)]
    return float(noted.mean()) if noted.size else float("nan")
