"""The fit without measured sun on days of records of daily irradiation (tests/reference/SOURCES.md)."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from tests.fits.panels_logs import ROOF, dates
from voyager.errors import InputError
from voyager.fits.panels import against_climate
from voyager.fits.panels_envelope import DULL_KWH_M2, expected_best
from voyager.fits.panels_sun import Where, clear_sky, days_sky, steps_of
from voyager.sky.extra import extraterrestrial_kwh_m2
from voyager.sky.measured import day_of_year

RECORDS = Path(__file__).parents[1] / "reference" / "daily_sequences.npz"
EUROPEAN = 15
MISSING = 65535
LOSS = 0.1
YEARS = 3


def windows(site: int, days: int) -> Iterator[tuple[Where, str, np.ndarray]]:
    """Stretches of a record without gaps: place, first day, irradiation [kWh/m²]."""
    with np.load(RECORDS) as records:
        _, lat, lon, _, _, first = records["sites"][site]
        wh = records[f"wh_m2_{site}"][: 365 * YEARS].astype(float)
    start = np.datetime64(date.fromisoformat(str(first)), "D")
    for at in range(0, len(wh) - days, max(days, 30)):
        part = wh[at : at + days]
        if np.all(part != MISSING):
            yield Where(float(lat), float(lon)), str(start + at), part / 1000


def estimates(days: int, step: int = 1) -> np.ndarray:
    """By window (n, 4): H0, factor over the truth less 1, held or not, relative error; nan where refused."""
    out = []
    for site in range(0, EUROPEAN, step):
        for where, first, ghi in windows(site, days):
            spans = dates(first, days, where)
            extra = extraterrestrial_kwh_m2(where.lat, day_of_year(spans.day.astype("datetime64[D]")))
            k = np.linspace(0, 1, 21)
            table = steps_of(days_sky(spans, where, k), spans, (ROOF,), where).by_row(days)
            energy = (1 - LOSS) * np.array([np.interp(ghi[d] / extra[d], k, table[:, d]) for d in range(days)])
            clear = steps_of(clear_sky(spans, where), spans, (ROOF,), where)
            expected = expected_best(spans, (ROOF,), where, np.random.default_rng(1))
            try:
                found = against_climate((ROOF,), replace(spans, energy_kwh=energy), clear, expected)
            except InputError:
                out.append((extra.mean(), np.nan, np.nan, np.nan))
                continue
            held = found.low <= 1 - LOSS <= found.high
            out.append((extra.mean(), found.factor / (1 - LOSS) - 1, held, found.se / found.factor))
    return np.array(out)


@pytest.mark.long
def test_the_envelope_holds_the_truth_of_measured_days() -> None:
    """Every third of the records in stretches of 20 days; where it tells nothing it must refuse, in winter only."""
    found = estimates(20, step=3)
    bright = found[:, 0] >= DULL_KWH_M2
    told = np.isfinite(found[:, 1])
    assert np.mean(told[bright]) > 0.95
    assert np.mean(found[bright & told, 2]) > 0.90
    assert abs(np.mean(found[bright & told, 1])) < 0.06
    assert np.mean(found[~bright & told, 2]) > 0.85
