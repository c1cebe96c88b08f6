"""What to heed when measuring: a sentence for each code, told with every fit and before every test."""

from collections.abc import Mapping, Sequence
from typing import Final

TEXTS: Final[Mapping[str, str]] = {
    "heater": "Heater test: never leave a heater running unattended or while anyone sleeps, keep textiles well clear "
    "of it, and keep to its maker's instructions and the rating of cable and socket.",
    "fresh_air": "A closed, heated cabin needs fresh air: keep the vents as open as they will be in use, and have a "
    "working carbon monoxide alarm aboard.",
    "traffic": "Speed trials: keep clear of other boats, moorings and banks and within speed limits, have a look-out "
    "who does nothing else, and wear lifejackets; local rules come first.",
    "towing": "Towing and launching models: never work at the water's edge alone, wear a lifejacket, keep lines clear "
    "of hands, feet and propellers, and heed other traffic and local rules; cold water kills in minutes.",
    "panels_live": "Panels in the sun are live and cannot be switched off: do not open their connections to measure, "
    "read the controller instead; wiring is for those licensed for it, by the maker's instructions.",
    "stability": "A roll test replaces no stability assessment: before going out, have stability and freeboard "
    "assessed by a qualified person and keep to the rules for your waters. Roll a boat only moored, in calm warm "
    "weather, with lifejackets on and hatches shut.",
    "shallow": "In shallow water a boat squats and draws wash: keep water under the keel, and slow down for banks and "
    "moored boats.",
}
ALWAYS: Final[Mapping[str, tuple[str, ...]]] = {
    "heat": ("heater", "fresh_air"),
    "trial": ("traffic",),
    "panels": ("panels_live",),
    "model": ("towing",),
    "roll": ("stability",),
}
"""What stands beside every fit of a kind."""


def codes(kind: str, found: Sequence[str]) -> list[str]:
    """The codes of a fit, those of its kind first."""
    return list(dict.fromkeys((*ALWAYS[kind], *found)))


def texts(found: Sequence[str]) -> list[str]:
    """A sentence for each code that has one."""
    return [TEXTS[code] for code in found if code in TEXTS]
