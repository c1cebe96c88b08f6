"""What stands around the tables of a plan: heading, notes, totals, what is short, cautions, assumptions."""

from collections.abc import Iterable, Mapping
from datetime import date
from operator import itemgetter
from typing import Any

from voyager.report.odds import by_then
from voyager.report.tables import WIDE, caution_letters
from voyager.report.text import entry
from voyager.report.totals import MARKS, totals
from voyager.report.words import SKIES, counted, listed, long_date, number, runs

Plan = Mapping[str, Any]
NOT_FOR_WANT_OF_ENERGY = (
    "No day lacks energy, and still the voyage does not end: look at travel and lock hours, closures, dates, and legs "
    "without a mooring that are longer than a day."
)


def opening(plan: Plan, width: int) -> list[str]:
    """Voyage, boat, dates and choices, a line or two each."""
    voyage, boat = plan["voyage"], plan["boat"]
    nights = counted(voyage["heating_reserve_nights"], "night", "nights")
    by = f" by {long_date(voyage['by'])}" if voyage["by"] else ""
    lines = [
        f"{voyage['name']}, {number(voyage['distance_km'])} km, {counted(len(plan['legs']), 'leg', 'legs')}",
        f"{boat['name']}: {number(boat['array_wp'], 0)} Wp; battery {number(boat['capacity_kwh'])} kWh, "
        f"reserve {number(boat['reserve_kwh'])}, ceiling {number(boat['ceiling_kwh'])}",
        f"Sky {voyage['sky']}, aim {voyage['aim']}{by}, comfort {voyage['comfort']}, heating reserve for {nights}, "
        f"shore power {voyage['shore_power']}; days from {voyage['day_starts']}, {voyage['time_zone']}",
        _dates(plan),
    ]
    return [entry("", line, width) for line in lines]


def _dates(plan: Plan) -> str:
    leaves = f"Departs {long_date(plan['voyage']['departs'])}"
    if not plan["arrives"]:
        return f"{leaves} and does not arrive in the {counted(len(plan['days']), 'day', 'days')} planned."
    last = date.fromisoformat(plan["arrives"]) - date.fromisoformat(plan["voyage"]["departs"])
    stay = len(plan["days"]) - last.days - 1
    more = f", and {counted(stay, 'more', 'more')} there" if stay > 0 else ""
    length = f"{counted(last.days + 1, 'day', 'days')}{more}{_late(plan)}"
    return f"{leaves}, arrives {long_date(plan['arrives'])}: {length}.{by_then(plan)}"


def _late(plan: Plan) -> str:
    by = plan["voyage"]["by"]
    late = (date.fromisoformat(plan["arrives"]) - date.fromisoformat(by)).days if by else 0
    return f"; {counted(late, 'day', 'days')} later than asked" if late > 0 else ""


def notes(plan: Plan, width: int) -> list[str]:
    """What the tables cannot hold: skies, days not held, other steps, cold cabins, loads unserved, speeds fixed."""
    days, asked = plan["days"], plan["voyage"]["comfort"]
    steps = [step for step in dict.fromkeys(day["comfort"] for day in days) if step != asked]
    lines = [
        (_days(day for day in days if not day["held"]), "not held: on a poor day the charge would end too low."),
        *((_days(day for day in days if day["comfort"] == one), f"comfort {one}, not {asked}.") for one in steps),
        (_days(day for day in days if day["warm_hours"] < day["asked_hours"] - 0.05), "colder than asked at times."),
        (_days(day for day in days if day["unserved_kwh"] > 0.005), "a load that could not be served."),
        (_plural("Leg", [leg["leg"] for leg in plan["legs"] if leg["fixed_speed"]]), "speed fixed, not chosen."),
    ]
    return [*_skies(days, width), *(entry(f"{lead}: ", text, width) for lead, text in lines if lead)]


def _skies(days: Iterable[Plan], width: int) -> list[str]:
    """The sky of each morning, where the table is too narrow for it; empty without odds."""
    known = {sky: [day["day"] for day in days if day["sky_class"] == sky] for sky in SKIES}
    told = "; ".join(f"{sky} {runs(found)}" for sky, found in known.items() if found)
    return [entry("Sky known that morning, by day: ", told, width)] if told and width < WIDE else []


def _days(days: Iterable[Plan]) -> str:
    return _plural("Day", [day["day"] for day in days])


def totals_lines(plan: Plan, width: int) -> list[str]:
    """Days by mark, way, energies, charge, warmth and plugs."""
    sums = totals(plan)
    marks = listed([f"{sums['marks'][mark]} {mark}" for mark in MARKS if sums["marks"][mark]])
    stops = sums["shore_stops"]
    pairs = {
        "Days": f"{sums['days']}: {marks or 'none'}",
        "Way": f"{number(sums['distance_km'])} km in {number(sums['hours_underway'])} h, "
        f"{counted(sums['locks'], 'lock', 'locks')}, {number(sums['waiting_h'])} h waiting",
        "Energy in": f"sun {number(sums['solar_kwh'])} kWh ({number(sums['spilled_kwh'])} of it spilt), "
        f"shore {number(sums['shore_kwh'])} kWh",
        "Energy out": f"motor {number(sums['propulsion_kwh'])}, hotel {number(sums['hotel_kwh'])}, "
        f"heat {number(sums['heating_kwh'])}, losses {number(sums['loss_kwh'])} kWh",
        "Charge": _charge(sums),
        "Warmth": f"{number(sums['warm_hours'])} of {number(sums['asked_hours'])} hours as asked; "
        f"coldest {number(sums['cabin_low_c'])} °C in them",
        "Shore power": f"{counted(len(stops), 'stop', 'stops')}: {listed(stops)}" if stops else "no stop",
    }
    return [entry(f"  {name:<12}", text, width) for name, text in pairs.items()]


def _charge(sums: Plan) -> str:
    low = sums["charge_low"]
    if low is None:
        return "none"
    return (
        f"lowest {number(low['charge_low_kwh'])} kWh on day {low['day']} ({low['mooring']}), "
        f"floor there {number(low['floor_kwh'])}; {number(sums['charge_end_kwh'])} kWh at the end"
    )


def short_lines(plan: Plan, width: int) -> list[str]:
    """The first day that is not held, what it lacks, and what would mend it; empty where the plan has no fault."""
    short = plan["short"]
    if not short:
        return [] if plan["arrives"] else [entry("", _stuck(plan), width)]
    lead = f"Day {short['day']}, {long_date(short['date'])}, {short['place']}: {number(short['short_kwh'])} kWh short."
    mends = [entry("  - ", mend["text"], width) for mend in short["mends"]]
    none = [entry("  ", "No single night's rest and no plug on the way was found to mend it.", width)]
    return [entry("", lead, width), *(["What would mend it:", *mends] if mends else none)]


def _stuck(plan: Plan) -> str:
    """Why a plan whose days are all held does not arrive."""
    stuck, aim, by = plan.get("stuck"), plan["voyage"]["aim"], plan["voyage"]["by"]
    if stuck:
        return str(stuck["text"])
    if by and aim != "soonest":
        return (
            f"No day lacks energy, but {long_date(by)} is too early: who is late anyway gains nothing by going under "
            f"the aim {aim}. Give a later date (by), or the aim soonest."
        )
    return NOT_FOR_WANT_OF_ENERGY


def caution_lines(plan: Plan, width: int) -> list[str]:
    """Every caution's text once, after its letter in the days table, with the days and legs that lean on it."""
    letters = caution_letters(plan)
    grouped: dict[tuple[str, str], list[Plan]] = {}
    for caution in plan["cautions"]:
        grouped.setdefault((letters.get(caution["code"], ""), caution["text"]), []).append(caution)
    ordered = sorted(grouped, key=itemgetter(0))
    return [entry(f"  {key[0] or '-'} ", _where(grouped[key]) + key[1], width) for key in ordered]


def _where(cautions: list[Plan]) -> str:
    days = [one["day"] for one in cautions if one["day"] is not None]
    legs = [one["leg"] for one in cautions if one["leg"] is not None]
    return "; ".join(filter(None, (_plural("Day", days), _plural("Leg", legs)))) + (": " if days or legs else "")


def _plural(name: str, numbers: Iterable[int]) -> str:
    several = set(numbers)
    return f"{name}{'s' if len(several) > 1 else ''} {runs(several)}" if several else ""


def assumption_lines(plan: Plan, width: int) -> list[str]:
    """What the plan takes for granted."""
    return [entry("  - ", text, width) for text in plan["assumptions"]]
