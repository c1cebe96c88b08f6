"""Days of a log against the plan: from the command's own files, end to end."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.files.log import Log, log_path
from voyager.files.voyage_file import load_voyage
from voyager.logbook.entries import Entry, KeptPlan
from voyager.logbook.split import PARTS
from voyager.logbook.timeline import slim
from voyager.report.actual_text import actual_text
from voyager.session.actual import actual
from voyager.session.actual import told as session_told
from voyager.session.plan import plan


def utc(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 3, day, hour, minute, tzinfo=UTC)


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, Any]:
    path = write(tmp_path_factory.mktemp("actual"), panels=4)
    return path, plan(path)


def as_planned(days: Any, extra_kwh: float = 0.0) -> list[Entry]:
    """A log of the plan's own figures."""
    first = days[0]
    begins = datetime.fromisoformat(first["starts_utc"])
    out = [Entry(begins, km=first["start_km"], charge_kwh=first["charge_start_kwh"], solar_kwh=0.0)]
    for day in days:
        ends = datetime.fromisoformat(day["starts_utc"]) + timedelta(hours=day["length_h"])
        for key, km in (("casts_off_utc", "start_km"), ("made_fast_utc", "end_km")):
            if day[key]:
                out.append(Entry(datetime.fromisoformat(day[key]), km=day[km]))
        names = ("solar", "propulsion", "heating", "hotel", "shore")
        kwh = {f"{name}_kwh": day[f"{name}_kwh"] for name in names}
        kwh["solar_kwh"] -= day["spilled_kwh"]
        out.append(Entry(ends, km=day["end_km"], charge_kwh=day["charge_end_kwh"] - extra_kwh, **kwh))
    return sorted(out, key=lambda one: one.time_utc)


@pytest.fixture(scope="module")
def told(planned: tuple[str, Any]) -> Any:
    """The plan lived as it was, with an earlier plan kept that says otherwise of its last day."""
    path, made = planned
    with Log(log_path(path), create=True) as log:
        log.keep_plan(utc(1, 7), slim(made["days"]))
        log.add(as_planned(made["days"]))
    return json.loads(json.dumps(actual(path)))


def test_a_plan_lived_as_it_was_differs_by_nothing(planned: tuple[str, Any], told: Any) -> None:
    days = planned[1]["days"]
    assert len(days) >= 2
    assert [day["date"] for day in told["days"]] == [day["date"] for day in days]
    for day, row in zip(told["days"], days, strict=True):
        assert day["planned"]["made_utc"] == "2027-03-01T07:00:00Z"
        assert day["planned"]["charge_end_kwh"] == row["charge_end_kwh"]
        assert day["difference_kwh"] == pytest.approx(0.0, abs=1e-4)
        for name in PARTS:
            assert day[f"{name}_kwh"] == pytest.approx(0.0, abs=0.03), (day["day"], name)


def test_totals_are_the_sums_of_the_days(told: Any) -> None:
    for name in ("difference", *PARTS):
        assert told["totals"][f"{name}_kwh"] == pytest.approx(sum(day[f"{name}_kwh"] for day in told["days"]))
    for day in told["days"]:
        assert sum(day[f"{name}_kwh"] for name in PARTS) == pytest.approx(day["difference_kwh"], abs=1e-9)


@pytest.mark.parametrize("width", [80, 120])
def test_the_text_fits_and_tells_every_day(told: Any, width: int) -> None:
    text = actual_text(told, width)
    assert max(map(len, text.splitlines())) <= width
    assert all(f" {day['date'][8:].lstrip('0')} Mar" in text for day in told["days"])
    assert ("Motor" in text) == (width == 120)


def test_why_nothing_is_said_of_the_panels_is_told_where_nothing_else_is(told: Any) -> None:
    text = actual_text({**told, "drift": [], "notes": ["panels: nothing can be said."]}, 80)
    assert "panels: nothing can be said." in text
    assert "Nothing yet" not in text
    assert "Nothing yet" in actual_text({**told, "drift": [], "notes": []}, 80)


def test_without_a_kept_plan_the_files_own_stands_in(planned: tuple[str, Any], tmp_path: Path) -> None:
    path = write(tmp_path, panels=4)
    with Log(log_path(path), create=True) as log:
        log.keep_plan(utc(1, 9), [])
        log.add(as_planned(planned[1]["days"][:1], 0.5))
    [day] = actual(path)["days"]
    assert day["planned"]["made_utc"] is None
    assert day["difference_kwh"] == pytest.approx(-0.5, abs=1e-4)
    assert day["hotel_kwh"] == pytest.approx(-0.5, abs=0.03)


@pytest.mark.long
@pytest.mark.parametrize("name", ["autumn", "winter", "spring"])
def test_the_demos_lived_with_a_fouled_hull_and_dirty_panels(name: str) -> None:
    """Motor a fifth more, sun a tenth less, all measured, tides, locks, wind, limits as they are: the charge ends lower
    by that energy, within what the battery loses on the way in or out; nothing of it is told elsewhere."""
    path = str(Path(__file__).parents[2] / "routes" / f"{name}.toml")
    made: Any = plan(path)
    days, lower = made["days"][:14], 0.0
    log = as_planned(days)
    for k, one in enumerate(log):
        if one.solar_kwh is None or k == 0:
            continue
        day = next(d for d in days if one.time_utc == datetime.fromisoformat(d["starts_utc"]) + hours(d["length_h"]))
        sun, motor = day["solar_kwh"] - day["spilled_kwh"], day["propulsion_kwh"]
        lower += 0.1 * sun + 0.2 * motor
        charge = day["charge_end_kwh"] - lower
        log[k] = replace(one, charge_kwh=charge, solar_kwh=0.9 * sun, propulsion_kwh=1.2 * motor)
    kept = KeptPlan(datetime.fromisoformat(days[0]["starts_utc"]) - hours(1), slim(days))
    told = session_told(load_voyage(path), log, [kept], lambda share, text: None)
    for day, row in zip(told["days"], days, strict=True):
        assert day["hull_kwh"] == pytest.approx(-0.2 * row["propulsion_kwh"], rel=0.03, abs=0.15)
        assert day["sky_kwh"] == pytest.approx(-0.1 * (row["solar_kwh"] - row["spilled_kwh"]), rel=0.03, abs=0.25)
        assert [day[f"{one}_kwh"] for one in ("cabin", "habit", "hotel")] == pytest.approx([0.0] * 3, abs=0.25)


def hours(count: float) -> timedelta:
    return timedelta(hours=count)


def test_an_empty_log_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the log is empty"):
        actual(write(tmp_path))


def test_a_log_of_before_the_departure_is_a_sentence(tmp_path: Path) -> None:
    path = write(tmp_path)
    with Log(log_path(path), create=True) as log:
        log.add([Entry(datetime(2027, 2, 1, tzinfo=UTC), charge_kwh=3.0)])
    with pytest.raises(InputError, match="before the departure"):
        actual(path)
