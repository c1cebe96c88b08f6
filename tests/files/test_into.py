"""Fitted values into a boat file: what stays, what is written beside them, and what is refused."""

import os
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from voyager.errors import InputError, NotSaved, Problems
from voyager.files.into import Proposed, propose, write
from voyager.files.shipped import demo_file

BOAT = """# mine, all of it
name = "Tern"

[hull]
coefficient_w_per_mps3 = 80   # from the August trial

[[array]]
name = "aft deck 1.5"         # a name with a point in it
panel_wp = 400
loss_percent = 8

[battery]
capacity_kwh = 20

[cabin]
# lined with cork
ua_w_per_k = 56               # guessed
structure_capacity_wh_per_k = 300
structure_w_per_k = 40
"""
SAID = "2026-11-28, voyager fit heat heater-test.csv, ± 1.8"
Write = Callable[..., Path]


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    file = tmp_path / "tern.toml"
    file.write_text(BOAT, "utf-8")
    return file


def put(file: Path, value: float = 62.4, remark: str = SAID, key: str = "cabin.ua_w_per_k") -> Proposed:
    return propose(str(file), {key: value}, {key: 1.8}, {key: remark, f"standard_error.{key}": remark})


def test_value_error_and_remark_are_written_and_the_rest_stays(boat: Path) -> None:
    proposed = put(boat)
    assert boat.read_text("utf-8") == BOAT
    write(proposed)
    expected = BOAT.replace(
        "ua_w_per_k = 56               # guessed", f"# before, 56: guessed\nua_w_per_k = 62.4               # {SAID}"
    )
    assert boat.read_text("utf-8") == f'{expected}\n[standard_error]\n"cabin.ua_w_per_k" = 1.8 # {SAID}\n'


def test_the_difference_shows_both_lines(boat: Path) -> None:
    difference = put(boat).difference
    assert difference[:2] == ("--- tern.toml", "+++ tern.toml with the fit")
    assert "-ua_w_per_k = 56               # guessed" in difference
    assert f"+ua_w_per_k = 62.4               # {SAID}" in difference
    assert not any(line.startswith("-") and "structure" in line for line in difference)


def test_a_later_fit_takes_the_place_of_an_earlier_remark(boat: Path) -> None:
    write(put(boat))
    later = SAID.replace("2026-11-28", "2027-02-03")
    write(put(boat, 60.0, later))
    text = boat.read_text("utf-8")
    assert (text.count("voyager fit"), text.count(later), text.count("# before, 56: guessed")) == (2, 2, 1)
    assert tomllib.loads(text)["standard_error"] == {"cabin.ua_w_per_k": 1.8}


def test_an_array_is_found_by_its_name(boat: Path) -> None:
    write(put(boat, 9.5, SAID, "array.aft deck 1.5.loss_percent"))
    text = boat.read_text("utf-8")
    assert f"loss_percent = 9.5 # {SAID}" in text
    assert '"array.aft deck 1.5.loss_percent" = 1.8' in text
    with pytest.raises(InputError, match=r'no array "aft deck"; did you mean "aft deck 1\.5"'):
        put(boat, 9.5, SAID, "array.aft deck.loss_percent")


def test_a_key_that_would_contradict_goes_and_its_comment_is_told(boat: Path) -> None:
    rows = [[5.0, 210.0], [6.0, 365.0], [7.0, 580.0]]
    values = {"hull.trial": rows, "hull.coefficient_w_per_mps3": None}
    proposed = propose(str(boat), values, {"hull.coefficient_w_per_mps3": None}, {"hull.trial": SAID})
    assert any("# from the August trial" in note for note in proposed.notes)
    write(proposed)
    hull = tomllib.loads(boat.read_text("utf-8"))["hull"]
    assert hull == {"trial": rows}
    assert SAID in boat.read_text("utf-8")


def test_a_pair_of_keys_is_taken_away(boat: Path) -> None:
    keys = ("structure_capacity_wh_per_k", "structure_w_per_k")
    write(propose(str(boat), {f"cabin.{key}": None for key in keys}, {}, {}))
    assert tomllib.loads(boat.read_text("utf-8"))["cabin"] == {"ua_w_per_k": 56}


@pytest.mark.parametrize(
    "text",
    [
        'name = "T"\nhull = { coefficient_w_per_mps3 = 80 }\nbattery.capacity_kwh = 20\narray = [\n'
        '  { name = "a", panel_wp = 400 }, # left\n  { name = "b", panel_wp = 300, loss_percent = 8 }, # right\n]\n',
        'name = "T"\r\n[hull]\r\ncoefficient_w_per_mps3 = 80\r\n[battery]\r\ncapacity_kwh = 20\r\n[[array]]\r\n'
        'name = "b"\r\npanel_wp = 3\r\n',
        '\ufeffname = "T"\nhull.coefficient_w_per_mps3 = 80\nbattery.capacity_kwh = 20\n'
        '[[array]]\nname = "b"\npanel_wp = 3',
    ],
)
def test_whatever_way_the_boat_is_written(tmp_path: Path, text: str) -> None:
    file = tmp_path / "t.toml"
    file.write_bytes(text.encode("utf-8"))
    before = tomllib.loads(text.removeprefix("\ufeff"))
    values = {"array.b.loss_percent": 11.5, "hull.coefficient_w_per_mps3": 91.0}
    write(propose(str(file), values, {"array.b.loss_percent": 0.5}, dict.fromkeys(values, SAID)))
    content = file.read_bytes().decode("utf-8")
    assert content.startswith("\ufeff") == text.startswith("\ufeff")
    assert ("\r\n" in content) == ("\r\n" in text)
    before["hull"]["coefficient_w_per_mps3"] = 91.0
    before["array"][-1]["loss_percent"] = 11.5
    assert tomllib.loads(content.removeprefix("\ufeff")) == {**before, "standard_error": {"array.b.loss_percent": 0.5}}
    assert content.count(SAID) == 2
    assert all(part in content for part in ("# left", "# right") if part in text)


def test_a_remark_above_a_row_is_replaced_too(tmp_path: Path) -> None:
    file = tmp_path / "t.toml"
    file.write_text(
        'name = "T"\nhull = { coefficient_w_per_mps3 = 80 }\nbattery.capacity_kwh = 20\n'
        'array = [\n  # of 2019\n  { name = "b", panel_wp = 300, loss_percent = 8 },\n]\n', "utf-8"
    )  # fmt: skip
    for date, loss in (("2026-11-28", 9.0), ("2026-12-01", 9.5)):
        key = "array.b.loss_percent"
        write(propose(str(file), {key: loss}, {}, {key: f"{date}, voyager fit panels p.csv"}))
    text = file.read_text("utf-8")
    assert text.count("voyager fit") == 1
    assert "  # of 2019\n  # array.b.loss_percent: 2026-12-01, voyager fit panels p.csv\n  {" in text


def test_a_value_that_the_boat_must_not_have_is_refused(boat: Path) -> None:
    with pytest.raises(Problems, match=r"cabin\.ua_w_per_k: must be more than 0, is -3"):
        put(boat, -3.0)
    assert boat.read_text("utf-8") == BOAT


def test_a_boat_that_is_not_sound_is_refused_first(boat: Path) -> None:
    boat.write_text(BOAT.replace("capacity_kwh = 20", "capacity = 20"), "utf-8")
    with pytest.raises(Problems, match="unit must be kwh"):
        put(boat)


def test_what_another_program_changed_meanwhile_stays(boat: Path) -> None:
    proposed = put(boat)
    boat.write_text(BOAT + "# more\n", "utf-8")
    with pytest.raises(NotSaved, match="was changed by another program meanwhile; nothing was written") as caught:
        write(proposed)
    assert caught.value.kind == "changed-outside"
    assert boat.read_text("utf-8") == BOAT + "# more\n"
    write(proposed, force=True)
    assert "62.4" in boat.read_text("utf-8")


def test_the_demo_and_read_only_files_stay(boat: Path) -> None:
    demo = demo_file()
    assert demo is not None
    with pytest.raises(NotSaved, match="comes with voyager and stays as it is"):
        put(Path(demo).with_name("quillet.toml"))
    os.chmod(boat, 0o444)
    with pytest.raises(NotSaved, match="read-only"):
        put(boat)


def test_what_was_only_taken_from_the_file_gets_no_remark(boat: Path) -> None:
    values = {"battery.capacity_kwh": 20.0, "cabin.ua_w_per_k": 56.0, "cabin.people": 2.0}
    write(propose(str(boat), values, {"cabin.ua_w_per_k": 1.8}, dict.fromkeys(values, SAID)))
    text = boat.read_text("utf-8")
    assert "capacity_kwh = 20\n" in text
    assert f"ua_w_per_k = 56               # {SAID}\n" in text
    assert f"people = 2.0 # {SAID}\n" in text


def test_nothing_in_a_remark_ends_the_comment(boat: Path) -> None:
    write(put(boat, 62.4, "2026-11-28, voyager fit heat a\nb = 1.csv"))
    assert "b" not in tomllib.loads(boat.read_text("utf-8"))["cabin"]
    assert "a\\nb = 1.csv" in boat.read_text("utf-8")
