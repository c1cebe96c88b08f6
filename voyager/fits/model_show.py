"""A towing test's parameters, tables and plot, from the models scaled up."""

from collections.abc import Iterator, Sequence

import numpy as np

from voyager.fits.model_full import Cube, FullSize
from voyager.fits.model_rows import Runs
from voyager.fits.model_scale import air_n, full_kg
from voyager.fits.result import Derived, Floats, Parameter, Plot, Series

STEPS_KMH = (0.5, 1.0, 2.0, 5.0, 10.0)
TABLE_MOST = 8
LINE_POINTS = 80


def suffix(fulls: Sequence[FullSize], full: FullSize) -> str:
    """What tells this model and loading from the others, begun by a comma; empty where there is only one."""
    if len(fulls) == 1:
        return ""
    twins = [f for f in fulls if f.runs.name == full.runs.name]
    return ", " + " ".join(part for part in (full.runs.name, _loading(full, twins)) if part)


def _loading(full: FullSize, twins: Sequence[FullSize]) -> str:
    if len(twins) == 1:
        return ""
    for name in ("displacement_kg", "payload_kg"):
        if len({getattr(f.runs, name) for f in twins}) > 1:
            mass = full_kg(full.runs, full.setting, getattr(full.runs, name))
            return f"at {mass:.0f} kg" if mass is not None else "at a loading not given"
    return f"with runs from line {int(full.runs.line.min())}"


def parameters(fulls: Sequence[FullSize], cubes: Sequence[Cube], keyed: int | None) -> tuple[Parameter, ...]:
    """Form factor and hull coefficient of each; only ``keyed``'s coefficient has a place in the boat file."""
    return tuple(p for i in range(len(fulls)) for p in _parameters(fulls, i, cubes[i], i == keyed))


def _parameters(fulls: Sequence[FullSize], index: int, law: Cube, keyed: bool) -> Iterator[Parameter]:
    full = fulls[index]
    who = suffix(fulls, full)
    if full.form.number is not None:
        form = full.form.number
        yield Parameter(f"form factor{who}", None, form.value - 1, form.se, form.low - 1, form.high - 1, "-")
    key = "hull.coefficient_w_per_mps3" if keyed else None
    yield Parameter(f"hull coefficient{who}", key, law.c.value, law.c.se, law.c.low, law.c.high, "W/(m/s)³")


def table_speeds_mps(fulls: Sequence[FullSize]) -> Floats:
    """Round km/h, a handful, over all that was run."""
    low = 3.6 * min(full.span_mps[0] for full in fulls)
    high = 3.6 * max(full.span_mps[1] for full in fulls)
    step = next((s for s in STEPS_KMH if (high - low) / s <= TABLE_MOST), STEPS_KMH[-1])
    return np.arange(np.ceil(low / step - 1e-9), np.floor(high / step + 1e-9) + 1) * step / 3.6


def table(fulls: Sequence[FullSize], full: FullSize, law: Cube, speeds_mps: Floats) -> Iterator[Derived]:
    """Size, resistance and power at those of ``speeds_mps`` that were run, and the cube's reach."""
    who = suffix(fulls, full)
    yield Derived(f"full-size waterline{who}", full.waterline_m, None, "m")
    mass = full_kg(full.runs, full.setting, full.runs.displacement_kg)
    if mass is not None:
        yield Derived(f"full-size displacement{who}", mass, None, "kg")
    low, high = full.span_mps
    for speed in speeds_mps[(speeds_mps >= low - 1e-9) & (speeds_mps <= high + 1e-9)]:
        yield from _at(full, float(np.clip(speed, low, high)), who)
    yield Derived(f"cube law within 10 % from{who}", law.from_mps * 3.6, None, "km/h")
    yield Derived(f"cube law within 10 % up to{who}", law.to_mps * 3.6, None, "km/h")


def _at(full: FullSize, speed_mps: float, who: str) -> Iterator[Derived]:
    speed = np.array([speed_mps])
    force = full.resistance(speed, air=True)
    rows = [("resistance", force, "N"), ("battery power", full.power(speed, force), "W")]
    if not who:
        rows.insert(1, ("effective power", force.times(speed), "W"))
    at = f"at {3.6 * speed_mps:.3g} km/h{who}"
    for what, linear, unit in rows:
        found = full.curve.number(linear.only(0))
        yield Derived(f"{what} {at}", found.value, found.se, unit)


def picture(fulls: Sequence[FullSize], chosen: int, law: Cube) -> Plot:
    """Battery power by speed, still air included: runs scaled up, smooth curves, the chosen model's band and cube."""
    series = [s for full in fulls for s in _drawn(fulls, full, banded=full is fulls[chosen])]
    full = fulls[chosen]
    speed = np.linspace(*full.span_mps, LINE_POINTS)
    air = air_n(speed, full.setting.air_drag_area_m2) * speed / full.setting.propulsive_efficiency
    series.append(Series(f"cube law{suffix(fulls, full)}", "line", 3.6 * speed, law.c.value * speed**3 + air))
    return Plot("Battery power by speed, scaled up from the model", "speed, km/h", "battery power, W", tuple(series))


def _drawn(fulls: Sequence[FullSize], full: FullSize, *, banded: bool) -> Iterator[Series]:
    who, curve = suffix(fulls, full), full.curve
    speed = np.linspace(*full.span_mps, LINE_POINTS)
    smooth = full.power(speed, full.resistance(speed, air=True))
    value, wide = curve.values(smooth), curve.t() * curve.errors(smooth)
    runs: Runs = full.runs
    points = curve.values(full.power(runs.full_mps, full.points_n(air=True)))
    yield Series(f"runs{who}", "points", 3.6 * runs.full_mps, points)
    if banded:
        yield Series("95 % interval of the curve", "band", 3.6 * speed, value - wide, value + wide)
    yield Series(f"curve{who}", "line", 3.6 * speed, value)
