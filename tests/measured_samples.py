"""The invented measurements of ``routes/measured``: nobody took them, a fixed seed did.

``python -m tests.measured_samples`` writes them anew. The truth behind each stands in ``TRUTH``; heat, speed, towing
and rolling are drawn from formulas written out here, the panels' energy from the program's own sun and mounting.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from math import exp, log10, sqrt
from pathlib import Path
from random import Random

FOLDER = Path(__file__).parents[1] / "routes" / "measured"
SPRING = FOLDER.parent / "spring.toml"
TRUTH = {
    "heat": {"cabin.ua_w_per_k": 62.0, "cabin.thermal_capacity_wh_per_k": 15.0},
    "trial": {"hull.coefficient_w_per_mps3": 84.0},
    "panels": {"array.roof.loss_percent": 11.0},
    "model": {"form factor": 1.12},
    "roll": {"roll period": 2.9},
}
MORNING_SHADE = 0.2
MODEL = {"model_length_m": 1.425, "wetted_m2": 0.31, "scale": 8.0}
ROLL = {"beam_m": 2.05, "draught_m": 0.5, "waterline_m": 11.4}
SEED = 12
GUSTS = 0.05
"""By how much the cabin's loss changes with the wind, standard deviation."""


def spread(rng: Random) -> float:
    """A draw of mean 0 and variance 1, near enough to normal: the same on any machine."""
    return sum(rng.random() for _ in range(12)) - 6


def heat(rng: Random) -> Iterator[str]:
    """Five hours of an evening: 900 W on, off, half; a reading every two minutes, gusts that carry off more or less."""
    ua, capacity = TRUTH["heat"].values()
    step_h, inside, gust = 2 / 60, 7.6, 0.0
    yield "time,inside_c,outside_c,heater_w,people"
    for row in range(150):
        minute = 2 * row
        outside = 7.4 - 0.3 * minute / 60
        watts = 900 if minute < 100 else 0 if minute < 180 else 450
        clock = f"2026-11-14T{17 + minute // 60:02d}:{minute % 60:02d}Z"
        yield f"{clock},{inside + 0.08 * spread(rng):.1f},{outside + 0.1 * spread(rng):.1f},{watts},1"
        if row == 60:
            yield f"{clock},{inside:.1f},{outside:.1f},{watts},1"
        gust = 0.8 * gust + 0.6 * GUSTS * spread(rng)
        rest = outside + (watts + 80) / (ua * (1 + gust))
        inside = rest + (inside - rest) * exp(-ua * (1 + gust) / capacity * step_h)


def trial(rng: Random) -> Iterator[str]:
    """Eight runs both ways on a current of 0.5 km/h, no wind; a passing boat's wash spoilt the sixth."""
    yield "run,speed_kmh,motor_w,direction,depth_m"
    for run in range(8):
        kmh = 4.6 + 0.6 * run
        wash = 1.2 if run == 5 else 1.0
        watts = TRUTH["trial"]["hull.coefficient_w_per_mps3"] * (kmh / 3.6) ** 3 * wash
        for way, current in (("out", 0.5), ("back", -0.5)):
            motor = watts * (1 + 0.015 * spread(rng))
            yield f"{run + 1},{kmh + current + 0.04 * spread(rng):.2f},{motor:.0f},{way},6"


def model(rng: Random) -> Iterator[str]:
    """A model of 1:8 towed in fresh water of 15 °C: friction line of 1957, form factor, waves by Froude's number."""
    length, wetted = MODEL["model_length_m"], MODEL["wetted_m2"]
    form = TRUTH["model"]["form factor"]
    yield "speed_mps,force_n"
    for row in range(16):
        speed = 0.4 + 0.06 * row
        froude, reynolds = speed / sqrt(9.80665 * length), speed * length / 1.139e-6
        coefficient = form * 0.075 / (log10(reynolds) - 2) ** 2 + 0.12 * froude**4
        force = 0.5 * 999.1 * wetted * speed**2 * coefficient
        yield f"{speed:.2f},{force * (1 + 0.004 * spread(rng)):.3f}"


def roll(rng: Random) -> Iterator[str]:
    """Ten rolls there and back, timed six times."""
    yield "roll_s,rolls"
    for _ in range(6):
        yield f"{10 * TRUTH['roll']['roll period'] + 0.3 * spread(rng):.1f},10"


def panels(rng: Random) -> Iterator[str]:
    """Twelve days of April by the hour, the roof raised at Rickmansworth, mornings behind a tree, three hours full."""
    import numpy as np

    from tests.fits.panels_logs import hours
    from voyager.fits.panels_sun import Where, clear_sky, irradiation_kwh_m2, measured_sky, steps_of
    from voyager.session.fit_site import site

    place = site({"voyage": str(SPRING), "place": "Rickmansworth"})
    where = Where(place["lat"], place["lon"], place["height_m"])
    roof = next(array for array in place["arrays"] if array.name == "roof")
    spans = hours("2026-04-06", 12, where)
    heading = np.full(len(spans), 25.0)
    clear = irradiation_kwh_m2(clear_sky(spans, where), len(spans))
    by_day = [0.35 + 0.6 * rng.random() for _ in range(13)]
    share = [min(1.0, by_day[row // 24] * (1 + 0.1 * spread(rng))) for row in range(len(spans))]
    spans = replace(spans, heading_deg=heading, ghi_kwh_m2=np.array(share) * clear)
    steps = steps_of(measured_sky(spans, where), spans, (roof,), where)
    kwh = np.minimum(steps.energy_kwh[0], steps.most_kwh) * np.where(steps.part == 0, 1 - MORNING_SHADE, 1.0)
    energy = np.bincount(steps.row, kwh, len(spans)) * (1 - TRUTH["panels"]["array.roof.loss_percent"] / 100)
    yield "time,energy_kwh,ghi_kwh_m2,array,heading_deg,moored,battery_full"
    for row, start in enumerate(spans.start_s.astype("datetime64[s]")):
        full = 60 <= row < 63
        sun, got = spans.ghi_kwh_m2[row], energy[row] * (0.4 if full else 1 + 0.02 * spread(rng))
        if sun >= 0.02:
            yield f"{str(start)[:16]}Z,{got:.3f},{sun:.3f},roof,25,yes,{'yes' if full else 'no'}"


SAMPLES: dict[str, Callable[[Random], Iterator[str]]] = {
    "heat": heat,
    "trial": trial,
    "panels": panels,
    "model": model,
    "roll": roll,
}


def text(kind: str) -> str:
    """The file of one kind."""
    return "".join(line + "\n" for line in SAMPLES[kind](Random(f"{SEED} {kind}")))


if __name__ == "__main__":
    for name in SAMPLES:
        (FOLDER / f"{name}.csv").write_text(text(name), "utf-8")
