"""Fits as a user asks for them: the invented samples give back what is behind them, in plain values."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.measured_samples import FOLDER, MODEL, ROLL, SAMPLES, SPRING, TRUTH, text
from voyager.errors import InputError, Problems
from voyager.session.fit_cautions import ALWAYS, TEXTS, codes, texts
from voyager.session.fits import KINDS, fit, save_picture

BOAT = SPRING.with_name("quillet.toml")
OPTIONS: dict[str, dict[str, Any]] = {
    "heat": {"boat": str(BOAT)},
    "trial": {"waterline_m": 11.4},
    "panels": {"voyage": str(SPRING), "place": "Rickmansworth"},
    "model": {**MODEL, "cruise_to_kmh": 9.0},
    "roll": {**ROLL},
}


@pytest.fixture(scope="module")
def results() -> dict[str, dict[str, Any]]:
    return {kind: fit(kind, str(FOLDER / f"{kind}.csv"), OPTIONS[kind]) for kind in KINDS}


@pytest.mark.parametrize("kind", KINDS)
def test_the_truth_behind_a_sample_lies_in_the_interval(results: dict[str, dict[str, Any]], kind: str) -> None:
    found = {one["key"] or one["name"]: one for one in results[kind]["parameters"]}
    for name, truth in TRUTH[kind].items():
        value = truth - 1 if name == "form factor" else truth
        assert found[name]["low"] <= value <= found[name]["high"]
        assert found[name]["se"] > 0


@pytest.mark.parametrize("kind", KINDS)
def test_plain_values_with_the_cautions_of_the_kind(results: dict[str, dict[str, Any]], kind: str) -> None:
    result = results[kind]
    assert json.loads(json.dumps(result, allow_nan=False)) == result
    assert list(result)[:5] == ["format", "kind", "file", "rows", "used"]
    assert set(ALWAYS[kind]) <= set(result["cautions"])
    assert result["caution_texts"][0] == TEXTS[ALWAYS[kind][0]]
    assert result["rows"] >= result["used"] > 0
    assert len(result["left_out"]) <= result["rows"] - result["used"]
    for series in result["plot"]["series"]:
        assert len(series["x"]) == len(series["y"]) == len(series["y2"] or series["y"])


@pytest.mark.parametrize("kind", KINDS)
def test_the_samples_are_what_their_script_writes(kind: str) -> None:
    """Panels to a hundredth: their energy comes from the sky's own sums."""
    written, made = (FOLDER / f"{kind}.csv").read_text("utf-8"), text(kind)
    if kind != "panels":
        assert made == written
        return
    number = re.compile(r"(?<=,)\d+\.\d+")
    assert number.sub("", made) == number.sub("", written)
    pairs = zip(number.findall(made), number.findall(written), strict=True)
    assert all(float(a) == pytest.approx(float(b), rel=0.01, abs=0.0011) for a, b in pairs)


def test_all_kinds_have_a_sample() -> None:
    assert set(KINDS) == set(SAMPLES) == set(TRUTH)


def test_rows_left_out_are_told_once_by_line(results: dict[str, dict[str, Any]]) -> None:
    assert results["heat"]["left_out"] == [{"row": 63, "why": "duplicate time, as in row 62"}]
    assert [one["row"] for one in results["panels"]["left_out"]] == [32, 33, 34]


def test_steady_watts_for_each_step_of_the_boat(results: dict[str, dict[str, Any]]) -> None:
    """All heat, a person's too: UA times the difference; Quillet's steps ask for 18, 16 and 13 °C."""
    found = [one["value"] for one in results["heat"]["derived"] if one["name"].startswith("steady heating")]
    outside = 7.4 - 0.3 * 2.5
    assert found == pytest.approx([62 * (c - outside) for c in (18, 16, 13)], rel=0.03)


def test_what_is_typed_goes_before_the_boat_file(results: dict[str, dict[str, Any]]) -> None:
    options = {**OPTIONS["roll"], "boat": str(BOAT), "beam_m": 2.5}
    wider = fit("roll", str(FOLDER / "roll.csv"), options)
    assert wider["parameters"][1]["value"] > results["roll"]["parameters"][1]["value"]
    same = fit("roll", str(FOLDER / "roll.csv"), {"boat": str(BOAT)})
    assert same["parameters"] == results["roll"]["parameters"]


@pytest.mark.parametrize(
    ("options", "told"),
    [
        ({}, "the panels' mounting is missing: name the boat with --boat, or the voyage with --voyage"),
        ({"boat": str(BOAT)}, "the place is missing: --voyage VOYAGE --place NAME, or --at LAT,LON"),
        ({"boat": str(BOAT), "place": "Apsley"}, "--place is a place of a voyage: name the voyage too, with --voyage"),
        ({"voyage": str(SPRING), "place": "Apsly"}, 'the voyage has no place "Apsly"; did you mean Apsley?'),
        ({"boat": str(BOAT), "at": "north"}, '--at "north" is no position; write it like 53.42,-7.94'),
        ({"boat": str(BOAT), "at": "91,0"}, "--at 91,0: latitude lies between -90 and 90, longitude between"),
        ({"boat": str(BOAT), "at": "51,0", "time_zone": "Europe/Lodon"}, "did you mean Europe/London?"),
    ],
)
def test_where_panels_were_measured_must_be_said(options: dict[str, str], told: str) -> None:
    with pytest.raises(InputError) as caught:
        fit("panels", str(FOLDER / "panels.csv"), options)
    assert told in str(caught.value)


def test_a_typed_position_does_as_well_as_a_place(results: dict[str, dict[str, Any]]) -> None:
    typed = fit("panels", str(FOLDER / "panels.csv"), {"boat": str(BOAT), "at": "51.64,-0.47", "height_m": 45})
    assert typed["parameters"] == results["panels"]["parameters"]


def test_a_model_is_as_long_as_its_boat_over_the_scale() -> None:
    """Quillet's waterline is 11.4 m, and the model's 1.425 m at 1:8."""
    options = {"wetted_m2": MODEL["wetted_m2"], "scale": 8.0}
    found = fit("model", str(FOLDER / "model.csv"), {**options, "boat": str(BOAT)})
    given = fit("model", str(FOLDER / "model.csv"), {**options, "boat": str(BOAT), "model_length_m": 11.4 / 8})
    assert found["parameters"] == given["parameters"]
    other = fit("model", str(FOLDER / "model.csv"), {**options, "boat": str(BOAT), "model_length_m": 1.5})
    assert other["parameters"] != given["parameters"]


@pytest.mark.parametrize(("turn", "said"), [(0.0, 0), (0.25, 1)])
def test_a_tide_that_turns_during_the_trial_is_told_of(tmp_path: Path, turn: float, said: int) -> None:
    """80 W/(m/s)³ on a stream of 2 km/h that loses ``turn`` km/h from run to run."""
    lines = ["speed_kmh,motor_w,direction,run"]
    for n, kmh in enumerate((4.5, 5.5, 6.5, 7.5, 8.5)):
        watts, stream = 80 * (kmh / 3.6) ** 3, 2 - turn * n
        lines += [f"{kmh + stream},{watts:.1f},out,{n}", f"{kmh - stream},{watts:.1f},back,{n}"]
    file = tmp_path / "tide.csv"
    file.write_text("\n".join(lines), "utf-8")
    notes = fit("trial", str(file), {"waterline_m": 11.4})["notes"]
    assert sum("slack water" in note and "between 1.0 and 2.0 km/h" in note for note in notes) == said


def test_a_refusal_names_the_file_but_not_before_an_option(tmp_path: Path) -> None:
    file = tmp_path / "m.csv"
    file.write_text("speed_mps,force_n\n0.5,1\n0.6,-1\n", "utf-8")
    with pytest.raises(InputError) as caught:
        fit("model", str(file), {**MODEL})
    assert str(caught.value).startswith(f"{file}:3: force_n is not above 0")
    file.write_text("speed_kmh,motor_w,direction\n6,300,out\n5,-300,back\n", "utf-8")
    with pytest.raises(InputError) as caught:
        fit("trial", str(file))
    assert str(caught.value).startswith(f"{file}:3: the motor's power is -300 W")
    with pytest.raises(InputError) as caught:
        fit("model", str(FOLDER / "model.csv"), {})
    assert str(caught.value).startswith(f"{FOLDER / 'model.csv'}: the model's waterline length and ")
    with pytest.raises(InputError) as caught:
        fit("model", str(FOLDER / "model.csv"), {**MODEL, "scale": 8, "water_c": 90})
    assert str(caught.value).startswith("--water-c 90")
    with pytest.raises(Problems):
        fit("model", str(FOLDER / "heat.csv"), {**MODEL})


def test_every_code_of_a_kind_has_its_sentence() -> None:
    assert ALWAYS.keys() == set(KINDS)
    for kind in KINDS:
        assert len(texts(codes(kind, ()))) == len(ALWAYS[kind])
    assert codes("heat", ("fresh_air", "shallow")) == ["heater", "fresh_air", "shallow"]


def test_a_picture_is_written_over_the_one_before(tmp_path: Path) -> None:
    for content in (b"one", b"two"):
        save_picture(str(tmp_path / "p.png"), content)
    assert (tmp_path / "p.png").read_bytes() == b"two"
