"""The answer in words: the test and its caution, every value at 80 columns, what is said where nothing moves."""

from copy import deepcopy
from typing import Any

from rich.cells import cell_len

from voyager.report.worth_text import NOTHING, worth_text

ROW: dict[str, Any] = {
    "key": "hull.trial", "name": "hull coefficient", "value": 101.0, "se": 15.1, "unit": "W/(m/s)³", "se_from": "usual",
    "effect_days": 1.2, "effect_se": 0.1, "widens_days": 0.256, "after_se": 3.0, "after_widens_days": 0.011,
    "never": 0.0, "margin_kwh": -0.3, "shore_stops": 0.24, "warm_hours": 9.0, "sides": 2, "test": "runs both ways",
    "command": "voyager fit trial RUNS.csv --into boat.toml", "caution": "Keep clear of other traffic.", "text": "",
}  # fmt: skip
SHARE: dict[str, Any] = ROW | {
    "name": "losses of the array roof, port and starboard", "value": 8.0, "se": 1.5, "unit": "%",
    "se_from": "boat file", "effect_days": None, "widens_days": 0.004,
}  # fmt: skip
RESULT: dict[str, Any] = {
    "format": 1, "boat": "boat.toml", "voyage": "v.toml", "members": 200, "seed": 1, "ranked_by": "arrival",
    "arrival": {"p10": "2026-11-29", "p50": "2026-12-02", "p90": "2026-12-06", "mean_days": 37.5, "sd_days": 2.914},
    "values": [ROW, SHARE],
    "next": {"key": "hull.trial", "test": "runs both ways", "command": ROW["command"], "caution": ROW["caution"],
             "text": "hull coefficient: from ± 15.1 to about ± 3 W/(m/s)³"},
}  # fmt: skip


def test_the_answer_comes_first_with_its_caution() -> None:
    lines = worth_text(RESULT).splitlines()
    assert lines[0] == "200 skies, seed 1. Half arrive by Wed 2 Dec 2026; standard deviation 2.914 days."
    at = lines.index("The measurement worth making next")
    assert lines[at + 1 : at + 5] == [
        "Hull coefficient: from ± 15.1 to about ± 3 W/(m/s)³.",
        "Test:    runs both ways",
        "Command: voyager fit trial RUNS.csv --into boat.toml",
        "Care:    Keep clear of other traffic.",
    ]


def test_every_figure_of_every_value_at_80_columns() -> None:
    lines = worth_text(RESULT).splitlines()
    assert max(map(cell_len, lines)) <= 80
    first = next(line for line in lines if line.startswith("Hull coefficient, "))
    assert first.split()[-10:] == ["101", "±", "15.1", "u", "1.2", "0.256", "0.011", "0.24", "-0.3", "9"]
    second = next(line for line in lines if line.startswith("Losses of the"))
    assert [word for word in second.split() if word in ("f", "-", "1.5", "0.004")] == ["1.5", "f", "-", "0.004"]


def test_no_command_no_line() -> None:
    told = deepcopy(RESULT)
    told["next"]["command"] = told["next"]["caution"] = ""
    text = worth_text(told)
    assert "Command:" not in text
    assert "Care:" not in text
    assert f"Then:    write what it gives into the boat file, as {told['next']['key']}" in text.splitlines()
    assert "Then:" not in worth_text(RESULT)


def test_where_no_arrival_moves_it_is_said() -> None:
    assert "No value moves" not in worth_text(RESULT)
    for by, said in (("shore_stops", "Ranked by stays with a plug."), ("margin", "Ranked by the least charge above")):
        text = " ".join(worth_text(RESULT | {"ranked_by": by}).split())
        assert text.index(said) < text.index("The measurement worth")


def test_nothing_in_doubt_and_no_arrival() -> None:
    never = RESULT["arrival"] | {"p50": None, "sd_days": None}
    text = worth_text(RESULT | {"next": None, "values": [], "arrival": never})
    assert " ".join(NOTHING.split()) in " ".join(text.split())
    assert "Half of the skies or more see no arrival." in text
