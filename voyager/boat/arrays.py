"""From irradiance on a plane to power out of an array's controller."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PanelArray:
    """A group of panels with one mounting; azimuths clockwise from the bow.

    ``moored_tilt_deg`` and ``moored_azimuth_deg`` equal the ones under way where the file gives none;
    ``sunward`` mirrors the moored mounting about the keel to the better side of the day.
    """

    name: str
    panel_wp: float
    panels: int = 1
    tilt_deg: float = 0.0
    azimuth_deg: float = 0.0
    moored_tilt_deg: float = 0.0
    moored_azimuth_deg: float = 0.0
    sunward: bool = False
    raise_wind_max_mps: float = 30 / 3.6
    loss_percent: float = 8.0
    temperature_percent_per_k: float = -0.35
    low_light_percent: float = -4.0
    controller_max_w: float | None = None
    controller_efficiency: float = 0.97
    shade_percent: float = 0.0
    rows_shade_percent: float = 0.0
    mass_kg: float | None = None
    price: float | None = None

    @property
    def rated_w(self) -> float:
        """Rated power of the whole array, Wp."""
        return self.panel_wp * self.panels
