"""Invented logs of panels: rows, skies, and what an independent model makes of them."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pvlib
from pvlib.location import Location
from pvlib.modelchain import ModelChain
from pvlib.pvsystem import Array, FixedMount, PVSystem

from voyager.boat.arrays import PanelArray
from voyager.fits.measured import Measured
from voyager.fits.panels_rows import Spans
from voyager.fits.panels_sun import Where, clear_sky, irradiation_kwh_m2
from voyager.sky.plane import ALBEDO

HERE = Where(52.1, 5.2)
ROOF = PanelArray("roof", 400, 10, low_light_percent=0)


def hours(start: str, days: int, where: Where = HERE) -> Spans:
    """Hourly rows from 0 h UTC on, the boat moored and heading north."""
    n = 24 * days
    begin = np.datetime64(start, "s").astype(float) + 3600 * np.arange(n)
    day = np.floor((begin + 1800 + 240 * where.lon) / 86400).astype(np.int64)
    none, line = np.full(n, np.nan), np.arange(n) + 2
    still = np.zeros(n)
    return Spans(begin, begin + 3600, still, none, still, np.ones(n, bool), none, line, day, np.zeros(n, bool))


def dates(start: str, days: int, where: Where = HERE) -> Spans:
    """Rows of whole solar days."""
    day = np.datetime64(start, "D").astype(np.int64) + np.arange(days)
    begin = day * 86400.0 - 240 * where.lon
    none, line = np.full(days, np.nan), np.arange(days) + 2
    still = np.zeros(days)
    return Spans(begin, begin + 86400, still, none, still, np.ones(days, bool), none, line, day, np.ones(days, bool))


def under_clouds(spans: Spans, rng: np.random.Generator, where: Where = HERE) -> Spans:
    """Rows with an irradiation between overcast and clear, by day and by row."""
    by_day = rng.uniform(0.25, 1.0, int(np.ptp(spans.day)) + 1)[spans.day - spans.day.min()]
    share = np.clip(by_day * rng.uniform(0.85, 1.15, len(spans)), 0, 1)
    return replace(spans, ghi_kwh_m2=share * irradiation_kwh_m2(clear_sky(spans, where), len(spans)))


def log(spans: Spans, energy: np.ndarray, /, **columns: Any) -> Measured:
    """The rows as they would be read; columns named by the caller are put in or, None, taken out."""
    own: dict[str, Any] = {"energy_kwh": np.asarray(energy, dtype=float), "ghi_kwh_m2": spans.ghi_kwh_m2}
    if spans.whole_day.all():
        own["date"] = tuple(str(d) for d in spans.day.astype("datetime64[D]"))
    kept = {name: values for name, values in (own | columns).items() if values is not None}
    if not np.isfinite(kept.get("ghi_kwh_m2", np.zeros(1))).any():
        del kept["ghi_kwh_m2"]
    return Measured("log.csv", len(spans), kept, None if spans.whole_day.all() else spans.start_s, spans.line)


def chain_kwh(weather: pd.DataFrame, array: PanelArray, azimuth_deg: float, location: Location) -> np.ndarray:
    """Energy by hour [kWh] of rows of irradiance by pvlib's ModelChain: Hay-Davies, physical, Faiman, PVWatts."""
    none = ("shading", "snow", "mismatch", "wiring", "connections", "lid", "nameplate_rating", "age", "availability")
    panel = Array(
        FixedMount(array.moored_tilt_deg, azimuth_deg),
        albedo=ALBEDO,
        module_parameters={"pdc0": array.rated_w, "gamma_pdc": array.temperature_percent_per_k / 100},
        temperature_model_parameters={"u0": 25.0, "u1": 6.84},
    )
    losses = {"soiling": array.loss_percent} | dict.fromkeys(none, 0.0)
    chain = ModelChain(
        PVSystem([panel], losses_parameters=losses),
        location,
        transposition_model="haydavies",
        aoi_model="physical",
        spectral_model="no_loss",
        temperature_model="faiman",
        dc_model="pvwatts",
        losses_model="pvwatts",
        ac_model=lambda chain: None,
    )
    chain.run_model(weather)
    return np.nan_to_num(np.asarray(chain.results.dc)) * array.controller_efficiency / 1000


def greensboro() -> tuple[pd.DataFrame, Location, np.ndarray]:
    """Hours of the typical year that pvlib carries (TMY3, NREL; beam and diffuse by NREL's own models), Unix starts."""
    file = Path(pvlib.__file__).parent / "data" / "723170TYA.CSV"
    year, about = pvlib.iotools.read_tmy3(file, map_variables=True, coerce_year=2026)
    middle = year.index - pd.Timedelta("30min")
    weather = year[["ghi", "dni", "dhi", "temp_air", "wind_speed"]].set_axis(middle)
    begin = (middle - pd.Timedelta("30min")).tz_convert("UTC").tz_localize(None)
    weather = weather.iloc[np.argsort(begin)]
    seconds = np.sort(begin.to_numpy().astype("datetime64[s]").astype(float))
    return weather, Location(about["latitude"], about["longitude"], altitude=about["altitude"]), seconds
