"""The log as the screens ask for it."""

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.session import log, log_page
from voyager.session.demo import demo_path
from voyager.session.log_line import as_line
from voyager.session.sketch.opened import opened

NOW = datetime(2027, 3, 2, 18, 0, 30, tzinfo=UTC)
LINE = "14:00 Beck 61% sun 3.2 in 17 out 4: blocked filter"
ENERGIES = ("solar_kwh", "shore_kwh", "propulsion_kwh", "heating_kwh", "hotel_kwh")


@pytest.fixture(scope="module")
def shore(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Any]:
    """A voyage that no test writes to, with its documents."""
    path = write(tmp_path_factory.mktemp("voyage"))
    return path, opened(path)["documents"]


@pytest.fixture
def voyage(tmp_path: Path) -> str:
    """Ashby, Beck at km 12, Croft at km 30; 20 kWh."""
    return write(tmp_path)


def documents(voyage: str) -> Any:
    return opened(voyage)["documents"]


def kept(voyage: str, text: str, row: Any = None) -> Any:
    return log_page.kept(voyage, documents(voyage), text, NOW, row)["entry"]


def test_a_line_is_understood_and_nothing_written(shore: tuple[str, Any]) -> None:
    found = log_page.understood(*shore, LINE, NOW, None)
    assert (found["why"], found["last"], found["refusal"]) == (None, None, None)
    row = found["row"]
    assert (row["place"], row["km"], row["charge_percent"], row["note"]) == ("Beck", 12.0, 61.0, "blocked filter")
    assert not Path(shore[0].replace(".toml", ".log.sqlite")).exists()
    json.dumps(found, allow_nan=False)


def test_what_is_not_understood_is_said_and_an_empty_line_is_no_fault(shore: tuple[str, Any]) -> None:
    assert "did you mean Beck?" in log_page.understood(*shore, "14:00 Bec", NOW, None)["why"]
    empty = log_page.understood(*shore, "  ", NOW, None)
    assert (empty["row"], empty["why"]) == (None, None)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("14:00 Bec", '"Bec" is no place of the voyage; did you mean Beck?'),
        ("Beck 130%", "this line has a charge that the battery cannot have; it holds 0 to 20 kWh (100 %)"),
    ],
)
def test_beside_the_line_the_sentence_does_not_say_it_again(voyage: str, text: str, why: str) -> None:
    assert log_page.understood(voyage, documents(voyage), text, NOW, None)["why"] == why
    with pytest.raises(InputError) as caught:
        kept(voyage, text)
    assert str(caught.value) == why


def test_what_is_kept_is_what_was_understood_and_once_only(voyage: str) -> None:
    row = log_page.understood(voyage, documents(voyage), LINE, NOW, None)["row"]
    assert kept(voyage, LINE) == kept(voyage, LINE) == {**row, "ident": 1}
    assert log_page.page(voyage, documents(voyage)) == {"entries": [{**row, "ident": 1}], "refusal": None}


def test_an_unsound_sketch_keeps_no_reading_away(voyage: str) -> None:
    broken = {**documents(voyage), "voyage": {**documents(voyage)["voyage"], "leg": []}}
    assert log_page.kept(voyage, broken, LINE, NOW, None)["entry"]["km"] == 12.0


def test_a_demo_has_no_log_and_says_what_to_do() -> None:
    path = demo_path()
    found = log_page.understood(path, documents(path), "61%", NOW, None)
    assert found["row"]["charge_percent"] == 61.0
    assert found["refusal"] == log_page.page(path, documents(path))["refusal"]
    assert "save the voyage under another name first" in found["refusal"]


# changed


@pytest.mark.parametrize(
    ("was", "now", "differs"),
    [
        (LINE, LINE, {}),
        (LINE, LINE.replace("61", "60"), {"charge_percent": 60.0, "charge_kwh": 12.0}),
        (LINE, LINE.replace(" sun 3.2", ""), {"solar_kwh": None}),
        (LINE, LINE.replace(": blocked filter", ""), {"note": ""}),
        (LINE, LINE.replace("Beck", "km 15"), {"place": None, "km": 15.0}),
        (LINE, LINE.replace("14:00 ", ""), {}),
        (LINE, LINE.replace("14:00", "15:30"), {"time_utc": "2027-03-02T15:30:00Z", "time_local": "2027-03-02T15:30"}),
        ("km 13.123456 61%", "km 13.1235 60%", {"charge_percent": 60.0, "charge_kwh": 12.0}),
    ],
)
def test_a_changed_line_changes_what_it_says_otherwise(voyage: str, was: str, now: str, differs: Any) -> None:
    row = kept(voyage, was)
    assert log_page.understood(voyage, documents(voyage), now, NOW, row)["row"] == {**row, **differs}
    assert kept(voyage, now, row) == {**row, **differs}


def test_an_entry_of_a_strange_place_says_so_until_its_place_is_mended(voyage: str) -> None:
    Path(voyage).with_name("strange.csv").write_text(
        "time,place,charge_percent\n2027-03-02T14:00Z,Atlantis,50\n", encoding="utf-8"
    )
    log.import_file(voyage, str(Path(voyage).with_name("strange.csv")))
    (row,) = log.entries(voyage)
    assert "Atlantis" in as_line(row)
    with pytest.raises(InputError, match="Atlantis"):
        kept(voyage, as_line(row), row)
    mended = kept(voyage, "Croft", row)
    assert (mended["place"], mended["km"], mended["charge_kwh"]) == ("Croft", 30.0, None)


def test_an_entry_taken_out_meanwhile_is_not_changed(voyage: str) -> None:
    row = kept(voyage, LINE)
    log_page.removed(voyage, documents(voyage), 1)
    assert "taken out" in log_page.understood(voyage, documents(voyage), LINE, NOW, row)["why"]


# brought back


def test_what_was_taken_out_or_changed_comes_back_as_it_was(voyage: str) -> None:
    row = kept(voyage, LINE)
    assert log_page.removed(voyage, documents(voyage), 1)["entry"] == row
    assert log_page.restored(voyage, row) == log_page.restored(voyage, row) == {"ident": 1}
    assert log.entries(voyage) == [row]
    kept(voyage, "20:00 Croft", row=row)
    log_page.restored(voyage, row)
    assert log.entries(voyage) == [row]
    assert kept(voyage, "20:00 Croft")["ident"] == 2


def test_an_imported_entry_keeps_its_source_and_place(voyage: str) -> None:
    file = Path(voyage).with_name("strange.csv")
    file.write_text("time,place,note\n2027-03-02T14:00:21Z,Atlantis,seen\n", encoding="utf-8")
    assert log_page.imported(voyage, documents(voyage), str(file), False)["added"] == 1
    (row,) = log.entries(voyage)
    log_page.removed(voyage, documents(voyage), row["ident"])
    log_page.restored(voyage, row)
    assert log.entries(voyage) == [row]


def test_the_plan_on_the_screen_is_kept_with_its_hours(voyage: str) -> None:
    kept(voyage, LINE)
    assert log_page.plans(voyage) == {"voyage": voyage, "entries": 1, "plans": 0}
    hours = [{"ends_utc": "2027-03-02T09:00:00Z", "charge_kwh": 12.5}]
    log_page.keep_shown(voyage, [{"day": 1, "date": "2027-03-02", "hours": json.dumps(hours)}], NOW)
    assert log_page.plans(voyage)["plans"] == 1

    from voyager.files.log import Log, log_path

    with Log(log_path(voyage)) as book:
        assert book.plans()[0].days == ({"day": 1, "date": "2027-03-02", "hours": hours},)


# lines


@st.composite
def values(draw: st.DrawFn) -> dict[str, Any]:
    """What may be noted, with digits that a person types."""
    some: dict[str, Any] = {name: draw(st.none() | st.integers(0, 9999).map(lambda n: n / 100)) for name in ENERGIES}
    some |= {name: draw(st.none() | st.integers(-300, 400).map(lambda n: n / 10)) for name in ("inside_c", "outside_c")}
    some["charge_kwh"] = draw(st.none() | st.integers(0, 200).map(lambda n: n / 10))
    some |= draw(st.sampled_from([{}, {"place": "Beck"}, {"km": 7.25}, {"lat": 52.0125, "lon": -0.125}]))
    some["note"] = draw(st.sampled_from(["", "filter", "at 14:00: weed, 61% sun 3", "in 17", "a : b"]))
    return some


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(noted=values())
def test_a_line_of_an_entry_says_the_entry(shore: tuple[str, Any], noted: dict[str, Any]) -> None:
    from voyager.logbook.entries import Entry
    from voyager.session.log_typed import parse_line
    from voyager.session.log_values import entry_told, with_values

    of = log.sound(shore[0], None)
    entry = with_values(Entry(datetime(2027, 7, 1, 9, 30, tzinfo=UTC)), noted, of.capacity_kwh)
    line = as_line(entry_told(entry, of.capacity_kwh, of.loaded.voyage.time_zone))
    if all(value in (None, "") for value in noted.values()):
        return
    found = parse_line(line, of.way, of.capacity_kwh, NOW)
    assert found.pop("time_utc") == entry.time_utc
    wanted = {key: value for key, value in noted.items() if value not in (None, "")}
    assert found.keys() == wanted.keys()
    for key, value in wanted.items():
        assert found[key] == (value if isinstance(value, str) else pytest.approx(value, abs=1e-4)), key


def test_the_beginning_of_a_line_is_understood_while_the_rest_is_not(shore: tuple[str, Any]) -> None:
    found = log_page.understood(*shore, "14:00 Beck 61% su", NOW, None)
    assert "su" in found["why"]
    assert (found["row"]["place"], found["row"]["charge_percent"]) == ("Beck", 61.0)
