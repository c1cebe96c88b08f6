"""Changes as they are typed: what they set, what they add to, what is refused and what is proposed instead."""

from copy import deepcopy
from datetime import date
from pathlib import Path
from typing import Any

import pytest
import tomli
from hypothesis import given
from hypothesis import strategies as st

from tests.files.support import PAIR
from voyager.errors import InputError
from voyager.files.change import Change, Setting, apply, key_text, load_changed, pair_of, parse_change, parse_key

PATH = PAIR / "shannon.toml"
EXTRA = """
[[array]]
name = "aft, no. 2"
panel_wp = 100
panels = 4
[[heater]]
name = "pump"
max_w = 500
cop_by_c = [[-5, 2.0], [7, 3.0]]
"""


@pytest.fixture(scope="module")
def documents() -> dict[str, Any]:
    """The pair of FILES section 4 with one more array and heater, and the beam in feet."""
    voyage = tomli.loads(PATH.read_text("utf-8"))
    text = (PAIR / voyage["boat"]).read_text("utf-8").replace("beam_m = 2.3", "beam_ft = 7.5")
    return {"voyage": voyage, "boat": tomli.loads(text + EXTRA)}


def changed(documents: dict[str, Any], text: str) -> Any:
    """Both documents after a change; those passed in must stay as they are."""
    before = deepcopy(documents)
    made = apply(parse_change(text), documents)
    assert documents == before
    return made


def test_a_change_is_read_whole() -> None:
    got = parse_change("battery.capacity_kwh=40, mass_kg=90,price=3000")
    sets = (Setting(("battery", "capacity_kwh"), "=", 40),)
    assert got == Change("battery.capacity_kwh=40, mass_kg=90,price=3000", sets, 90.0, 3000.0)


@pytest.mark.parametrize(
    ("text", "where", "value"),
    [
        ("battery.capacity_kwh=40", ("battery", "capacity_kwh"), 40),
        ("battery.capacity_kwh+=7.5", ("battery", "capacity_kwh"), 35.5),
        ("hull.coefficient_w_per_mps3*=1.1", ("hull", "coefficient_w_per_mps3"), 104.5),
        ("hull.motor_max_w=.5", ("hull", "motor_max_w"), 0.5),
        ("array.roof.panels+=1", ("array", 0, "panels"), 10),
        ("array.roof.panels*=2", ("array", 0, "panels"), 18),
        ("array.roof.loss_percent+=2", ("array", 0, "loss_percent"), 10.0),
        ('array."aft, no. 2".panel_wp=150', ("array", 2, "panel_wp"), 150),
        ("array.'aft, no. 2'.panel_wp=150", ("array", 2, "panel_wp"), 150),
        ("heater.panel over the table.max_w=900", ("heater", 0, "max_w"), 900),
        ("heater.pump.cop_by_c*=1.1", ("heater", 1, "cop_by_c"), [[-5, 2.2], [7, 3.3]]),
        ("comfort.frugal.hours_c+=1", ("comfort", "frugal", "hours_c"), {"06:30-08:00": 15, "18:00-22:00": 16}),
        ("hotel.direct_w*=2", ("hotel", "direct_w"), 90),
        ("cabin.person_w*=1.5", ("cabin", "person_w"), 120.0),
    ],
)
def test_what_a_boat_becomes(documents: dict[str, Any], text: str, where: tuple[Any, ...], value: object) -> None:
    """Written values, defaults (a loss of 8 %, a person of 80 W), hours, pairs: reckoned by hand."""
    found = changed(documents, text)["boat"]
    for part in where:
        found = found[part]
    assert found == value


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ("voyage.comfort=ample", "comfort", "ample"),
        ('voyage.sky="good"', "sky", "good"),
        ("voyage.departs=2027-04-01", "departs", date(2027, 4, 1)),
        ("voyage.departs+=31", "departs", date(2027, 4, 1)),
        ("voyage.charge_at_start_percent+=-20", "charge_at_start_percent", 70),
        ("voyage.mooring_every_km*=2", "mooring_every_km", 10.0),
        ('voyage.travel=["09:00", "15:00"]', "travel", ["09:00", "15:00"]),
    ],
)
def test_what_a_voyage_becomes(documents: dict[str, Any], text: str, key: str, value: object) -> None:
    assert changed(documents, text)["voyage"][key] == value


def test_of_two_units_one_is_kept(documents: dict[str, Any]) -> None:
    """7.5 ft are 2.286 m (a foot is 0.3048 m by definition); the key that was written goes."""
    hull = changed(documents, "hull.beam_m+=0.1,hull.draught_ft=2")["boat"]["hull"]
    assert hull["beam_m"] == pytest.approx(2.386)
    assert "beam_ft" not in hull
    assert (hull["draught_ft"], "draught_m" in hull) == (2, False)
    assert changed(documents, "hull.draught_ft+=1")["boat"]["hull"]["draught_ft"] == pytest.approx(0.45 / 0.3048 + 1)


def test_a_value_takes_the_place_of_what_would_contradict_it(documents: dict[str, Any]) -> None:
    hull = changed(documents, "hull.trial=[[4,200],[6,500],[8,1200]]")["boat"]["hull"]
    assert "coefficient_w_per_mps3" not in hull
    pump = changed(documents, "heater.pump.cop=2")["boat"]["heater"][1]
    assert (pump["cop"], "cop_by_c" in pump) == (2, False)


def test_changes_are_made_one_after_another(documents: dict[str, Any]) -> None:
    assert changed(documents, "battery.capacity_kwh=40,battery.capacity_kwh*=0.5")["boat"]["battery"][
        "capacity_kwh"
    ] == 20  # fmt: skip


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("batery.capacity_kwh=40", 'unknown key batery.capacity_kwh; did you mean "battery"?'),
        ("battery.capacity_wh=40", "unit must be kwh (capacity_kwh)"),
        ("battery.capasity_kwh=40", 'did you mean "capacity_kwh"?'),
        ("capacity_kwh=40", "needs its table before it; write battery.capacity_kwh"),
        ("tilt_deg=40", "needs its table before it; write array.NAME.tilt_deg"),
        ("departs=2027-04-01", "is a key of the voyage; write voyage.departs"),
        ("voyage.depart=2027-04-01", 'did you mean "departs"?'),
        ("voyage.leg.1.nights=2", "only those can be changed here"),
        ("voyage.boat=other.toml", "voyage.boat cannot be changed here"),
        ("array.roff.tilt_deg=3", 'there is no array "roff"; did you mean "roof"?'),
        ("array.tilt_deg=3", "write it as array.NAME.KEY"),
        ("array.aft, no. 2.tilt_deg=3", '"array.aft" has no equals sign'),
        ("heater.pump.cop*=2", "cop_by_c stands in the file in place of cop"),
        ("voyage.comfort+=1", 'voyage.comfort is "frugal", no number that += could change'),
        ("voyage.departs*=2", "voyage.departs is a date"),
        ("hull.waterline_m+=high", 'needs a number behind it, not "high"'),
        ("array.roof.controller_max_w+=1,battery.heater_w=", "a value is missing"),
        ("array.foredeck.moored_tilt_deg+=1", "has no value that += could change"),
        ("mass_kg=heavy", 'mass_kg must be a number, is "heavy"'),
        ("mass_kg+=3", "write mass_kg=NUMBER"),
        ("price=1,price=2", "price stands twice"),
        ("battery.capacity_kwh=[1", "is not written as in a file"),
        ("battery.capacity_kwh='1", "a quote is not closed"),
        ("battery.capacity_kwh=1\nname=2", "a value must stand on one line"),
        ("..=3", "is no key; write it like battery.capacity_kwh=40"),
        ("", "has no equals sign"),
    ],
)
def test_refused_in_one_sentence(documents: dict[str, Any], text: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        changed(documents, text)
    assert said in str(refused.value)
    assert str(refused.value).startswith("in the change ")
    assert "\n" not in str(refused.value)


def test_the_result_must_be_sound(documents: dict[str, Any], tmp_path: Path) -> None:
    path = tmp_path / "shannon.toml"
    loaded = load_changed(path, parse_change("battery.capacity_kwh=40"), documents)
    assert loaded.vessel.battery.capacity_kwh == 40
    for text, said in (
        ("battery.reserve_percent=99", "reserve (99 %) must lie below the ceiling"),
        ("array.roof.panels+=0.5", "array 1 (roof): panels: must be a whole number, is 9.5"),
        ("voyage.comfort=frugl", 'did you mean "frugal"?'),
        ("hotel.direct_w=nan", "not infinite or NaN"),
    ):
        with pytest.raises(InputError, match="cannot be: ") as refused:
            load_changed(path, parse_change(text), documents)
        assert said in str(refused.value)


def test_the_files_own_documents_are_read() -> None:
    found = load_changed(PATH, parse_change("hull.coefficient_w_per_mps3=120"))
    assert found.vessel.hull.coefficient_w_per_mps3 == 120
    assert pair_of(PATH)["boat"]["name"] == "Sedge"


letters = st.characters(codec="utf-8", exclude_characters="\"'")
names = st.text(letters, min_size=1).filter(lambda name: name.strip() == name)


@given(names, st.sampled_from(["panel_wp", "tilt_deg"]))
def test_a_name_in_quotes_comes_back(name: str, key: str) -> None:
    path = ("array", name, key)
    assert parse_key(key_text(path)) == path
    assert parse_change(f"{key_text(path)}+=1").sets == (Setting(path, "+=", 1),)


@given(st.text(max_size=40) | st.text("ab.=+*,\"'[]{}1", max_size=20))
def test_any_text_is_a_change_or_one_sentence(text: str) -> None:
    try:
        found = parse_change(text).text
    except InputError as error:
        found = str(error) if "\n" in str(error) else text
    assert found == text
