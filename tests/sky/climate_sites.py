"""The reference sites as arrays, and a month of the climate at each."""

import csv
from pathlib import Path

import numpy as np

from voyager.sky.season import MONTH_FIRST

PATH = Path(__file__).parents[1] / "reference" / "climate_sites.csv"
MEASURED = ("Auzeville", "Avignon(inf.)", "Reading", "Wageningen", "TRY02", "TRY03", "TRY04", "TRY12")
"""Sites whose radiation was measured, see reference/SOURCES.md."""


class Sites:
    """Columns of the file, one entry a site and month, and the days of that month (30, N) spread over it."""

    def __init__(self):
        with PATH.open(encoding="utf-8", newline="") as lines:
            self.rows = list(csv.DictReader(lines))
        self.lat, self.lon, self.month = self.column("lat"), self.column("lon"), self.column("month").astype(int)
        first, after = MONTH_FIRST[self.month - 1], MONTH_FIRST[self.month]
        self.days = first + (after - first) * (np.arange(30)[:, None] + 0.5) / 30
        self.names = np.array([row["site"] for row in self.rows])
        self.measured = np.array([name.startswith(MEASURED) for name in self.names])

    def column(self, name):
        return np.array([float(row[name]) if row[name] else np.nan for row in self.rows])
