"""This evening in sentences: how to lie, what to raise and heat, what is in the battery, what tomorrow needs."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from voyager.report.words import counted, listed, number

Row = Mapping[str, Any]
Part = tuple[str, list[str]]
COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")
SIDES = {"starboard": "to starboard", "port": "to port", "ahead": "ahead, over the bow", "astern": "astern"}
OTHER = {"starboard": "port", "port": "starboard"}
STAYS = {
    "asked": "the voyage asks for it", "closed": "the way ahead is shut", "sea": "the sea is not taken to be fit",
    "daylight": "there is no time to travel", "recover": "the battery is to gain first",
    "low": "the charge is low", "slack": "there is time enough", "arrived": "the voyage ends here",
}  # fmt: skip
EVEN_KWH = 0.01


@dataclass(frozen=True)
class Say:
    """How to say what has units: a clock time of the voyage's zone, °C, km/h, a charge [kWh]."""

    zone: str
    warmth: Callable[[float], str]
    speed: Callable[[float], str]
    charge: Callable[[float], str]

    def clock(self, instant: str) -> str:
        """``08:30``."""
        moment = datetime.fromisoformat(instant).astimezone(ZoneInfo(self.zone))
        return f"{moment:%H:%M}"


def plain(zone: str, capacity_kwh: float) -> Say:
    """°C, km/h, and charges as kWh with their percent."""
    return Say(
        zone,
        lambda celsius: f"{number(celsius, 0)} °C",
        lambda kmh: f"{number(kmh, 0)} km/h",
        lambda kwh: f"{number(kwh)} kWh ({100 * kwh / capacity_kwh:.0f} %)",
    )


def evening_parts(evening: Row, say: Say) -> list[Part]:
    """Headings with their sentences, the same five every evening."""
    return [
        ("Lie", lie_sentences(evening)),
        ("Panels", panel_sentences(evening, say)),
        ("Heat", heat_sentences(evening, say)),
        ("Battery", battery_sentences(evening, say)),
        ("Tomorrow", tomorrow_sentences(evening, say)),
    ]


def compass(degrees: float) -> str:
    """The nearest of eight points."""
    return COMPASS[round(degrees / 45) % 8]


def lie_sentences(evening: Row) -> list[str]:
    """Which way to lie; a side to the bank only where one way along it may be chosen."""
    lie = evening["lie"]
    bow, side = compass(lie["heading_deg"]), lie["sun_side"]
    if side is None:
        return ["Lie as suits: next to no sun comes before casting off."]
    sun = f"the sun is {SIDES[side]} ({compass(lie['sun_deg'])})"
    if lie["heading"] == "given":
        return [f"Bow to the {bow}, as the place has it: {sun}."]
    if lie["heading"] == "unknown":
        return [_unknown(lie, bow, sun), "At anchor wind and stream decide."]
    first = f"Bow to the {bow}: {sun}"
    more = f"+{number(lie['gain_kwh'], 2)} kWh against the mean of both ways"
    gain = more if lie["gain_kwh"] else "the other way gains alike"
    if side not in OTHER:
        return [f"{first}; {gain}."]
    bank = f"{OTHER[side].capitalize()} side to the bank where you can choose: no bank or trees before the sun."
    return [f"{first}; {gain}.", bank]


def _unknown(lie: Row, bow: str, sun: str) -> str:
    if not lie["gain_kwh"]:
        return f"Lie as suits: the way of the bow makes no difference tonight ({sun} with the bow to the {bow})."
    return f"With a choice, bow to the {bow}: {sun}; +{number(lie['gain_kwh'], 2)} kWh against the mean of all ways."


def panel_sentences(evening: Row, say: Say) -> list[str]:
    """Raise, or leave flat and why; then what they give until casting off."""
    told = [_array(array, evening, say) for array in evening["arrays"] if array["do"] != "fixed"]
    told = told or ["No array of this boat is raised when moored."]
    until = say.clock(evening["until_utc"])
    told.append(f"All panels until {until} tomorrow: {number(evening['panels_kwh'], 2)} kWh.")
    limits = [array["raise_wind_max_kmh"] for array in evening["arrays"] if array["do"] == "raise"]
    if limits:
        winds = f"{say.speed(evening['wind_kmh'])} is expected"
        if evening["poor_wind_kmh"] > evening["wind_kmh"]:
            winds += f", {say.speed(evening['poor_wind_kmh'])} on a poor day"
        told.append(f"Lower them before the wind reaches {say.speed(min(limits))} ({winds}), and before casting off.")
    return told


def _array(array: Row, evening: Row, say: Say) -> str:
    name = array["name"][:1].upper() + array["name"][1:]
    if array["do"] == "raise":
        side = "" if array["side"] is None else f" over {array['side']}" if array["side"] in OTHER else " fore and aft"
        way = f"{name}: raise to {array['tilt_deg']:g}°{side}, facing {compass(array['faces_deg'])}"
        return f"{way}; +{number(array['gain_kwh'], 2)} kWh against lying flat."
    if array["why"] == "wind":
        wind, most = say.speed(evening["wind_kmh"]), say.speed(array["raise_wind_max_kmh"])
        return f"{name}: leave flat; the wind, {wind}, is more than it may be raised in ({most})."
    if -array["gain_kwh"] <= EVEN_KWH:
        return f"{name}: leave flat; raising it gains nothing."
    return f"{name}: leave flat; raised, as the plan reckons it, it gives {number(-array['gain_kwh'], 2)} kWh less."


def heat_sentences(evening: Row, say: Say) -> list[str]:
    """Hours and setpoints, energy, heaters."""
    heat = evening["heat"]
    hours = [f"{say.clock(one['from_utc'])} to {say.clock(one['to_utc'])} at {say.warmth(one['setpoint_c'])}"
             for one in heat["hours"]]  # fmt: skip
    rest = f"{'else ' if hours else 'all night '}{say.warmth(heat['otherwise_c'])}"
    first = f"{heat['comfort'].capitalize()}: {', '.join([*hours, rest])}."
    if not heat["heaters"]:
        return [first, "No heater runs tonight."]
    with_what = listed([f"{one['name']} {number(one['kwh'], 2)} kWh" for one in heat["heaters"]])
    return [first, f"A heater runs in {counted(heat['runs_h'], 'hour', 'hours')}: {with_what}."]


def battery_sentences(evening: Row, say: Say) -> list[str]:
    """Charge now and next morning against what is wanted; the plug."""
    now, then, wanted = (say.charge(evening[key]) for key in ("charge_evening_kwh", "charge_end_kwh", "wanted_kwh"))
    told = [f"{now} this evening, {then} next morning."]
    if evening["plug_in"]:
        return [*told, f"Plug in tonight: {number(evening['shore_kwh'])} kWh from the shore."]
    short = evening["charge_evening_kwh"] < evening["wanted_kwh"] - 1e-6
    return [*told, f"Wanted this evening, floor and heating reserve: {wanted}{': it is not there' if short else ''}."]


def tomorrow_sentences(evening: Row, say: Say) -> list[str]:
    """When to go where, what it takes, which locks have hours."""
    next_day = evening["tomorrow"]
    if next_day is None:
        return ["The voyage ends here."]
    plug = f"Plug in at {next_day['plug_at']} tomorrow evening." if next_day["plug_in"] else "No plug needed tomorrow."
    if next_day["mark"] != "underway":
        why = STAYS.get(next_day["why"], "as planned")
        return [f"Stay at {next_day['to']}: {why}.", plug]
    return [_going(next_day, say), _needs(next_day, say), *_opens(next_day, say), plug]


def _going(next_day: Row, say: Say) -> str:
    off, fast = next_day["casts_off_utc"], next_day["made_fast_utc"]
    first = f"Cast off at {say.clock(off)} for {next_day['to']}" if off else f"Under way for {next_day['to']}"
    wait = f", {number(next_day['waiting_h'])} h of it waiting" if next_day["waiting_h"] >= 0.05 else ""
    return f"{first}{f', made fast by {say.clock(fast)}' if fast else ', on through the night'}{wait}."


def _needs(next_day: Row, say: Say) -> str:
    motor = f"{number(next_day['propulsion_kwh'])} kWh to the motor"
    if next_day["needs_kwh"] is None:
        return f"{motor}; nothing that is planned would hold on a poor day."
    return f"{motor}; held from {say.charge(next_day['needs_kwh'])} in the morning."


def _opens(next_day: Row, say: Say) -> list[str]:
    """Legs with hours one by one, all others together."""
    free = [way for way in next_day["opens"] if way["opens_utc"] is None]
    timed = [way for way in next_day["opens"] if way["opens_utc"] is not None]
    told = [
        f"{_what([way])}, {way['from']} to {way['to']}: {say.clock(way['opens_utc'])} to {say.clock(way['shuts_utc'])}."
        for way in timed
    ]
    return [*told, *([f"{_what(free)} without hours."] if free else [])]


def _what(ways: Sequence[Row]) -> str:
    locks, bridges = (sum(way[key] for way in ways) for key in ("locks", "bridges"))
    parts = [counted(locks, "lock", "locks")] * bool(locks) + [counted(bridges, "bridge", "bridges")] * bool(bridges)
    return listed(parts) or "Way"
