"""The log of a small voyage: added, changed, removed, imported; where the boat was follows from the rest."""

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from tests.files.gpx_files import gpx, track
from tests.session.voyages import write
from voyager.errors import InputError, NotSaved
from voyager.session import log
from voyager.session.demo import demo_path

NOW = datetime(2027, 3, 2, 18, 0, 30, tzinfo=UTC)
THERE_AND_BACK = """[[leg]]
from = "Croft"
to = "Beck"
distance_km = 18
"""


@pytest.fixture
def voyage(tmp_path: Path) -> str:
    """Ashby, Beck at km 12, Croft at km 30; 20 kWh."""
    return write(tmp_path)


def noted(voyage: str, text: str) -> dict[str, Any]:
    """A typed line, added."""
    return log.add(voyage, log.parse_entry(text, voyage, NOW), NOW)


def test_a_typed_line_is_an_entry_with_all_keys(voyage: str) -> None:
    found = noted(voyage, "14:00 Beck 61% sun 3.2 in 17 out 4: blocked filter")
    assert found == {
        "entry": {
            "ident": 1, "time_utc": "2027-03-02T14:00:00Z", "time_local": "2027-03-02T14:00", "kind": "reading",
            "place": "Beck", "km": 12.0, "lat": None, "lon": None, "charge_kwh": 12.2, "charge_percent": 61.0,
            "solar_kwh": 3.2, "shore_kwh": None, "propulsion_kwh": None, "heating_kwh": None, "hotel_kwh": None,
            "inside_c": 17.0, "outside_c": 4.0, "note": "blocked filter", "source": "screen",
        },
        "notes": [],
    }  # fmt: skip
    assert log.entries(voyage) == [found["entry"]]
    json.dumps(found, allow_nan=False)


def test_without_a_time_it_is_now_and_a_note_alone_is_an_event(voyage: str) -> None:
    entry = noted(voyage, ": filter")["entry"]
    assert (entry["time_utc"], entry["kind"], entry["note"]) == ("2027-03-02T18:00:00Z", "event", "filter")


@pytest.mark.parametrize(
    ("values", "where"),
    [
        ({"place": "beck"}, ("Beck", 12.0)),
        ({"km": 12.05}, ("Beck", 12.05)),
        ({"km": 13.0}, (None, 13.0)),
        ({"lat": 53.05, "lon": -8.0}, (None, 6.0)),
        ({"lat": 53.1, "lon": -8.0}, ("Beck", 12.0)),
        ({"lat": 54.0, "lon": -9.0}, (None, None)),
        ({"place": "Beck", "km": 11.0}, ("Beck", 11.0)),
    ],
)
def test_place_and_kilometre_follow_from_each_other(voyage: str, values: dict[str, Any], where: object) -> None:
    found = log.add(voyage, values, NOW)
    place, km = found["entry"]["place"], found["entry"]["km"]
    assert (place, km) == (where[0], pytest.approx(where[1], abs=0.02))  # type: ignore[index]
    assert [("km off the route" in note) for note in found["notes"]] == ([True] if km is None else [])


def test_of_a_place_passed_twice_the_next_is_meant(tmp_path: Path) -> None:
    voyage = write(tmp_path, leg=THERE_AND_BACK)
    kms = [noted(voyage, text)["entry"]["km"] for text in ("09:00 Beck", "11:00 Croft", "13:00 Beck", "10:00 Beck")]
    assert kms == [12.0, 30.0, 48.0, 12.0]


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"place": "Bek"}, '"Bek" is no place of the voyage; did you mean Beck'),
        ({"km": 31.0}, "not on the route"),
        ({"charge_kwh": 20.5}, r"the battery holds 0 to 20 kWh"),
        ({"charge_percent": 101}, r"the battery holds"),
        ({"charge_percent": 50, "charge_kwh": 1}, "give one of them"),
        ({"chrge_kwh": 1}, "no chrge_kwh; did you mean charge_kwh"),
        ({"solar_kwh": "3"}, "is a number"),
        ({"solar_kwh": float("nan")}, "must lie between"),
        ({"note": 3}, "is a text"),
        ({"time_utc": "noon"}, "is no time"),
        ({"lat": 53.0}, "go together"),
    ],
)
def test_values_that_are_none_are_refused_and_nothing_is_written(voyage: str, values: Any, said: str) -> None:
    with pytest.raises(InputError, match=said):
        log.add(voyage, values, NOW)
    assert log.entries(voyage) == []


def test_change_keeps_what_is_not_said_and_takes_out_what_is_none(voyage: str) -> None:
    noted(voyage, "14:00 Beck 61% sun 3.2: filter")
    values = log.parse_entry("15:30 sun - 50%", voyage, NOW, changing=True)
    entry = log.change(voyage, 1, values)["entry"]
    assert [entry[key] for key in ("time_utc", "place", "charge_percent", "solar_kwh", "note")] == [
        "2027-03-02T15:30:00Z", "Beck", 50.0, None, "filter",
    ]  # fmt: skip
    entry = log.change(voyage, 1, {"km": 20})["entry"]
    assert (entry["place"], entry["km"], entry["time_utc"]) == (None, 20.0, "2027-03-02T15:30:00Z")
    assert log.entries(voyage) == [entry]
    with pytest.raises(InputError, match="no entry 9"):
        log.change(voyage, 9, {"km": 20})


def test_remove_gives_back_what_it_took(voyage: str) -> None:
    entry = noted(voyage, "14:00 Beck")["entry"]
    assert log.remove(voyage, 1)["entry"] == entry
    assert log.entries(voyage) == []
    with pytest.raises(InputError, match="no entry 1"):
        log.remove(voyage, 1)


def test_times_that_are_odd_are_noted_and_told_of(voyage: str) -> None:
    assert "still to come" in noted(voyage, "2027-03-03 09:00 61%")["notes"][0]
    assert "before the voyage departs, on Mon 1 Mar 2027" in noted(voyage, "2026-03-03 09:00 61%")["notes"][0]


def test_an_entry_typed_twice_is_told_of(voyage: str) -> None:
    assert noted(voyage, "14:00 Beck 61% sun 3.2")["notes"] == []
    assert noted(voyage, "14:00 in 17: filter")["notes"] == []
    assert noted(voyage, "15:00 61% sun 3.2")["notes"] == []
    assert noted(voyage, "14:00 Beck sun 3.2")["notes"] == [
        "entry 1 is of the same time; if one of the two is too many, remove it"
    ]
    assert len(log.entries(voyage)) == 4


def test_a_csv_is_imported_once(voyage: str, tmp_path: Path) -> None:
    file = tmp_path / "m.csv"
    lines = ["time,charge_percent,solar_kwh,place", "2027-03-02T08:00Z,50,7,ashby", "2027-03-02T09:00Z,45,8.5,Nowhere"]
    file.write_text("\n".join(lines), "utf-8")
    found = log.import_file(voyage, str(file), counters=True)
    assert (found["kind"], found["rows"], found["added"], found["left_out"]) == ("csv", 2, 2, [])
    assert (found["first_utc"], found["last_utc"]) == ("2027-03-02T08:00:00Z", "2027-03-02T09:00:00Z")
    assert found["notes"] == ['"Nowhere" is no place of the voyage; there are Ashby, Beck, Croft']
    told = [
        (one["place"], one["km"], one["charge_kwh"], one["solar_kwh"], one["source"]) for one in log.entries(voyage)
    ]
    assert told == [("Ashby", 0.0, 10.0, None, "m.csv"), ("Nowhere", None, 9.0, 1.5, "m.csv")]
    file.write_text("\n".join([*lines, "2027-03-02T10:00Z,44,9,"]), "utf-8")
    found = log.import_file(voyage, str(file), counters=True)
    assert (found["added"], [one["row"] for one in found["left_out"]]) == (1, [2, 3])
    assert log.entries(voyage)[-1]["solar_kwh"] == 0.5


def test_a_track_is_imported_along_the_route_by_its_content(voyage: str, tmp_path: Path) -> None:
    file = tmp_path / "track.txt"
    points = [(53.0 + 0.1 * n / 720, -8.0, 10.0 * n) for n in range(721)]
    file.write_text(gpx(track(points)), "utf-8")
    found = log.import_file(voyage, str(file))
    assert (found["kind"], found["rows"]) == ("gpx", 721)
    told = [(one["time_utc"][11:16], one["km"], one["place"], one["note"]) for one in log.entries(voyage)]
    assert told == [
        ("08:00", pytest.approx(0, abs=0.01), "Ashby", "track begins"),
        ("09:00", pytest.approx(6, abs=0.02), None, ""),
        ("10:00", pytest.approx(12, abs=0.02), "Beck", "track ends"),
    ]
    with pytest.raises(InputError, match="leave --counters away"):
        log.import_file(voyage, str(file), counters=True)


def test_a_faulty_file_adds_nothing(voyage: str, tmp_path: Path) -> None:
    file = tmp_path / "m.csv"
    file.write_text("time,km\n2027-03-02T08:00Z,5\n2027-03-02T09:00Z,500\n", "utf-8")
    with pytest.raises(InputError, match=r"m.csv:3: km: km 500 is not on the route"):
        log.import_file(voyage, str(file))
    assert log.entries(voyage) == []


def test_plans_are_kept_with_what_the_log_needs(voyage: str) -> None:
    plan = {"days": [{"day": 1, "date": "2027-03-01", "solar_kwh": 1.0, "cautions": ["frost"], "hours": []}]}
    assert log.plans_kept(voyage) == 0
    log.add(voyage, {"km": 1}, NOW, plan=plan)
    assert log.keep_plan(voyage, plan, NOW) == log.plans_kept(voyage) == 1
    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as kept:
        (one,) = kept.plans()
    assert (one.made_utc, one.days[0]["solar_kwh"], "cautions" in one.days[0]) == (NOW, 1.0, False)


def test_the_first_plan_is_kept_once_and_a_fault_is_a_sentence(voyage: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from voyager.session import plan as module

    asked = []
    monkeypatch.setattr(module, "plan", lambda *a, **k: asked.append((a, k)) or {"days": []})
    assert log.keep_first_plan(voyage, NOW) is None
    assert log.keep_first_plan(voyage, NOW) is None
    assert [(a, k["members"]) for a, k in asked] == [((voyage,), 0)]


def test_where_no_plan_can_be_made_the_entry_stands(voyage: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from voyager.session import plan as module

    def refuse(*_: object, **__: object) -> None:
        raise InputError("the sea is too far")

    monkeypatch.setattr(module, "plan", refuse)
    assert log.keep_first_plan(voyage, NOW) == "no plan was kept to hold the days against: the sea is too far"


def test_the_demo_has_no_log() -> None:
    for act in (lambda: log.add(demo_path(), {"km": 1}, NOW), lambda: log.import_file(demo_path(), "x.csv")):
        with pytest.raises(NotSaved, match="save the voyage under another name first"):
            act()
    assert log.entries(demo_path()) == []


def test_of_an_unsound_voyage_the_log_can_still_be_read(voyage: str) -> None:
    noted(voyage, "14:00 Beck 61%")
    Path(voyage).write_text(Path(voyage).read_text("utf-8").replace("departs", "depart"), "utf-8")
    (entry,) = log.entries(voyage)
    assert (entry["charge_kwh"], entry["charge_percent"], entry["time_local"]) == (12.2, None, None)


def test_a_voyage_that_is_not_there_has_no_empty_log(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no such file"):
        log.entries(str(tmp_path / "none.toml"))


def test_a_sketch_not_yet_saved_counts(voyage: str) -> None:
    from voyager.session.sketch.opened import opened

    documents = opened(voyage)["documents"]
    documents["boat"]["battery"]["capacity_kwh"] = 40
    assert log.add(voyage, {"charge_percent": 50}, NOW, documents=documents)["entry"]["charge_kwh"] == 20.0
