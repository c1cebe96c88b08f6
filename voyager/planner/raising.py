"""Whether an array is to be raised at a mooring or left flat, and over which side."""

from dataclasses import dataclass

from voyager.boat.arrays import PanelArray
from voyager.planner.berth import Lie

WORTH_KWH = 0.01
"""Less than this is no reason to touch a line or a panel."""


@dataclass(frozen=True)
class Raising:
    """``do``: ``fixed``, ``raise`` or ``flat``; ``why`` flat: ``wind`` or ``no-gain``. ``gain_kwh`` what raising brings
    over lying flat, ``azimuth_deg`` where the raised array then faces, from the bow."""

    do: str
    why: str | None
    gain_kwh: float
    azimuth_deg: float


def raising(array: PanelArray, lie: Lie, heading: int, number: int) -> Raising:
    """What to do with the array ``number`` at one of the headings of a stay."""
    flat, raised, over = (float(way[heading, number]) for way in (lie.flat, lie.raised, lie.mirrored))
    gain, azimuth = max(raised, over) - flat, -array.moored_azimuth_deg if over > raised else array.moored_azimuth_deg
    if not array.raised:
        return Raising("fixed", None, gain, azimuth)
    if lie.wind_mps > array.raise_wind_max_mps:
        return Raising("flat", "wind", gain, azimuth)
    if gain < WORTH_KWH:
        return Raising("flat", "no-gain", gain, azimuth)
    return Raising("raise", None, gain, azimuth)
