"""What a boat file must fulfil beyond the kind and range of each key."""

from collections.abc import Sequence
from itertools import pairwise

from voyager.files.boat_model import (
    ArrayTable,
    BatteryTable,
    BoatFile,
    CabinTable,
    ComfortTable,
    HeaterTable,
    HullTable,
)
from voyager.files.clock import clock_text, window
from voyager.files.faults import Faults
from voyager.files.lines import Path

LEAST_TRIAL_POINTS = 3
OFF = "off"
Pieces = Sequence[tuple[int, int]]


def check_boat(boat: BoatFile, faults: Faults) -> None:
    """Tell ``faults`` what cannot be; keys that have a fault already are None and passed over."""
    if boat.hull:
        _check_hull(boat.hull, faults)
    _check_names(boat.array or [], "array", faults)
    if boat.battery:
        _check_battery(boat.battery, faults)
    if boat.inverter and boat.inverter.efficiency_by_load:
        _check_rising(boat.inverter.efficiency_by_load, "loads", ("inverter", "efficiency_by_load"), faults)
    if boat.cabin:
        _check_cabin(boat.cabin, faults)
    _check_names(boat.heater or [], "heater", faults)
    for number, heater in enumerate(boat.heater or []):
        if heater.cop_by_c:
            _check_rising(heater.cop_by_c, "temperatures", ("heater", number, "cop_by_c"), faults)
    for name, step in (boat.comfort or {}).items():
        _check_comfort(name, step, faults)


def _check_hull(hull: HullTable, faults: Faults) -> None:
    given = {key[1] for key in (*faults.document.positions,) if len(key) == 2 and key[0] == "hull"}
    if {"coefficient_w_per_mps3", "trial"} <= given:
        faults.add(("hull", "trial"), "coefficient_w_per_mps3 stands here too; give one of them")
    elif not {"coefficient_w_per_mps3", "trial"} & given:
        faults.add(
            ("hull", "coefficient_w_per_mps3"),
            "is missing: give coefficient_w_per_mps3, or trial = [[speed_kmh, power_w], …] with 3 points or more",
        )
    if hull.trial is not None:
        _check_trial(hull.trial, faults)


def _check_trial(trial: Sequence[tuple[float, float]], faults: Faults) -> None:
    path = ("hull", "trial")
    if len(trial) < LEAST_TRIAL_POINTS:
        faults.add(path, f"needs {LEAST_TRIAL_POINTS} points or more, has {len(trial)}")
    points = sorted(trial)
    for (slow, less), (fast, more) in pairwise(points):
        if slow == fast:
            faults.add(path, f"has {slow:g} km/h twice; give the mean of both runs")
        elif more <= less:
            faults.add(path, f"the power at {fast:g} km/h ({more:g} W) is not above that at {slow:g} km/h ({less:g} W)")


def _check_names(rows: Sequence[ArrayTable | HeaterTable], table: str, faults: Faults) -> None:
    seen: set[str] = set()
    for number, row in enumerate(rows):
        if row.name and row.name in seen:
            faults.add((table, number, "name"), f'there is another "{row.name}"; give each its own name')
        seen.add(row.name)


def _check_battery(battery: BatteryTable, faults: Faults) -> None:
    reserve, ceiling = battery.reserve_percent, battery.ceiling_percent
    if reserve is not None and ceiling is not None and reserve >= ceiling:
        positions = faults.document.positions
        key = "reserve_percent" if ("battery", "reserve_percent") in positions else "ceiling_percent"
        faults.add(("battery", key), f"reserve ({reserve:g} %) must lie below the ceiling ({ceiling:g} %)")
    if battery.capacity_by_c is not None:
        _check_rising(battery.capacity_by_c, "temperatures", ("battery", "capacity_by_c"), faults)


def _check_rising(rows: Sequence[tuple[float, float]], what: str, path: Path, faults: Faults) -> None:
    if len(rows) < 2:
        faults.add(path, f"needs 2 rows or more, has {len(rows)}")
    if any(later[0] <= earlier[0] for earlier, later in pairwise(rows)):
        faults.add(path, f"its {what} must rise from row to row")


def _check_cabin(cabin: CabinTable, faults: Faults) -> None:
    pair = ("structure_capacity_wh_per_k", "structure_w_per_k")
    given = [key for key in pair if ("cabin", key) in faults.document.positions]
    if len(given) == 1:
        other = pair[1 - pair.index(given[0])]
        faults.add(("cabin", given[0]), f"needs {other} beside it: the second, slower part of the cabin has both")


def _check_comfort(name: str, step: ComfortTable, faults: Faults) -> None:
    if name == OFF:
        faults.add(("comfort", name), "the step off always exists (frost guard only); give yours another name")
    taken: list[tuple[int, int, str]] = []
    for text, setpoint in (step.hours_c or {}).items():
        path = ("comfort", name, "hours_c", text)
        try:
            pieces = window(text)
        except ValueError as error:
            faults.add(path, str(error))
            continue
        if not -10 <= setpoint <= 35:
            faults.add(path, f"must be a setpoint from -10 to 35 °C, is {setpoint:g}")
        _check_overlap(pieces, text, taken, path, faults)


def _check_overlap(pieces: Pieces, text: str, taken: list[tuple[int, int, str]], path: Path, faults: Faults) -> None:
    for opens, shuts in pieces:
        for first, last, other in taken:
            if opens < last and first < shuts:
                begins, ends = clock_text(max(opens, first)), clock_text(min(shuts, last))
                faults.add(path, f'"{text}" and "{other}" both hold {begins} to {ends}')
    taken.extend((opens, shuts, text) for opens, shuts in pieces)
