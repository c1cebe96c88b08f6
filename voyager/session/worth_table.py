"""Values of a boat that are seldom known well: how well as a rule, which test tells better, and how much better.

All figures are common practice, no source: what a careful owner may expect, unmeasured and after one such test.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Test:
    """A test that would narrow a value; ``command`` reads its readings, empty where none does."""

    text: str
    command: str
    caution: str


@dataclass(frozen=True)
class Uncertain:
    """A value by its path in the boat file (``*``: each row's name).

    ``usual`` standard error unmeasured and ``after`` a test: shares of the value where ``share``, else in its unit.
    ``harder``: 1 where more of it makes the voyage harder, −1 where less does; ``least``, ``most``: its limits.
    """

    path: tuple[str, ...]
    name: str
    unit: str
    usual: float
    after: float
    share: bool
    harder: int
    test: str
    least: float = 0.0
    most: float = float("inf")


TESTS: Final = {
    "trial": Test(
        "a measured distance run both ways at five speeds or more, in calm and deep water",
        "voyager fit trial RUNS.csv --into {boat}",
        "Keep clear of other traffic; whoever takes the readings does not steer.",
    ),
    "heat": Test(
        "a dark evening: the cabin warmed from cold, left to cool, both temperatures and the heater logged each minute",
        "voyager fit heat READINGS.csv --into {boat}",
        "Never run the heater asleep or unattended; keep textiles clear of it, let fresh air in and have a carbon "
        "monoxide alarm aboard.",
    ),
    "panels": Test(
        "the panels' energy logged for a fortnight of bright and dull days, the battery never full",
        "voyager fit panels YIELDS.csv --into {boat}",
        "Stay off wet roofs, and leave the cables of the panels alone: they are live in daylight.",
    ),
    "battery": Test(
        "the energy counted from full down to the reserve at a mooring with a plug, and back to full",
        "",
        "Stop at the reserve, and do not charge cells below freezing.",
    ),
    "hotel": Test(
        "the battery monitor's count over a whole day at the mooring: no charging, heater off",
        "",
        "Leave fixed mains wiring to a licensed electrician.",
    ),
    "under way": Test(
        "the battery monitor read with instruments, lights and steering on, as under way, and the motor stopped",
        "",
        "Made fast, not adrift.",
    ),
    "wind": Test(
        "runs with and against a steady wind, the wind noted, beside those in calm",
        "voyager fit trial RUNS.csv --into {boat}",
        "Only in wind that the boat and the water are fit for, and keep clear of other traffic.",
    ),
    "log": Test(
        "days on open water in the log, planned against actual",
        "voyager log {voyage}",
        "Go only in weather that the boat is fit for.",
    ),
    "again": Test("the measurement that gave it, made again", "", ""),
}

UNCERTAIN: Final = (
    Uncertain(("hull", "coefficient_w_per_mps3"), "hull coefficient", "W/(m/s)³", 0.15, 0.03, True, 1, "trial"),
    Uncertain(("cabin", "ua_w_per_k"), "heat loss of the cabin (UA)", "W/K", 0.25, 0.04, True, 1, "heat"),
    Uncertain(("cabin", "thermal_capacity_wh_per_k"), "heat held by the cabin", "Wh/K", 0.4, 0.1, True, 1, "heat"),
    Uncertain(("cabin", "structure_capacity_wh_per_k"), "heat in its structure", "Wh/K", 0.4, 0.1, True, 1, "heat"),
    Uncertain(("cabin", "structure_w_per_k"), "heat from air to structure", "W/K", 0.4, 0.1, True, 1, "heat"),
    Uncertain(("array", "*", "loss_percent"), "losses of the array", "%", 6, 2, False, 1, "panels", most=100),
    Uncertain(
        ("battery", "health_percent"), "health of the battery", "%", 8, 2, False, -1, "battery", least=1, most=110
    ),
    Uncertain(("hotel", "direct_w"), "direct-current loads", "W", 0.2, 0.03, True, 1, "hotel"),
    Uncertain(("hotel", "alternating_w"), "alternating-current loads", "W", 0.25, 0.05, True, 1, "hotel"),
    Uncertain(("hull", "underway_extra_w"), "extra load under way", "W", 0.3, 0.05, True, 1, "under way"),
    Uncertain(("hull", "air_drag_area_m2"), "air drag area", "m²", 0.4, 0.15, True, 1, "wind"),
    Uncertain(("hull", "sea_margin_percent"), "sea margin", "%", 10, 4, False, 1, "log", most=300),
)
TRIAL_USUAL: Final = 0.08
"""Of the power of a hull that the boat file gives by trial points: somebody has measured, nobody says how well."""
BY_TABLE: Final = {"hull": "trial", "cabin": "heat", "array": "panels", "battery": "battery", "hotel": "hotel"}
"""The test of a value that only the boat file's standard errors name, by its table."""
