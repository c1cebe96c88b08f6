"""Fit of towed or powered models: the full-size boat's resistance and power by Froude's method.

Columns: ``speed_mps``, ``force_n`` (towed) or ``power_w`` (powered; at its battery), [``model``], and where models
differ [``model_length_m``, ``wetted_m2``, ``scale``, ``displacement_kg``, ``payload_kg``, ``midship_m2``], all of the
model. Speeds and powers in the result are the full-size boat's.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np

from voyager.errors import InputError
from voyager.fits.measured import Measured
from voyager.fits.model_compare import Comparison, compare
from voyager.fits.model_full import Cube, FullSize, cube, full_size
from voyager.fits.model_notes import notes
from voyager.fits.model_rows import gather
from voyager.fits.model_show import parameters, picture, suffix, table, table_speeds_mps
from voyager.fits.model_towing import Towing
from voyager.fits.result import Fit

TRIAL_ROWS = 7


def fit_model(measured: Measured, **options: Any) -> Fit:
    """Form factor, hull coefficient and the table of power by speed of each model, and who needs least.

    ``options``: the fields of ``Towing``. ``values`` are of one model: its hull coefficient where the smooth curve
    stays within a tenth of the cube law over the cruising range, else ``hull.trial``, points of the curve; still air is
    in neither, as the boat file adds it by itself. Raises InputError with one sentence where the runs can't carry it.
    """
    test = Towing(**options)
    groups, left_out = gather(measured, test.particulars())
    setting = test.setting(groups[0].powered)
    fulls = [full_size(runs, setting) for runs in groups]
    laws = [cube(full, test.cruise_mps()) for full in fulls]
    speeds = table_speeds_mps(fulls)
    several = len({full.runs.name for full in fulls}) > 1
    beside = compare(fulls, laws, test.compare_by, test.compare_kg, speeds) if several else None
    chosen = _chosen(fulls, test.model, beside)
    tables = [row for full, law in zip(fulls, laws, strict=True) for row in table(fulls, full, law, speeds)]
    return Fit(
        kind="model",
        rows=measured.rows,
        used=sum(runs.speed_mps.size for runs in groups),
        left_out=(*measured.left_out, *left_out),
        model=_in_words(fulls),
        parameters=parameters(fulls, laws, chosen if laws[chosen].holds else None),
        derived=(*tables, *(beside.derived if beside else ())),
        residual_rms=laws[chosen].rms_w,
        residual_unit="W",
        plot=picture(fulls, chosen, laws[chosen]),
        cautions=("towing",),
        notes=tuple(_notes(fulls, laws, chosen, beside, test)),
        values=_values(fulls[chosen], laws[chosen]),
    )


def _chosen(fulls: Sequence[FullSize], name: str | None, beside: Comparison | None) -> int:
    """Whose values go into the boat file: the model named, else who needs least; of several loadings the heaviest."""
    if name is None and beside is not None:
        return fulls.index(beside.best)
    own = [i for i, full in enumerate(fulls) if name is None or full.runs.name == name]
    if not own:
        known = ", ".join(dict.fromkeys(full.runs.name or "(no name)" for full in fulls))
        raise InputError(f"--model {name}: the file has no runs of it; it has {known}")
    return max(own, key=lambda i: (fulls[i].runs.displacement_kg or 0.0, fulls[i].runs.payload_kg or 0.0))


def _in_words(fulls: Sequence[FullSize]) -> str:
    formed = sum(full.form.number is not None for full in fulls)
    form = "form factor by Prohaska's method" if formed else "no form factor"
    if 0 < formed < len(fulls):
        form = f"form factor by Prohaska's method for {formed} of {len(fulls)}"
    return f"Froude's method, ITTC 1957 friction line, {form}"


def _values(full: FullSize, law: Cube) -> dict[str, Any]:
    air = full.setting.air_drag_area_m2
    with_air = {"hull.air_drag_area_m2": air} if air > 0 else {}
    if law.holds:
        return {"hull.coefficient_w_per_mps3": round(law.c.value, 2), "hull.trial": None, **with_air}
    return {"hull.coefficient_w_per_mps3": None, "hull.trial": _trial(full), **with_air}


def _trial(full: FullSize) -> list[list[float]]:
    """Points of the smooth curve [km/h, W] from the slowest to the fastest run, never falling, without air."""
    speed = np.linspace(*full.span_mps, TRIAL_ROWS)
    power = full.curve.values(full.power(speed, full.resistance(speed, air=False)))
    rising = np.maximum.accumulate(np.maximum(power, 0.1))
    return [[round(float(v) * 3.6, 2), round(float(p), 1)] for v, p in zip(speed, rising, strict=True)]


def _who(fulls: Sequence[FullSize], full: FullSize) -> str:
    return f"model {suffix(fulls, full).removeprefix(', ')}" if suffix(fulls, full) else "the model"


def _notes(
    fulls: Sequence[FullSize], laws: Sequence[Cube], chosen: int, beside: Comparison | None, test: Towing
) -> list[str]:
    found = [text for full, law in zip(fulls, laws, strict=True) for text in notes(_who(fulls, full), full, law, test)]
    found += beside.notes if beside else ()
    if len(fulls) > 1:
        found.append(f"the boat file gets the values of {_who(fulls, fulls[chosen])}")
    if not laws[chosen].holds:
        found.append(
            "the cube law does not hold over the cruising range: the boat file gets points of the curve (hull.trial)"
        )
    found.append(
        f"battery power rests on a propulsive efficiency of {test.propulsive_efficiency:g}, which this test does not "
        "measure, and on a correlation allowance "
        f"of {test.correlation:g}; the errors given are those of the balance alone"
    )
    return list(dict.fromkeys(found))
