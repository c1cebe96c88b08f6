"""Several models side by side, at full size, at the same displacement or the same payload."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from voyager.errors import InputError
from voyager.fits.model_full import Cube, FullSize
from voyager.fits.model_rows import label
from voyager.fits.model_scale import full_kg
from voyager.fits.result import Derived, Floats

SAME_WITHIN = 0.03
"""Loadings within this share of each other count as the same (power goes about with the displacement: as much)."""
CONFIDENT = 1.96
BY = {"displacement": "displacement_kg", "payload": "payload_kg"}


@dataclass(frozen=True)
class Blend:
    """One model at the loading compared: its runs' results and the share of each."""

    name: str
    parts: tuple[tuple[FullSize, float], ...]

    def span_mps(self) -> tuple[float, float]:
        spans = [full.span_mps for full, _ in self.parts]
        return max(s[0] for s in spans), min(s[1] for s in spans)

    def power_w(self, full_mps: Floats) -> tuple[Floats, Floats]:
        """Battery power, air included, and its standard error [W] at full-size speeds (m,)."""
        value, variance = np.zeros(len(full_mps)), np.zeros(len(full_mps))
        for full, share in self.parts:
            power = full.power(full_mps, full.resistance(full_mps, air=True))
            value += share * full.curve.values(power)
            variance += (share * full.curve.errors(power)) ** 2
        return value, np.sqrt(variance)


@dataclass(frozen=True)
class Comparison:
    """Who needs least. ``best``: the results whose values go on to the boat file, of the model with the least power."""

    derived: tuple[Derived, ...]
    notes: tuple[str, ...]
    best: FullSize


def compare(
    fulls: Sequence[FullSize], laws: Sequence[Cube], by: str | None, kg: float | None, speeds_mps: Floats
) -> Comparison:
    """Models by their power at ``speeds_mps`` (those that all were run at), the least marked.

    The sentence of who needs least, and ``best``, are of the speed amid the cruising ranges. ``by``:
    "displacement", "payload", or None: as the runs allow. ``kg``: at full size; None: amid what all have. Raises
    InputError where a model's loading is asked for and not known.
    """
    names = list(dict.fromkeys(full.runs.name for full in fulls))
    by = by or _usual(fulls)
    loading = ""
    if by is None:
        blends = _as_run(fulls, names)
        left = ["what the models displace is not known: they are compared as run; add a column displacement_kg"]
    else:
        loads = [_load(full, by) for full in fulls]
        target = kg if kg is not None else _amid(fulls, loads, names)
        blends, left = _blended(fulls, loads, names, target, by)
        loading = f" at {target:.0f} kg of {by}"
    if len(blends) < 2:
        best = blends[0].parts[0][0] if blends else fulls[0]
        return Comparison((), (*left, "no two models can be compared"), best)
    cruise = np.concatenate([full.runs.full_mps[law.cruise] for full, law in zip(fulls, laws, strict=True)])
    return _told(blends, left, loading, speeds_mps, float(np.median(cruise)))


def _usual(fulls: Sequence[FullSize]) -> str | None:
    return next((by for by, key in BY.items() if all(getattr(f.runs, key) is not None for f in fulls)), None)


def _load(full: FullSize, by: str) -> float:
    load = full_kg(full.runs, full.setting, getattr(full.runs, BY[by]))
    if load is None:
        raise InputError(f"{label(full.runs)}: its {by} is not known: add a column {BY[by]}, in kg of the model")
    return load


def _amid(fulls: Sequence[FullSize], loads: Sequence[float], names: Sequence[str]) -> float:
    """Midway between the heaviest of the lightest and the lightest of the heaviest loadings."""
    own = [[load for full, load in zip(fulls, loads, strict=True) if full.runs.name == name] for name in names]
    return (max(map(min, own)) + min(map(max, own))) / 2


def _as_run(fulls: Sequence[FullSize], names: Sequence[str]) -> list[Blend]:
    return [Blend(name, ((next(f for f in fulls if f.runs.name == name), 1.0),)) for name in names]


def _blended(
    fulls: Sequence[FullSize], loads: Sequence[float], names: Sequence[str], target: float, by: str
) -> tuple[list[Blend], list[str]]:
    blends, left = [], []
    for name in names:
        own = sorted(
            ((load, full) for full, load in zip(fulls, loads, strict=True) if full.runs.name == name),
            key=lambda p: p[0],
        )
        parts = _parts(own, target)
        if parts:
            blends.append(Blend(name or "no name", parts))
        else:
            full = own[0][1]
            mass = target / (full_kg(full.runs, full.setting, 1.0) or 1.0)
            left.append(
                f"{label(full.runs)} was not run at {target:.0f} kg of {by} (at full size): run it also with "
                f"{mass:.3g} kg of {by} of its own"
            )
    return blends, left


def _parts(own: Sequence[tuple[float, FullSize]], target: float) -> tuple[tuple[FullSize, float], ...]:
    """The nearest loading where it is as good as the same, else a straight line between the two about the target."""
    near = min(own, key=lambda pair: abs(pair[0] - target))
    if abs(near[0] - target) <= SAME_WITHIN * target:
        return ((near[1], 1.0),)
    below, above = [p for p in own if p[0] < target], [p for p in own if p[0] > target]
    if not below or not above:
        return ()
    (low, light), (high, heavy) = below[-1], above[0]
    share = (target - low) / (high - low)
    return ((light, 1 - share), (heavy, share))


def _told(
    blends: Sequence[Blend], left: Sequence[str], loading: str, speeds_mps: Floats, cruise_mps: float
) -> Comparison:
    common = _common(blends, speeds_mps)
    found = [blend.power_w(common) for blend in blends]
    powers, errors = np.array([f[0] for f in found]), np.array([f[1] for f in found])
    least = powers.argmin(axis=0)
    derived = [
        Derived(
            f"compared{loading}: battery power at {3.6 * v:.3g} km/h, {blend.name}"
            + (" (least)" if least[i] == j else ""),
            float(powers[j, i]),
            float(errors[j, i]),
            "W",
        )
        for i, v in enumerate(common)
        for j, blend in enumerate(blends)
    ]
    middle = int(np.argmin(np.abs(common - cruise_mps)))
    best = blends[int(least[middle])]
    text = _difference(blends, powers[:, middle], errors[:, middle], 3.6 * float(common[middle]))
    return Comparison(tuple(derived), (*left, text), _nearest(best))


def _nearest(blend: Blend) -> FullSize:
    """The loading with the greater share, the heavier of two alike."""
    return max(blend.parts, key=lambda part: (round(part[1], 3), part[0].runs.displacement_kg or 0.0))[0]


def _common(blends: Sequence[Blend], speeds_mps: Floats) -> Floats:
    """Those of the speeds that all were run at, or one amid what they share."""
    spans = [blend.span_mps() for blend in blends]
    low, high = max(s[0] for s in spans), min(s[1] for s in spans)
    if low > high:
        raise InputError(
            "the models' speeds do not overlap at full size: run them all at the same Froude numbers, v / √(g L)"
        )
    common = speeds_mps[(speeds_mps >= low) & (speeds_mps <= high)]
    return common if common.size else np.array([(low + high) / 2])


def _difference(blends: Sequence[Blend], powers: Floats, errors: Floats, kmh: float) -> str:
    first, second = np.argsort(powers)[:2]
    more, se = powers[second] - powers[first], float(np.hypot(errors[first], errors[second]))
    a, b = blends[first].name, blends[second].name
    apart = f"{more:.0f} ± {CONFIDENT * se:.0f} W"
    if more < CONFIDENT * se:
        return f"at {kmh:.3g} km/h the runs do not tell {a} and {b} apart ({apart}): repeat them"
    return f"at {kmh:.3g} km/h {a} needs least, {apart} ({100 * more / powers[second]:.0f} %) less than {b}"
