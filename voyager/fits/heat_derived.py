"""What follows from a cabin's numbers: time constants, steady watts, how long pre-warming takes and what it costs."""

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from voyager.errors import InputError
from voyager.fits.heat_model import HeatModel, cabin_of
from voyager.fits.heat_response import nodes, steps
from voyager.fits.regression import propagated
from voyager.fits.result import Derived, Floats

STEP_H = 1 / 60
SETPOINTS_C = (20.0,)
"""Where no comfort step is named: a warm room (common practice, no source)."""
BISECTIONS = 50
CLOSE = 1e-3


def time_constants(model: HeatModel) -> list[Derived]:
    """One, or the fast and the slow one [min or h]."""
    count = nodes(model.cabin)
    names = ("time constant",) if count == 1 else ("fast time constant", "slow time constant")
    return [_time(name, model, partial(_constant_h, index=i)) for i, name in enumerate(names)]


def _constant_h(logs: Floats, index: int) -> float:
    return float(_decay(logs)[0][index])


def time_constants_h(model: HeatModel) -> Floats:
    """Time constants [h], fast first."""
    return _decay(model.logs.values)[0]


def _time(name: str, model: HeatModel, hours: Callable[[Floats], float]) -> Derived:
    value, se = propagated(hours, model.logs)
    return Derived(name, value, se, "h") if value >= 2.0 else Derived(name, 60 * value, 60 * se, "min")


def _decay(logs: Floats) -> tuple[Floats, Floats]:
    """Time constants [h] (k,), fast first, and the part of a warming that has each of them.

    The air's way to its new level is 1 - sum(part exp(-t / tau)). Both from the simulator's step of one minute.
    """
    cabin = cabin_of(logs)
    fade = steps(cabin, np.array([STEP_H])).fade[0]
    shares, modes = np.linalg.eig(fade)
    order = np.argsort(shares)
    shares, modes = np.clip(shares[order].real, 1e-300, 1 - 1e-15), modes[:, order].real
    parts = modes[0] * np.linalg.solve(modes, np.ones(len(fade)))
    return -STEP_H / np.log(shares), parts


def steady(model: HeatModel, setpoint_c: float, outside_c: float, label: str) -> Derived:
    """Heat that holds the setpoint, people's heat included [W]."""
    value, se = propagated(lambda logs: float(np.exp(logs[0])) * max(0.0, setpoint_c - outside_c), model.logs)
    return Derived(f"steady heating for {label} at {round(outside_c, 1):g} °C outside", value, se, "W")


def warming_h(logs: Floats, rise_k: float, heat_w: float) -> float:
    """Hours to warm all of the cabin's air by ``rise_k`` from the outside temperature with ``heat_w``; inf if never."""
    taus, parts = _decay(logs)
    left = 1.0 - rise_k * float(np.exp(logs[0])) / heat_w
    if left <= 0:
        return float("inf")
    low, high = 0.0, float(taus[-1]) * (1.0 - np.log(left))
    for _ in range(BISECTIONS):
        middle = 0.5 * (low + high)
        if float(parts @ np.exp(-middle / taus)) > left:
            low = middle
        else:
            high = middle
    return float(0.5 * (low + high))


def pre_warming(
    model: HeatModel, setpoint_c: float, outside_c: float, heat_w: float, label: str
) -> tuple[list[Derived], str | None]:
    """Time [min or h] and energy [kWh] from the outside temperature to the setpoint, heater alone, nobody aboard.

    A sentence instead where the setpoint is not reached, or is not surely reached by two standard errors of the loss.
    """
    rise_k = setpoint_c - outside_c
    what = f"pre-warming to {label} from {round(outside_c, 1):g} °C outside with {heat_w:.4g} W"
    if rise_k <= 0:
        return [], f"{what}: outside is as warm already"
    level_k = heat_w / float(np.exp(model.logs.values[0]))
    if level_k * (1 - max(2 * model.share[0], CLOSE)) <= rise_k:
        sure = "is never done" if level_k <= rise_k else "may never be done"
        return [], f"{what} {sure}: the temperature levels off at {outside_c + level_k:.1f} °C"
    value, se = propagated(lambda logs: warming_h(logs, rise_k, heat_w), model.logs)
    energy = Derived(f"energy of {what}", value * heat_w / 1e3, se * heat_w / 1e3, "kWh")
    return [_time(what, model, lambda logs: warming_h(logs, rise_k, heat_w)), energy], None


def follows(
    model: HeatModel, comfort: Sequence[tuple[str, float]], outsides_c: Sequence[float], heat_w: float
) -> tuple[list[Derived], list[str]]:
    """All that follows, for each setpoint of the ladder at each outside temperature, and sentences on what doesn't."""
    if heat_w <= 0:
        raise InputError("the heater's greatest power must be above 0 W")
    found, notes = time_constants(model), []
    for setpoint_c, label in _labels(comfort):
        for outside_c in outsides_c:
            found.append(steady(model, setpoint_c, outside_c, label))
            more, note = pre_warming(model, setpoint_c, outside_c, heat_w, label)
            found += more
            notes += [note] if note else []
    return found, notes


def _labels(comfort: Sequence[tuple[str, float]]) -> list[tuple[float, str]]:
    """Each setpoint once, with the names of the steps that have it."""
    names: dict[float, list[str]] = {}
    for name, setpoint in comfort or [("", value) for value in SETPOINTS_C]:
        names.setdefault(float(setpoint), []).append(name)
    return [(value, _label(value, [name for name in called if name])) for value, called in names.items()]


def _label(setpoint_c: float, called: Sequence[str]) -> str:
    return f"{setpoint_c:g} °C" + (f" ({', '.join(dict.fromkeys(called))})" if called else "")
