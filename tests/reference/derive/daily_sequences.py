"""Derive ../daily_sequences.npz: daily global irradiation in Wh/m², day after day, at places with a record.

    python -m venv try && try/bin/pip install numpy pandas pcse==6.0.13 pyswap==0.3.9 pvlib==0.16.1 demandlib==0.2.2
    try/bin/pip download --no-deps --no-binary :all: pystics==1.2.5 && tar xzf pystics-1.2.5.tar.gz
    try/bin/python tests/reference/derive/daily_sequences.py pystics-1.2.5

The packages' files are read as files; nothing of the packages is run but pvlib's readers. Days without a reading are
65535. Typical years, whose months come from different years, are dated 2001. Sources, licences: ../SOURCES.md.
"""

import csv
import sys
from datetime import date, datetime, timedelta
from importlib.util import find_spec
from pathlib import Path

import numpy as np

MISSING = 65535
KJ_TO_WH = 1 / 3.6
TYPICAL = date(2001, 1, 1)
# name: latitude, longitude, record, package, days
SITES = {}


def main(stics):
    pystics = Path(stics) / "src/pystics/parametrization_files/example"
    put("Wageningen", 51.97, 5.67, "measured", "pcse", wageningen())
    put("De Bilt", 52.10, 5.18, "measured", "pyswap", swap("2-grassgrowth/260.csv") | swap("4-oxygenstress/260.csv"))
    put("Hupsel", 52.07, 6.66, "measured", "pyswap", swap("1-hupselbrook/283.csv"))
    put("Mons-en-Chaussée", 49.87, 3.03, "measured", "pystics", inrae(pystics, "Miscanthus"))
    put("Auzeville", 43.53, 1.50, "measured", "pystics", inrae(pystics, "Auzeville"))
    put("Avignon", 43.92, 4.88, "measured", "pystics", inrae(pystics, "statio5j"))
    put("Reading", 51.45, -0.97, "measured", "pystics", inrae(pystics, "readingj"))
    for number, name, lat, lon in GERMAN:
        put(name, lat, lon, "typical year, measured", "demandlib", german(number))
    for number, name, lat, lon in MARS:
        put(name, lat, lon, "measured or from sunshine", "pcse", mars(number))
    for name, days, place in american():
        put(name, place["latitude"], place["longitude"], "typical year, mostly modelled", "pvlib", days)
    pack(Path(__file__).parents[1] / "daily_sequences.npz")


GERMAN = [
    ("02", "Rostock", 54.183, 12.083),
    ("03", "Hamburg", 53.633, 10.0),
    ("04", "Potsdam", 52.383, 13.067),
    ("12", "Mannheim", 49.517, 8.55),
]
MARS = [
    ("8011_asturias", "Asturias airport", 43.567, -6.044),
    ("8443_ronda", "Ronda", 36.75, -5.167),
    ("2297_sweden", "Sweden 2297", 64.483, 21.583),
    ("10870_munchen_flughafen", "Munich airport", 48.367, 11.8),
]


def put(name, lat, lon, record, package, days):
    SITES[name] = (lat, lon, record, package, days)


def folder(package):
    return Path(find_spec(package).submodule_search_locations[0])


def wageningen():
    days = {}
    for file in sorted((folder("pcse") / "tests/test_data").glob("NL1.9*")):
        lines = file.read_text(errors="replace").splitlines()
        rows = [line.split() for line in lines if line.strip() and not line.startswith("*")]
        for _, year, day, kj, *_ in rows[1:]:
            days[date(int(year), 1, 1) + timedelta(int(day) - 1)] = float(kj) * KJ_TO_WH
    return days


def swap(name):
    with (folder("pyswap") / "testcase/data" / name).open() as lines:
        rows = list(csv.DictReader(lines))
    return {date(int(r["YYYY"]), int(r["MM"]), int(r["DD"])): float(r["Rad"]) * KJ_TO_WH for r in rows}


def inrae(place, station):
    rows = [
        line.split()
        for file in sorted(place.glob(station + ".*"))
        if file.suffix[1:].isdigit()
        for line in file.read_text().splitlines()
    ]
    return {date(*map(int, r[1:4])): float(r[7]) * 1000 * KJ_TO_WH for r in rows}


def mars(name):
    with (folder("pcse") / f"tests/test_data/{name}.csv").open() as lines:
        rows = list(csv.DictReader(lines))
    return {datetime.strptime(r["DAY"], "%d-%b-%y").date(): float(r["RADIATION"] or -1) * KJ_TO_WH for r in rows}


def german(number):
    text = (folder("demandlib") / f"vdi/resources_weather/TRY2010_{number}_Jahr.dat").read_text(encoding="latin-1")
    hours = [line.split() for line in text.split("***")[1].splitlines() if line.strip()]
    return by_day([float(h[13]) + float(h[14]) for h in hours])


def american():
    from pvlib import iotools

    data = folder("pvlib") / "data"
    for name, file, column in [("Greensboro", "723170TYA.CSV", "ghi"), ("Sand Point", "703165TY.csv", "ghi")]:
        table, place = iotools.read_tmy3(data / file, map_variables=True)
        yield name, by_day(table[column].to_numpy()), place
    table, place = iotools.read_tmy2(data / "12839.tm2")
    yield "Miami", by_day(table["GHI"].to_numpy()), place


def by_day(hourly):
    sums = np.asarray(hourly, dtype=float).reshape(365, 24).sum(axis=1)
    return {TYPICAL + timedelta(d): float(value) for d, value in enumerate(sums)}


def pack(path):
    table, lines = {}, []
    for number, (name, (lat, lon, record, package, days)) in enumerate(SITES.items()):
        first, last = min(days), max(days)
        series = [days.get(first + timedelta(d), -1) for d in range((last - first).days + 1)]
        bad = [d for d, value in enumerate(series) if not 0 <= value < 12000]
        table[f"wh_m2_{number}"] = np.array(
            [MISSING if d in set(bad) else round(v) for d, v in enumerate(series)], "u2"
        )
        lines.append((name, str(lat), str(lon), record, package, first.isoformat()))
        print(f"{name:20} {lat:7.2f} {lon:8.2f} {first} {last} days {len(series)} missing {len(bad)}")
    np.savez_compressed(path, sites=np.array(lines), **table)
    print(path.name, path.stat().st_size)


if __name__ == "__main__":
    main(sys.argv[1])
