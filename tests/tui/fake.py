"""A planner that only pretends: the hand-made sample of tests/reference, bent by the changes asked for.

The file name given as the voyage says how it behaves: slow, patient (slow with its odds), stubborn (won't be
cancelled), bad, short, fault, dies, oddless (refuses its odds).
"""

import copy
import json
import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

from tests.tui.fake_hours import evenings, hours
from tests.tui.fake_log import gone_on
from tests.tui.fake_odds import SKIES, card, odds
from voyager.errors import Cancelled, Problem, Problems

SAMPLE = Path(__file__).parents[1] / "reference" / "sample_plan.json"
SLOW_STEPS, SLOW_STEP_S = 25, 0.04


def sample() -> dict[str, Any]:
    """A fresh copy of the sample plan."""
    plan: dict[str, Any] = json.loads(SAMPLE.read_text())
    return plan


def documents() -> dict[str, Any]:
    """The sample's voyage and boat as two files would give them."""
    made = sample()
    voyage = {key: made["voyage"][key] for key in ("name", "time_zone", "sky", "aim", "comfort")}
    names = [made["legs"][0]["from"], *(leg["to"] for leg in made["legs"])]
    voyage.update(boat="sedge.toml", departs=date.fromisoformat(made["voyage"]["departs"]))
    voyage["place"] = [{"name": name, "at": [52.0 + at / 10, -8.0]} for at, name in enumerate(names)]
    voyage["leg"] = [_written(leg) for leg in made["legs"]]
    battery = {"capacity_kwh": made["boat"]["capacity_kwh"]}
    ladder = {name: {"otherwise_c": 12 - 3 * at} for at, name in enumerate(made["choices"]["comfort"][:-1])}
    return {"voyage": voyage, "boat": {"name": made["boat"]["name"], "battery": battery, "comfort": ladder}}


def _written(leg: Mapping[str, Any]) -> dict[str, Any]:
    row = {key: leg[key] for key in ("from", "to", "water", "distance_km", "locks") if leg[key]}
    row.update({"speed_kmh": leg["speed_kmh"]} if leg["fixed_speed"] else {})
    return {**row, "nights": leg["nights"]} if leg.get("nights") else row


def opened(path: str) -> dict[str, Any]:
    """The sample as its files alone give it."""
    if "bad" in path:
        raise Problems([Problem("bad.toml", 4, "departs", "there is no 30 February"),
                        Problem("bad.toml", 9, "leg", "a leg needs to")])  # fmt: skip
    read = documents()
    return {
        "documents": read, "outline": {}, "problems": faults(path, read), "journal": None, "stamp": {},
        "files": {"voyage": path, "boat": "sedge.toml"}, "writable": {"voyage": True, "boat": True},
        "comfort": ["ample", "frugal", "off"],
    }  # fmt: skip


def faults(path: str, read: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Legs that do not meet, and legs without an end, in the shape of the real ones."""
    found, legs = [], read["voyage"].get("leg", [])
    for number, (one, other) in enumerate(pairwise(legs), start=2):
        if one.get("to") != other.get("from"):
            what = f"leg {number - 1} ends at {one.get('to')}, leg {number} begins at {other.get('from')}"
            text = f"leg {number} ({other.get('from')} to {other.get('to')}): from: {what}"
            found.append({"text": text, "what": what, "row": "leg", "number": number, "key": "from"})
    return found


def stages(
    path: str,
    read: Mapping[str, Any],
    *,
    members: tuple[int, ...],
    start: str | None = None,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Iterator[dict[str, Any]]:
    """The plans of each number of members in turn; from the log on as ``fake_log`` has it."""
    legs = read["voyage"].get("leg", [])
    for count in members:
        made = plan(path, changes(read), members=count, progress=progress, cancelled=cancelled, legs=legs)
        yield made if start is None else gone_on(made)


def changes(read: Mapping[str, Any]) -> dict[str, Any]:
    """What differs from the sample's files: top keys, and leg keys by the leg's number; None where one is gone."""
    was, now = documents(), read
    top = _differ(was["voyage"], now["voyage"])
    boat = _differ(was["boat"], now["boat"])
    pairs = zip(was["voyage"]["leg"], now["voyage"].get("leg", []), strict=False)
    legs = {number: found for number, pair in enumerate(pairs, 1) if (found := _differ(*pair))}
    more = len(now["voyage"].get("leg", [])) - len(was["voyage"]["leg"])
    return {**top, **({"legs": legs} if legs else {}), **({"boat": boat} if boat else {}),
            **({"more_legs": more} if more else {})}  # fmt: skip


def _differ(was: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    keys = [key for key in {**was, **now} if key not in {"leg"} and was.get(key) != now.get(key)]
    return {key: value.isoformat() if isinstance(value := now.get(key), date) else value for key in keys}


def slow_answer(seconds: float, text: str) -> str:
    """Something asked beside the plan."""
    time.sleep(seconds)
    return text


def refused_answer() -> None:
    """Something that can't be answered."""
    raise Problems([Problem("coast.toml", 1, "window", "there is no such window")])


def plan(
    path: str,
    changes: Mapping[str, Any] | None = None,
    *,
    members: int = 0,
    seed: int = 1,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    legs: Sequence[Mapping[str, Any]] | None = None,
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
    if legs is not None:
        made["legs"] = [_bend(number, leg, made["legs"]) for number, leg in enumerate(legs, 1)]
    if "short" in path:
        made.update(short=SHORT)
        made["days"][5].update(held=False, cautions=[*made["days"][5]["cautions"], "no_way_out"])
    made.update(odds=None, card=[])
    if members:
        made["voyage"].update(members=members, seed=seed)
        made.update(odds=odds(made, members, seed), card=card(made))
        for day in made["days"]:
            day["sky_class"] = SKIES[day["day"] % 5]
    for day in made["days"]:
        day["hours"] = hours(day)
    made["evenings"] = evenings(made)
    return made


SHORT = {
    "day": 6, "date": "2027-03-06", "place": "Portumna", "short_kwh": 2.3,
    "mends": [{"text": "Stay 2 nights longer at Athlone", "nights": 2, "shore_at": None},
              {"text": "shore power at Portumna", "nights": None, "shore_at": "Portumna"}],
}  # fmt: skip


def _behave(path: str, changes: Mapping[str, Any], members: int, progress: Any, cancelled: Any) -> None:
    if "bad" in path:
        opened(path)
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


def _bend(number: int, row: Mapping[str, Any], legs: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    """The planned leg of a row: the sample's between the same places, else its first; slower or faster as asked."""
    ends = (row.get("from"), row.get("to"))
    same = next((leg for leg in legs if (leg["from"], leg["to"]) == ends), legs[0])
    leg = {**same, "leg": number, **{key: row[key] for key in ("from", "to", "water", "distance_km") if key in row}}
    speed = row.get("speed_kmh")
    if speed is not None and speed != leg["speed_kmh"]:
        leg.update(energy_kwh=leg["energy_kwh"] * (speed / leg["speed_kmh"]) ** 2, hours=leg["distance_km"] / speed)
        leg["speed_kmh"] = speed
    leg.update(fixed_speed=speed is not None, nights=row.get("nights", 0), locks=row.get("locks", 0))
    return leg


def deep_copy(value: Any) -> Any:
    """A copy that no test can spoil for the next."""
    return copy.deepcopy(value)
