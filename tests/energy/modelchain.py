"""pvlib's ModelChain on sub-steps, as the independent road from horizontal irradiance to power."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
from pvlib.location import Location
from pvlib.modelchain import ModelChain
from pvlib.pvsystem import Array, FixedMount, PVSystem

from voyager.boat.arrays import PanelArray
from voyager.sky.hours import HOURS, DayShape
from voyager.sky.light import irradiance_on
from voyager.sky.plane import ALBEDO


class GivenSun(Location):
    """A location whose sun stands where the input says, without refraction, so that both sides see the same sun."""

    def put(self, zenith_deg: np.ndarray, azimuth_deg: np.ndarray) -> "GivenSun":
        self.zenith_deg, self.azimuth_deg = zenith_deg, azimuth_deg
        return self

    def get_solarposition(self, times: pd.DatetimeIndex, *_: Any, **__: Any) -> pd.DataFrame:
        zenith = self.zenith_deg
        columns = {"zenith": zenith, "apparent_zenith": zenith, "azimuth": self.azimuth_deg}
        up = {"elevation": 90 - zenith, "apparent_elevation": 90 - zenith}
        return pd.DataFrame(columns | up, index=times)


class GivenExtra(PVSystem):
    """A system told the extraterrestrial irradiance (pvlib's own solar constant is 1366.1)."""

    extra_w_m2: np.ndarray

    def get_irradiance(self, *args: Any, **kwargs: Any) -> Any:
        return super().get_irradiance(*args, dni_extra=self.extra_w_m2, **kwargs)


def model_chain(arrays: Sequence[PanelArray], heading_deg: float, location: GivenSun, moored: bool) -> ModelChain:
    """A chain of the same relations: Hay-Davies, physical, Faiman, PVWatts, and the controller as its last link."""
    system = GivenExtra([_array(a, heading_deg, moored) for a in arrays], losses_parameters=_loss(arrays[0]))
    return ModelChain(
        system,
        location,
        transposition_model="haydavies",
        aoi_model="physical",
        spectral_model="no_loss",
        temperature_model="faiman",
        dc_model="pvwatts",
        losses_model="pvwatts",
        ac_model=lambda chain: None,
    )


def chain_w(
    chain: ModelChain, arrays: Sequence[PanelArray], weather: pd.DataFrame, extra_w_m2: np.ndarray
) -> np.ndarray:
    """Power (time, A) [W] of a run, the controllers' efficiency and limit put on."""
    chain.system.extra_w_m2 = extra_w_m2
    chain.run_model(weather)
    dc = chain.results.dc if isinstance(chain.results.dc, tuple) else (chain.results.dc,)
    power = np.stack([np.nan_to_num(p) for p in dc], axis=-1) * [a.controller_efficiency for a in arrays]
    limits = [np.inf if a.controller_max_w is None else a.controller_max_w for a in arrays]
    return np.clip(power, 0, limits)


def _array(array: PanelArray, heading_deg: float, moored: bool) -> Array:
    tilt = array.moored_tilt_deg if moored else array.tilt_deg
    azimuth = heading_deg + (array.moored_azimuth_deg if moored else array.azimuth_deg)
    return Array(
        FixedMount(tilt, azimuth % 360),
        albedo=ALBEDO,
        module_parameters={"pdc0": array.rated_w, "gamma_pdc": array.temperature_percent_per_k / 100},
        temperature_model_parameters={"u0": 25.0, "u1": 6.84},
    )


def _loss(array: PanelArray) -> dict[str, float]:
    none = ("shading", "snow", "mismatch", "wiring", "connections", "lid", "nameplate_rating", "age", "availability")
    return {"soiling": array.loss_percent} | dict.fromkeys(none, 0.0)


class SubHours:
    """The sunlit sub-steps of days at one station as ModelChain wants them."""

    def __init__(self, starts_utc: np.ndarray, shape: DayShape, lat: float, lon: float) -> None:
        sun = shape.light.sun
        self.shape, self.lit = shape, np.nonzero(sun.weight_h[:, 0] > 0)
        day, hour, part = self.lit
        self.where = day, 0, hour, part
        times = starts_utc[day] + (hour * 60 + part * 15).astype("timedelta64[m]")
        self.times = pd.DatetimeIndex(times, tz="UTC")
        zenith = np.degrees(np.arccos(sun.cos_zenith[self.where]))
        self.place = GivenSun(lat, lon).put(zenith, shape.azimuth_deg[self.where])

    def weather(self, clearness: np.ndarray, air_c: np.ndarray, wind_mps: np.ndarray) -> pd.DataFrame:
        """Irradiance of daily clearness (D,), air by hour (D, H), wind (D,)."""
        sky = irradiance_on(self.shape.light[self.where], clearness[self.lit[0]])
        flows = {"ghi": sky.ghi_w_m2, "dhi": sky.dhi_w_m2, "dni": sky.dni_w_m2}
        air = {"temp_air": air_c[self.lit[0], self.lit[1]], "wind_speed": wind_mps[self.lit[0]]}
        return pd.DataFrame(flows | air, index=self.times)

    def power_w(
        self,
        arrays: Sequence[PanelArray],
        heading_deg: float,
        clearness: np.ndarray,
        air_c: np.ndarray,
        wind_mps: np.ndarray,
        moored: bool = False,
    ) -> np.ndarray:
        """Mean power of each hour step (D, H, A) by ModelChain."""
        chain = model_chain(arrays, heading_deg, self.place, moored)
        extra = self.shape.light.extra_w[self.where]
        power = chain_w(chain, arrays, self.weather(clearness, air_c, wind_mps), extra)
        out = np.zeros((len(clearness), HOURS, len(arrays)))
        np.add.at(out, self.lit[:2], power * self.shape.light.sun.weight_h[self.where][:, None])
        return out
