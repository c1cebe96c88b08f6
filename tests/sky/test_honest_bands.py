"""Honest bands: real daily sequences in the P10 to P90 band of their 14-day energy, no site's bias taken out."""

import csv
from pathlib import Path

import numpy as np
import pytest

from tests.sky.honest_bands import PATH, pooled, record_fortnights, row, sites, table

SEEN = ("Wageningen", "Auzeville", "Avignon", "Reading", "Rostock", "Hamburg", "Potsdam", "Mannheim", "Munich")
"""Sites whose monthly means are in climate_sites.csv, among those the climate's correction was fitted to."""
AMERICA = ("Greensboro", "Sand Point", "Miami")


@pytest.fixture(scope="module")
def rows():
    return [row(site) for site in sites()]


def test_bands_hold_what_they_promise(rows):
    """All sites pooled: 70 to 90 % inside, 5 to 18 % below P10."""
    inside, below = pooled(rows)
    assert len(rows) >= 10
    assert 0.70 <= inside <= 0.90, "\n".join(table(rows))
    assert 0.05 <= below <= 0.18, "\n".join(table(rows))


@pytest.mark.parametrize("choice", ["measured", "unseen"])
def test_bands_of_a_stricter_choice(rows, choice):
    """The same where the radiation was measured, and at places outside the list of fitted sites that is kept."""
    chosen = {
        "measured": [one for one in rows if one.site.measured],
        "unseen": [one for one in rows if not one.site.name.startswith(SEEN + AMERICA)],
    }[choice]
    assert len(chosen) >= (10 if choice == "measured" else 6)
    inside, below = pooled(chosen)
    assert 0.70 <= inside <= 0.90
    assert 0.05 <= below <= 0.18


def test_each_site_counted_once(rows):
    """No long record carries the others: mean over sites of the shares."""
    assert 0.70 <= np.mean([one.inside for one in rows]) <= 0.90
    assert 0.05 <= np.mean([one.below for one in rows]) <= 0.18


@pytest.mark.parametrize("season", range(4))
def test_bands_hold_in_every_season(rows, season):
    """Winter (December to February), spring, summer, autumn, all sites pooled: each 65 to 90 %."""
    place, number = (np.concatenate([getattr(one, name) for one in rows]) for name in ("place", "number"))
    chosen = place[((number * 14 + 8 + 31) // 91.3).astype(int) % 4 == season]
    assert chosen.size > 400
    assert 0.65 <= (chosen == 0).mean() <= 0.90


def test_bands_without_persistence_would_be_too_narrow(rows):
    """What the test can tell: days drawn one by one, without a climate factor, hold far fewer."""
    narrow = [row(site, persistent=False, factor=False) for site in sites()]
    assert pooled(narrow)[0] < 0.65
    assert pooled(narrow)[0] < pooled(rows)[0] - 0.10


def test_the_file_is_what_its_table_says():
    """Small; no two records of one station; seen sites are those of the other reference file, by latitude."""
    assert PATH.stat().st_size < 400_000
    places = [(site.lat, site.lon) for site in sites()]
    assert len(set(places)) == len(places)
    with (Path(PATH).parent / "climate_sites.csv").open(encoding="utf-8", newline="") as lines:
        fitted = {(float(line["lat"]), float(line["lon"])) for line in csv.DictReader(lines)}
    for site in sites():
        near = min(abs(site.lat - lat) + abs(site.lon - lon) for lat, lon in fitted)
        assert (near < 0.1) == site.name.startswith(SEEN + AMERICA), site.name


def test_fortnights_do_not_overlap_and_miss_none():
    """The sums of a full typical year are its days 1 to 364."""
    for site in sites():
        if site.record.startswith("typical"):
            assert record_fortnights(site).sum() == pytest.approx(site.kwh_m2[:364].sum())
