"""What is known of a towing test beside its runs, checked."""

from collections.abc import Mapping
from dataclasses import dataclass

from voyager.boat.fluid import LIMITS_C, SALINITY_G_KG, fluid
from voyager.errors import InputError
from voyager.fits.model_compare import BY
from voyager.fits.model_rows import PARTICULARS
from voyager.fits.model_scale import CORRELATION, Setting


@dataclass(frozen=True)
class Towing:
    """The options of ``fit_model``; lengths, surfaces and masses are the model's unless said otherwise.

    ``model_length_m`` [m], ``wetted_m2`` [m2], ``scale`` (full-size length over the model's), ``displacement_kg``,
    ``payload_kg`` [kg] and ``midship_m2`` [m2] hold where the file has no column of that name. ``water``,
    ``ship_water``: "fresh" or "salt", of the test and of the full-size boat, at their [degC].
    ``propulsive_efficiency``: the full-size boat's thrust power over battery power; ``model_efficiency``: a powered
    model's own. ``correlation``: added to the full-size coefficient. ``air_drag_area_m2``: drag coefficient times
    frontal area of the full-size boat. ``cruise_*_kmh``: the full-size speeds that the hull coefficient is for; by
    default all runs to Froude 0.35. ``tank_*_m``: width and depth of the water of the test, None where it is open.
    ``tripped``: the flow is made turbulent near the bow. ``model``: whose values go on; by default who needs least.
    ``compare_by``: "displacement" or "payload", at ``compare_kg`` of the full-size boat.
    """

    model_length_m: float | None = None
    wetted_m2: float | None = None
    scale: float | None = None
    displacement_kg: float | None = None
    payload_kg: float | None = None
    midship_m2: float | None = None
    water: str = "fresh"
    water_c: float = 15.0
    ship_water: str = "fresh"
    ship_water_c: float = 15.0
    propulsive_efficiency: float = 0.5
    model_efficiency: float | None = None
    correlation: float = CORRELATION
    air_drag_area_m2: float = 0.0
    cruise_from_kmh: float | None = None
    cruise_to_kmh: float | None = None
    tank_width_m: float | None = None
    tank_depth_m: float | None = None
    tripped: bool = False
    model: str | None = None
    compare_by: str | None = None
    compare_kg: float | None = None

    def particulars(self) -> Mapping[str, float | None]:
        """By column name."""
        return {name: getattr(self, name) for name in PARTICULARS}

    def cruise_mps(self) -> tuple[float, float | None]:
        """Full-size speeds [m/s]; the upper None where it is not given."""
        return (self.cruise_from_kmh or 0.0) / 3.6, None if self.cruise_to_kmh is None else self.cruise_to_kmh / 3.6

    def setting(self, powered: bool) -> Setting:
        """Waters and efficiencies, once all is checked; raises InputError with what would mend it."""
        self._waters()
        self._shares(powered)
        self._ranges()
        return Setting(
            fluid(self.water, self.water_c),
            fluid(self.ship_water, self.ship_water_c),
            self.propulsive_efficiency,
            self.model_efficiency if powered else None,
            self.correlation,
            self.air_drag_area_m2,
        )

    def _waters(self) -> None:
        for option, kind in (("water", self.water), ("ship-water", self.ship_water)):
            if kind not in SALINITY_G_KG:
                raise InputError(f"--{option} {kind}: it is fresh or salt")
        for option, warm in (("water-c", self.water_c), ("ship-water-c", self.ship_water_c)):
            if not LIMITS_C[0] <= warm <= LIMITS_C[1]:
                raise InputError(
                    f"--{option} {warm:g}: a temperature of {LIMITS_C[0]:g} to {LIMITS_C[1]:g} °C is meant"
                )

    def _shares(self, powered: bool) -> None:
        _share("propulsive-efficiency", self.propulsive_efficiency)
        if powered and self.model_efficiency is None:
            raise InputError(
                "power_w of a powered model tells its resistance only with its own efficiency: give --model-efficiency "
                "(power of its thrust over battery power, 0.1 to 0.5 is usual for small motors), or tow it and note "
                "force_n"
            )
        if powered and self.model_efficiency is not None:
            _share("model-efficiency", self.model_efficiency)

    def _ranges(self) -> None:
        for option in ("tank-width-m", "tank-depth-m", "cruise-to-kmh", "compare-kg"):
            value = getattr(self, option.replace("-", "_"))
            if value is not None and value <= 0:
                raise InputError(f"--{option} {value:g}: it must be above 0, or left out")
        if not -0.001 <= self.correlation <= 0.003:
            raise InputError(f"--correlation {self.correlation:g}: an allowance of 0 to 0.001 is usual")
        if self.air_drag_area_m2 < 0:
            raise InputError(f"--air-drag-area-m2 {self.air_drag_area_m2:g}: it can't be below 0")
        if self.compare_by is not None and self.compare_by not in BY:
            raise InputError(f"--compare-by {self.compare_by}: it is displacement or payload")
        low, high = self.cruise_mps()
        if high is not None and low >= high:
            raise InputError("--cruise-from-kmh must be below --cruise-to-kmh")


def _share(option: str, value: float) -> None:
    if not 0 < value <= 1:
        mend = f"; {value / 100:g} is probably meant" if 1 < value <= 100 else ""
        raise InputError(f"--{option} {value:g}: it is a share above 0, at most 1{mend}")
