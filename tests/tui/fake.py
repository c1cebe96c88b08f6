"""A planner that only pretends: the hand-made sample of tests/reference, bent by the changes asked for.

The file name given as the voyage says how it behaves: slow, patient (slow with its odds), stubborn (won't be
cancelled), bad, short, fault, dies, oddless (refuses its odds).
"""

import copy
import json
import os
import time
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from tests.tui.fake_odds import SKIES, card, odds
from voyager.errors import Cancelled, Problem, Problems

SAMPLE = Path(__file__).parents[1] / "reference" / "sample_plan.json"
SLOW_STEPS, SLOW_STEP_S = 25, 0.04


def sample() -> dict[str, Any]:
    """A fresh copy of the sample plan."""
    plan: dict[str, Any] = json.loads(SAMPLE.read_text())
    return plan


def outline(path: str) -> dict[str, Any]:
    """The sample as a file alone would give it: no figures of a plan."""
    if "bad" in path:
        raise Problems([Problem("bad.toml", 4, "departs", "there is no 30 February"),
                        Problem("bad.toml", 9, "leg", "a leg needs to")])  # fmt: skip
    plan = sample()
    keep = ("leg", "from", "to", "water", "distance_km", "locks", "fixed_speed", "speed_kmh")
    legs = [{**{key: leg[key] for key in keep}, "nights": leg.get("nights", 0)} for leg in plan["legs"]]
    for leg in legs:
        leg["speed_kmh"] = leg["speed_kmh"] if leg["fixed_speed"] else None
    return {"voyage": plan["voyage"], "boat": plan["boat"], "legs": legs, "choices": plan["choices"]}


def plan(
    path: str,
    changes: Mapping[str, Any] | None = None,
    *,
    members: int = 0,
    seed: int = 1,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> dict[str, Any]:
    """The sample, bent; with members, odds and a card made up from its days."""
    changes = changes or {}
    _behave(path, changes, members, progress, cancelled)
    made = sample()
    for key in ("sky", "aim", "by", "comfort"):
        if key in changes:
            made["voyage"][key] = changes[key]
    if "departs" in changes:
        _shift(made, date.fromisoformat(changes["departs"]))
    for number, wish in changes.get("legs", {}).items():
        _bend(made["legs"][number - 1], wish)
    if "short" in path:
        made.update(short=SHORT)
        made["days"][5].update(held=False, cautions=[*made["days"][5]["cautions"], "no_way_out"])
    made.update(odds=None, card=[])
    if members:
        made["voyage"].update(members=members, seed=seed)
        made.update(odds=odds(made, members, seed), card=card(made))
        for day in made["days"]:
            day["sky_class"] = SKIES[day["day"] % 5]
    return made


SHORT = {
    "day": 6, "date": "2027-03-06", "place": "Portumna", "short_kwh": 2.3,
    "mends": [{"text": "Stay 2 nights longer at Athlone", "nights": 2, "shore_at": None},
              {"text": "shore power at Portumna", "nights": None, "shore_at": "Portumna"}],
}  # fmt: skip


def _behave(path: str, changes: Mapping[str, Any], members: int, progress: Any, cancelled: Any) -> None:
    if "bad" in path:
        outline(path)
    if "refuses" in path and changes:
        raise Problems([Problem("shannon.toml", 6, "legs.3.speed_kmh", "faster than the motor can drive this boat")])
    if "fault" in path and changes:
        raise ZeroDivisionError("division by zero")
    if "dies" in path and changes:
        os._exit(3)
    if "stubborn" in path and changes.get("sky") == "good":
        time.sleep(30)
    if "oddless" in path and members:
        raise Problems([Problem("shannon.toml", 1, "members", "more skies than memory allows")])
    if ("patient" if members else "slow") in path:
        _dawdle(progress, cancelled)


def _dawdle(progress: Any, cancelled: Any) -> None:
    for step in range(SLOW_STEPS):
        if cancelled is not None and cancelled():
            raise Cancelled("stopped")
        if progress is not None:
            progress(step / SLOW_STEPS, "days and moorings")
        time.sleep(SLOW_STEP_S)


def _shift(made: dict[str, Any], departs: date) -> None:
    by = departs - date.fromisoformat(made["voyage"]["departs"])

    def moved(iso: str) -> str:
        return (date.fromisoformat(iso) + timedelta(days=by.days)).isoformat()

    made["voyage"]["departs"] = departs.isoformat()
    made["arrives"] = moved(made["arrives"])
    for day in made["days"]:
        day["date"] = moved(day["date"])


def _bend(leg: dict[str, Any], wish: Mapping[str, Any]) -> None:
    if wish.get("speed_kmh") is not None:
        speed = wish["speed_kmh"]
        leg.update(energy_kwh=leg["energy_kwh"] * (speed / leg["speed_kmh"]) ** 2, speed_kmh=speed, fixed_speed=True)
        leg["hours"] = leg["distance_km"] / speed
    elif "speed_kmh" in wish:
        leg["fixed_speed"] = False
    leg["nights"] = wish.get("nights", leg.get("nights", 0))


def deep_copy(value: Any) -> Any:
    """A copy that no test can spoil for the next."""
    return copy.deepcopy(value)
