"""The measurement worth making next: effects against plans made by hand, order, what is read of the boat file."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli

from tests.session.voyages import write
from voyager.errors import Cancelled, InputError
from voyager.files.change import parse_change
from voyager.files.voyage_file import load_voyage
from voyager.planner.outlook import look_many
from voyager.session.odds import followed
from voyager.session.worth import _held as held
from voyager.session.worth import _trial as trial_of
from voyager.session.worth import worth
from voyager.session.worth_table import TESTS, UNCERTAIN
from voyager.session.worth_told import told
from voyager.session.worth_values import Value, cube_coefficient, values
from voyager.whatif.effects import MEASURES, Effect, Shift

MEMBERS, SEED, SE = 30, 3, 12.0
KEYS = {"capacity_kwh": 9, "charge": 30, "panels": 2}
SURE = """[standard_error]
"hull.coefficient_w_per_mps3" = {se}
"cabin.ua_w_per_k" = 0
"cabin.thermal_capacity_wh_per_k" = 0
"array.roof.loss_percent" = 0
"battery.health_percent" = 0
"hotel.direct_w" = 0
"hull.underway_extra_w" = 0
"""
Json = dict[str, Any]


def file_with(directory: Path, coefficient: float, se: float) -> str:
    """Two days of canal on a small battery that is low; all but the hull is known."""
    path = write(directory, **KEYS)
    boat = directory / "boat.toml"
    text = boat.read_text("utf-8").replace("coefficient_w_per_mps3 = 95", f"coefficient_w_per_mps3 = {coefficient}")
    boat.write_text(text + SURE.format(se=se), "utf-8")
    return path


def arrivals(path: str) -> Any:
    """Days to arrival by member, as any plan has them."""
    loaded = load_voyage(path)
    return followed(look_many(loaded.vessel, loaded.voyage).many, MEMBERS, SEED).voyages.arrive_days


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    return file_with(tmp_path_factory.mktemp("worth"), 95, SE)


@pytest.fixture(scope="module")
def found(path: str) -> Json:
    return worth(path, members=MEMBERS, seed=SEED)


@pytest.fixture(scope="module")
def base(path: str) -> Any:
    return arrivals(path)


def test_the_effect_is_that_of_two_plans_made_by_hand(
    found: Json, base: Any, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Boats whose files say 107 and 83: half the mean difference, member by member, and what it adds to the spread."""
    heavy, light = (arrivals(file_with(tmp_path_factory.mktemp("side"), 95 + step, SE)) for step in (SE, -SE))
    moved = (heavy - light) / 2
    hull = found["values"][0]
    assert (hull["key"], hull["sides"], hull["se_from"]) == ("hull.coefficient_w_per_mps3", 2, "boat file")
    se = moved.std(ddof=1) / np.sqrt(MEMBERS)
    assert moved.mean() > 2 * se, "else the voyage tells nothing"
    assert hull["effect_days"] == pytest.approx(moved.mean(), abs=se / 5)
    assert hull["effect_se"] == pytest.approx(se, rel=0.05)
    sd = base.std(ddof=1)
    assert found["arrival"]["sd_days"] == pytest.approx(sd, abs=1e-3)
    assert hull["widens_days"] == pytest.approx(np.hypot(sd, moved.mean()) - sd, abs=1e-3)
    left = np.hypot(sd, moved.mean() * 0.03 * 95 / SE) - sd
    assert hull["after_widens_days"] == pytest.approx(left, abs=1e-3)


def test_what_is_known_widens_nothing(found: Json) -> None:
    known = found["values"][1:]
    assert len(known) == 6
    for row in known:
        assert (row["se"], row["sides"], row["widens_days"], row["effect_days"]) == (0, 0, 0, 0)


def test_the_next_is_the_test_of_the_value_in_doubt(found: Json) -> None:
    assert (found["ranked_by"], found["next"]["key"]) == ("arrival", "hull.coefficient_w_per_mps3")
    assert found["next"]["command"] == "voyager fit trial RUNS.csv --into boat.toml"
    assert found["next"]["caution"].startswith("Keep clear of other traffic")
    assert found["next"]["text"] == "hull coefficient: from ± 12 to about ± 2.9 W/(m/s)³"
    assert list(found)[:6] == ["format", "boat", "voyage", "members", "seed", "arrival"]


def test_the_same_boat_meets_the_same_days(path: str, base: Any) -> None:
    """Common random numbers: not a digit between two runs of one boat."""
    assert np.array_equal(arrivals(path), base)


def test_cancelled_and_refused(path: str) -> None:
    with pytest.raises(InputError, match="ask for 2 members at least"):
        worth(path, members=1)
    with pytest.raises(Cancelled):
        worth(path, members=5, cancelled=lambda: True)


def row(name: str, days: float, se: float = 0.001, error: float = 10.0, stops: float = 0.0) -> tuple[Value, Effect]:
    """A value that moves the arrival by so many days."""
    kind = next(one for one in UNCERTAIN if one.path[-1] == name)
    shifts = {one: Shift(0.0, 0.0, 9) for one in MEASURES}
    shifts |= {"arrive_days": Shift(days, se, 9), "stops": Shift(stops, 0.0, 9)}
    return Value(kind, kind.path, 100.0, error, min(error, 2.0), "usual", False), Effect(shifts, 2)


def ranked(path: str, *rows: tuple[Value, Effect]) -> Any:
    from tests.planner.test_tally import voyages

    arrive = np.array([1, 2, 3, 4])
    return told(load_voyage(path), 1, voyages(arrive_day=arrive, arrive_days=arrive + 0.5), list(rows))


def test_the_order_is_by_widening(path: str) -> None:
    """Sooner or later alike; what does not stand out of its own error comes last, what a test tells no better is not
    tested again."""
    got = ranked(path, row("direct_w", 0.2), row("health_percent", -0.9), row("ua_w_per_k", 2.0, se=1.5),
                 row("coefficient_w_per_mps3", 1.0, error=2.0))  # fmt: skip
    order = [one["key"].rpartition(".")[2] for one in got["values"]]
    assert order == ["coefficient_w_per_mps3", "health_percent", "direct_w", "ua_w_per_k"]
    assert got["next"]["key"] == "battery.health_percent"
    said = "health of the battery 100 ± 10 % (not measured); one standard error more: 0.9 days sooner"
    assert got["values"][1]["text"] == said


def test_where_no_arrival_moves_the_stays_with_a_plug_rank(path: str) -> None:
    got = ranked(path, row("direct_w", 0.0), row("ua_w_per_k", 0.0, stops=0.4))
    assert (got["ranked_by"], got["next"]["key"]) == ("shore_stops", "cabin.ua_w_per_k")
    still = ranked(path, row("direct_w", 0.0))
    assert (still["ranked_by"], still["next"]) == ("margin", None)


def documents(text: str, water: str = "canal") -> Json:
    boat = """name = "B"
[battery]
capacity_kwh = 9
[[array]]
name = "bow, port"
panel_wp = 100
""" + text
    return {"voyage": {"leg": [{"water": water}]}, "boat": tomli.loads(boat)}


def of(found: list[Value]) -> dict[str, Value]:
    return {".".join(one.path): one for one in found}


def test_usual_errors_where_none_is_written() -> None:
    """Shares of the value or of its default; no cabin without a heater, no margin at sea on a canal."""
    found = of(values(documents("[hull]\ncoefficient_w_per_mps3 = 80")))
    assert list(found) == ["hull.coefficient_w_per_mps3", "array.bow, port.loss_percent", "battery.health_percent",
                           "hotel.direct_w"]  # fmt: skip
    assert found["hull.coefficient_w_per_mps3"].se == pytest.approx(12)
    assert found["hotel.direct_w"].se == pytest.approx(10)
    assert {one.se_from for one in found.values()} == {"usual"}
    assert "hull.sea_margin_percent" in of(values(documents("[hull]\ncoefficient_w_per_mps3 = 80", "open")))
    heated_text = '[hull]\ncoefficient_w_per_mps3 = 80\n[[heater]]\nname = "h"\nmax_w = 500'
    heated = documents(heated_text)
    assert of(values(heated))["cabin.ua_w_per_k"].se == pytest.approx(17.5)
    assert "cabin.structure_w_per_k" not in of(values(heated))
    solid = of(values(documents(f"{heated_text}\n[cabin]\nstructure_capacity_wh_per_k = 90\nstructure_w_per_k = 40")))
    assert solid["cabin.structure_w_per_k"].kind.name == "heat from air to structure"
    assert solid["cabin.structure_capacity_wh_per_k"].se == pytest.approx(36)


def test_a_trial_moves_as_a_whole() -> None:
    """Points of P = 90 v³ come back as 90, measured as well as trials are; the change scales all of them."""
    points = [[speed, 90 * (speed / 3.6) ** 3] for speed in (4.0, 6.0, 8.0)]
    assert cube_coefficient([(speed, power) for speed, power in points]) == pytest.approx(90)
    hull = of(values(documents(f"[hull]\ntrial = {points}")))["hull.trial"]
    assert hull.scaled
    assert (hull.value, hull.se) == pytest.approx((90, 7.2))
    assert parse_change(hull.change(9.0)).sets[0].value == pytest.approx(1.1)


def test_errors_of_the_boat_file_come_first() -> None:
    """An array by its name, plain or in quotes; a value that only they name; what names nothing is passed over."""
    text = """[hull]
coefficient_w_per_mps3 = 80
[standard_error]
"hull.coefficient_w_per_mps3" = 2
"array.bow, port.loss_percent" = 1.5
"inverter.standby_w" = 3
"battery.colour" = 1
"a..b" = 1
"""
    found = of(values(documents(text)))
    assert found["hull.coefficient_w_per_mps3"].se == 2.0
    assert found["hull.coefficient_w_per_mps3"].after_se == 2.0, "no test tells worse than what is known"
    loss = found["array.bow, port.loss_percent"]
    assert (loss.se, loss.se_from, loss.change(1.5)) == (1.5, "boat file", 'array."bow, port".loss_percent=9.5')
    assert (found["inverter.standby_w"].value, found["inverter.standby_w"].kind.unit) == (20.0, "W")
    assert "battery.colour" not in found
    quoted = text.replace('"array.bow, port.loss_percent"', "'array.\"bow, port\".loss_percent'")
    assert of(values(documents(quoted)))["array.bow, port.loss_percent"].se == 1.5


def test_nothing_is_in_doubt_twice() -> None:
    """A measured capacity leaves no doubt of the health; the error of a coefficient serves the trial that stands."""
    points = [[speed, 90 * (speed / 3.6) ** 3] for speed in (4.0, 6.0, 8.0)]
    told = '\n[standard_error]\n"hull.coefficient_w_per_mps3" = 2\n"battery.capacity_kwh" = 0.5'
    found = values(documents(f"[hull]\ntrial = {points}{told}"))
    assert sorted(".".join(one.path) for one in found) == [
        "array.bow, port.loss_percent", "battery.capacity_kwh", "hotel.direct_w", "hull.trial"
    ]  # fmt: skip
    assert of(found)["hull.trial"].se == 2.0
    assert of(found)["battery.capacity_kwh"].steps() == [-0.5, 0.5]


def test_documents_stand_for_the_files(path: str) -> None:
    """What is edited is asked about, with its own boat or the file's; a side that no boat may have is left out."""
    voyage, boat = (tomli.loads((Path(path).parent / name).read_text("utf-8")) for name in ("voyage.toml", "boat.toml"))
    known = dict.fromkeys(boat["standard_error"], 0.0)
    edited = boat | {"standard_error": known | {"battery.charge_efficiency": 0.0}, "name": "Other"}
    got = worth(path, {"voyage": voyage, "boat": edited}, members=4)
    assert [one["key"] for one in got["values"]][-1] == "battery.charge_efficiency"
    value = values({"voyage": voyage, "boat": edited | {"standard_error": {"battery.charge_efficiency": 0.05}}})[-1]
    assert [side.step for side in trial_of(path, {"voyage": voyage, "boat": edited}, value).sides] == [-0.05]
    assert len(held(path, {"voyage": voyage, "boat": {}}, load_voyage(path))["boat"]["array"]) == 1


def test_steps_stop_at_limits() -> None:
    """Losses of 2 ± 6 %: up whole, down not to 0; health of 108 ± 8 %: up to 110 only, the worse side first."""
    kinds = {one.path[-1]: one for one in UNCERTAIN}
    loss = Value(kinds["loss_percent"], ("array", "a", "loss_percent"), 2.0, 6.0, 2.0, "usual", False)
    assert loss.steps() == pytest.approx([6.0, -1.8])
    health = Value(kinds["health_percent"], ("battery", "health_percent"), 108.0, 8.0, 2.0, "usual", False)
    assert health.steps() == pytest.approx([-8.0, 2.0])


def test_every_value_has_its_test() -> None:
    assert {one.test for one in UNCERTAIN} <= set(TESTS)
    assert all(TESTS[one.test].caution for one in UNCERTAIN)
    assert all(one.after < one.usual for one in UNCERTAIN)
