"""What each uncertain value does to a voyage as plain values and sentences, the one that matters most first."""

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from voyager.planner.estimates import shown, shown_chance, shown_se
from voyager.session.worth_table import TESTS
from voyager.session.worth_values import USUAL, Value
from voyager.whatif.effects import Effect, Shift, widened

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.planner.tally import Voyages

Json = dict[str, Any]
LEAST_DAYS, LEAST_STOPS, LEAST_KWH, SURE = 0.02, 0.05, 0.05, 2.0
"""Less than that is told as nothing; an effect on the arrival must be so many of its own standard errors."""
ARRIVAL, STOPS, MARGIN = "arrival", "shore_stops", "margin"
LEAST = {STOPS: LEAST_STOPS, MARGIN: LEAST_KWH}


def told(loaded: "Loaded", seed: int, base: "Voyages", found: Sequence[tuple[Value, Effect]]) -> Json:
    """``format``, ``voyage``, ``boat``, ``members``, ``seed``, ``arrival``, ``ranked_by``, ``values``, ``next``.

    ``arrival`` as in the odds, ``sd_days`` in place of its dates. One object a value: ``key``, ``name``, ``value``,
    ``se``, ``unit``, ``se_from`` ("boat file", "usual"), ``effect_days`` and ``effect_se``: what one standard error
    more does to the mean arrival; ``widens_days``: what it adds to the arrival's standard deviation; ``after_se`` and
    ``after_widens_days`` once its test is made; what else one standard error more changes: ``never`` (chance),
    ``margin_kwh`` (least morning charge above the reserve), ``shore_stops``, ``warm_hours``; ``sides`` (2: both sides
    planned, 1: the harder one alone, which moved nothing, 0: none); ``test``, ``command``, ``caution``, ``text``. Null
    where no member tells.
    ``ranked_by``: "arrival"; where no value moves that "shore_stops", else "margin". ``next``: ``key``, ``test``,
    ``command``, ``caution``, ``text`` of the measurement that takes most of that away; null where none would.
    """
    files = {"boat": os.path.basename(loaded.boat_path), "voyage": os.path.basename(loaded.voyage_path)}
    arrival = _arrival(base, seed)
    rows = [_row(value, effect, arrival["sd_days"] or 0.0, files) for value, effect in found]
    by = next((by for by in (ARRIVAL, STOPS) if any(_weight(row, by) for row in rows)), MARGIN)
    rows.sort(key=lambda row: tuple(-_weight(row, one) for one in (by, STOPS, MARGIN)))
    return {
        "format": 1, **files, "members": base.members, "seed": seed, "arrival": arrival, "ranked_by": by,
        "values": [{key: one for key, one in row.items() if not key.startswith("_")} for row in rows],
        "next": _next(rows, by),
    }  # fmt: skip


def _arrival(base: "Voyages", seed: int) -> Json:
    from voyager.planner.tally import tally

    odds: Any = tally(base, seed)["arrival"]
    days = base.arrive_days[base.arrive_day >= 0]
    sd = float(days.std(ddof=1)) if len(days) > 1 else None
    dates = {key: one for key, one in odds.items() if key != "by_date"}
    return {**dates, "sd_days": None if sd is None else round(sd, 3)}


def _row(value: Value, effect: Effect, sd: float, files: dict[str, str]) -> Json:
    """One value; keys that begin with a line are for ranking alone."""
    from voyager.files.change import key_text

    test, days = TESTS[value.kind.test], effect.shifts["arrive_days"]
    left = value.after_se / value.se if value.se else 1.0
    wider = widened(sd, days.mean or 0.0)
    row = {
        "key": key_text(value.path), "name": value.kind.name, "value": _digits(value.value), "se": _digits(value.se),
        "unit": value.kind.unit, "se_from": value.se_from,
        "effect_days": _mean(days), "effect_se": shown_se(days.se),
        "widens_days": round(wider, 3),
        "after_se": float(f"{value.after_se:.2g}"),
        "after_widens_days": round(widened(sd, (days.mean or 0.0) * left), 3),
        **_others(effect), "sides": effect.sides, "test": test.text, "command": test.command.format(**files),
        "caution": test.caution, "_left": left, "_wider": wider, "_sure": _stands_out(days),
    }  # fmt: skip
    return {**row, "text": _sentence(row)}


def _others(effect: Effect) -> Json:
    never = effect.shifts["never"]
    return {
        "never": None if never.mean is None else shown_chance(never.mean, never.pairs),
        "margin_kwh": _mean(effect.shifts["margin_kwh"]),
        "shore_stops": _mean(effect.shifts["stops"]),
        "warm_hours": _mean(effect.shifts["warm_h"]),
    }


def _mean(shift: Shift) -> float | None:
    return None if shift.mean is None else shown(shift.mean, shift.se)


def _digits(value: float) -> float:
    """Three significant digits, whole numbers whole."""
    return float(f"{value:.3g}") if abs(value) < 1000 else float(round(value))


def _stands_out(days: Shift) -> bool:
    """Whether the arrival moves by more than its own error allows."""
    return abs(days.mean or 0.0) >= max(LEAST_DAYS, SURE * (days.se or 0.0))


def _weight(row: Json, by: str) -> float:
    """What a value leaves in doubt; nothing where its effect on the arrival does not stand out."""
    if by == ARRIVAL:
        return float(row["_wider"]) if row["_sure"] else 0.0
    moved = abs(row["shore_stops" if by == STOPS else "margin_kwh"] or 0.0)
    return moved if moved >= LEAST[by] else 0.0


def _next(rows: Sequence[Json], by: str) -> Json | None:
    """The measurement that takes most away: what a value leaves in doubt, by the part of its error that goes."""
    doubt = [(_weight(row, by) * (1 - row["_left"]), row) for row in rows]
    gain, best = max(doubt, key=lambda one: one[0], default=(0.0, Json()))
    if gain <= 0:
        return None
    better = f"{best['name']}: from ± {best['se']:g} to about ± {best['after_se']:g} {best['unit']}".rstrip()
    return {key: best[key] for key in ("key", "test", "command", "caution")} | {"text": better}


def _sentence(row: Json) -> str:
    """``hull coefficient 80 ± 12 W/(m/s)³ (not measured): one standard error more: 0.8 days later, …``."""
    known = "not measured" if row["se_from"] == USUAL else "by the boat file"
    moved = [
        _said(row["effect_days"], ("{n} {name} later", "{n} {name} sooner"), ("day", "days"), LEAST_DAYS),
        _said(row["never"], ("chance {n} more of no arrival", "chance {n} less of no arrival"), ("", ""), 0.005),
        _said(row["shore_stops"], ("{n} more {name} at a plug", "{n} fewer {name} at a plug"), ("stay", "stays"), 0.01),
        _said(row["margin_kwh"], ("{n} kWh more in reserve", "{n} kWh less in reserve"), ("", ""), LEAST_KWH),
        _said(row["warm_hours"], ("{n} more {name}", "{n} fewer {name}"), ("warm hour", "warm hours"), 0.1),
    ]
    what = ", ".join(filter(None, moved)) or "nothing that counts"
    return f"{row['name']} {row['value']:g} ± {row['se']:g} {row['unit']} ({known}); one standard error more: {what}"


def _said(value: float | None, ways: tuple[str, str], names: tuple[str, str], least: float) -> str:
    """``0.8 days later``: the amount with its name, in the way that fits its sign."""
    if value is None or abs(value) < least:
        return ""
    return ways[value < 0].format(n=f"{abs(value):g}", name=names[abs(value) != 1])
