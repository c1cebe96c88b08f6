"""Fortnights of real records in the bands that drawn skies give for them: ``python -m tests.sky.honest_bands``."""

from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from voyager.sky.clearness import HIGHEST, LOWEST, clearness, quantiles
from voyager.sky.draws import draw
from voyager.sky.extra import extraterrestrial_kwh_m2

PATH = Path(__file__).parents[1] / "reference" / "daily_sequences.npz"
FORTNIGHT, FORTNIGHTS, MEMBERS = 14, 26, 1000
DAYS = FORTNIGHT * FORTNIGHTS
BROKEN = 0.005, 0.9
"""Daily clearness beyond which a reading is a fault of the instrument and counts as missing."""
MISSING = 65535


@dataclass(frozen=True)
class Site:
    """Daily irradiation (N,) [kWh/m²], NaN where missing, from a first date on."""

    name: str
    lat: float
    lon: float
    record: str
    package: str
    first: np.datetime64
    kwh_m2: np.ndarray

    @property
    def measured(self):
        return self.record in ("measured", "typical year, measured")


def sites():
    """All sites of the file, measured ones first."""
    with np.load(PATH) as packed:
        for number, (name, lat, lon, record, package, first) in enumerate(packed["sites"]):
            wh = packed[f"wh_m2_{number}"]
            days = np.where(wh == MISSING, np.nan, wh / 1000)
            yield Site(str(name), float(lat), float(lon), str(record), str(package), np.datetime64(first), days)


def record_fortnights(site):
    """Sums (Y, 26) [kWh/m²] of the fortnights from 1 January on of each year, NaN where a day is missing."""
    day = site.first + np.arange(site.kwh_m2.size)
    start = day.astype("datetime64[Y]")
    day_of_year, year = (day - start).astype(int) + 1, (start - start[0]).astype(int)
    k = site.kwh_m2 / extraterrestrial_kwh_m2(site.lat, day_of_year)
    whole = (k >= BROKEN[0]) & (k <= BROKEN[1]) & (day_of_year <= DAYS)
    table = np.full((year[-1] + 1, DAYS), np.nan)
    table[year[whole], day_of_year[whole] - 1] = site.kwh_m2[whole]
    return table.reshape(-1, FORTNIGHTS, FORTNIGHT).sum(axis=2)


def drawn_fortnights(site, seed=11, *, persistent=True, factor=True):
    """Sums (M, 26) [kWh/m²] of the same fortnights under drawn skies at the site's place and days."""
    dates = [date(2001, 1, 1) + timedelta(k) for k in range(DAYS)]
    day = np.arange(1, DAYS + 1)
    skies = draw(seed, MEMBERS, dates, site.lat, 0.8)
    score = skies.score if persistent else np.random.default_rng(seed).standard_normal(skies.score.shape)
    k = clearness(quantiles(site.lat, site.lon, day), score)
    k = np.clip(k * skies.factor[:, None], LOWEST, HIGHEST) if factor else k
    return (k * extraterrestrial_kwh_m2(site.lat, day)).reshape(-1, FORTNIGHTS, FORTNIGHT).sum(axis=2)


@dataclass(frozen=True)
class Row:
    """Fortnights (n,) of a site: which of the year, place in the band (-1 below, 0 inside, 1 above), P50, record."""

    site: Site
    number: np.ndarray
    place: np.ndarray
    median: np.ndarray
    record: np.ndarray

    @property
    def inside(self):
        return float((self.place == 0).mean())

    @property
    def below(self):
        return float((self.place < 0).mean())

    @property
    def ratio(self):
        return float(self.median.sum() / self.record.sum())


def row(site, **how):
    record, (low, middle, high) = (
        record_fortnights(site),
        np.quantile(drawn_fortnights(site, **how), [0.1, 0.5, 0.9], 0),
    )
    place = (record > high).astype(int) - (record < low)
    known = np.isfinite(record)
    number, median = (np.broadcast_to(part, record.shape)[known] for part in (np.arange(FORTNIGHTS), middle))
    return Row(site, number, place[known], median, record[known])


def pooled(rows):
    """Share of all fortnights inside the band and below it."""
    place = np.concatenate([one.place for one in rows])
    return float((place == 0).mean()), float((place < 0).mean())


def table(rows):
    """The table for people: a line a site, the pool beneath."""
    yield f"{'site':20} {'record':30} {'n':>5} {'inside':>7} {'below':>6} {'P50/record':>11}"
    for one in rows:
        yield (
            f"{one.site.name:20} {one.site.record:30} {one.place.size:5} {one.inside:7.2f} {one.below:6.2f} "
            f"{one.ratio:11.2f}"
        )
    inside, below = pooled(rows)
    yield f"{'pooled':51} {sum(one.place.size for one in rows):5} {inside:7.3f} {below:6.3f}"


if __name__ == "__main__":
    print("\n".join(table([row(site) for site in sites()])))
