"""The log's file: what is written is read the same, nothing acknowledged is lost, foreign files are left alone."""

import os
import random
import sqlite3
import subprocess
import sys
import threading
import time
from collections import Counter
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import voyager
from voyager.errors import InputError, NotSaved
from voyager.files import log as module
from voyager.files.log import Log, log_path, refuse_unwritable
from voyager.files.log_schema import LIMITS, LONGEST_TEXT, statements
from voyager.logbook.entries import Entry, KeptPlan
from voyager.session.demo import demo_path

AT = datetime(2027, 3, 2, 14, tzinfo=UTC)
TIME = "'2027-03-02T14:00:00.000000Z'"
ROOT = Path(__file__).parents[2]
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
numbers = {name: st.none() | st.floats(low, high) for name, (low, high) in LIMITS.items() if name not in ("lat", "lon")}
positions = st.none() | st.tuples(st.floats(-90, 90), st.floats(-180, 180))
times = st.datetimes(
    datetime(1902, 1, 1), datetime(2198, 1, 1), timezones=st.sampled_from([UTC, timezone(timedelta(hours=-9.5))])
)


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """Any entry that a log can hold."""
    lat, lon = draw(positions) or (None, None)
    return Entry(
        draw(times),
        draw(st.sampled_from(["reading", "event"])),
        draw(st.none() | texts.filter(bool)),
        lat=lat,
        lon=lon,
        note=draw(texts),
        source=draw(texts),
        **{name: draw(value) for name, value in numbers.items()},
    )


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    return str(tmp_path_factory.mktemp("log") / "v.log.sqlite")


def sql(path: str, *statements: str) -> list[tuple[object, ...]]:
    """The answers of the last statement, by SQLite alone."""
    with closing(sqlite3.connect(path)) as file, file:
        for statement in statements:
            rows = file.execute(statement).fetchall()
    return rows


@settings(deadline=None, max_examples=40)
@given(many=st.lists(entries(), min_size=1, max_size=4))
def test_any_entry_is_read_as_it_was_written(path: str, many: list[Entry]) -> None:
    with Log(path, create=True) as log:
        idents = log.add(many)
    with Log(path) as log:
        assert [log.entry(ident) for ident in idents] == [
            replace(one, ident=ident) for one, ident in zip(many, idents, strict=True)
        ]


def test_entries_come_in_the_order_of_time(tmp_path: Path) -> None:
    hours = [3, 1, 2, 1]
    with Log(tmp_path / "l", create=True) as log:
        log.add(Entry(AT + timedelta(hours=hour, microseconds=hour)) for hour in hours)
        assert [one.ident for one in log.entries()] == [2, 4, 3, 1]
        assert [one.ident for one in log.entries(since=AT + timedelta(hours=2))] == [3, 1]


def test_entries_are_changed_and_removed_by_number_and_numbers_are_never_given_again(tmp_path: Path) -> None:
    with Log(tmp_path / "l", create=True) as log:
        first, last = log.add([Entry(AT, charge_kwh=5.0), Entry(AT, charge_kwh=6.0)])
        log.change(replace(log.entry(first), charge_kwh=None, note="wrong meter"))
        assert (log.entry(first).charge_kwh, log.entry(first).note) == (None, "wrong meter")
        log.remove(last)
        assert log.add([Entry(AT)]) == (last + 1,)
        for act in (lambda: log.remove(last), lambda: log.entry(last), lambda: log.change(Entry(AT, ident=last))):
            with pytest.raises(InputError, match=f"no entry {last}"):
                act()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"charge_kwh": float("nan")}, "charge_kwh must lie between 0 and 10000, is nan"),
        ({"km": float("inf")}, "km must lie"),
        ({"solar_kwh": -0.1}, "solar_kwh must lie"),
        ({"lat": 91.0, "lon": 0.0}, "lat must lie between -90 and 90"),
        ({"lat": 53.0}, "go together"),
        ({"kind": "note"}, 'must be reading or event, is "note"'),
        ({"time_utc": datetime(2027, 3, 2)}, "no offset"),
        ({"time_utc": datetime(1066, 3, 2, tzinfo=UTC)}, "year 1066 is out of range"),
        ({"note": "\ud800"}, "half a sign"),
        ({"note": "a" * (LONGEST_TEXT + 1)}, "longer than"),
    ],
)
def test_what_a_log_cannot_hold_is_refused_and_all_with_it(tmp_path: Path, wrong: dict[str, object], said: str) -> None:
    with Log(tmp_path / "l", create=True) as log:
        with pytest.raises(InputError, match=said):
            log.add([Entry(AT), replace(Entry(AT), **wrong)])  # type: ignore[arg-type]
        assert log.entries() == ()


@pytest.mark.parametrize(
    ("columns", "values"),
    [
        ("time_utc, kind", "'2027-03-02', 'reading'"),
        ("time_utc, kind", f"{TIME}, 'other'"),
        ("time_utc, kind, km", f"{TIME}, 'event', -1"),
        ("time_utc, kind, lat", f"{TIME}, 'event', 1"),
        ("time_utc, kind, km", f"{TIME}, 'event', 'x'"),
    ],
)
def test_the_tables_refuse_by_themselves(path: str, columns: str, values: str) -> None:
    with Log(path, create=True):
        pass
    with pytest.raises(sqlite3.IntegrityError):
        sql(path, f"INSERT INTO entry ({columns}, note, source) VALUES ({values}, '', '')")


def test_a_log_is_written_ahead_and_in_full_and_names_itself(tmp_path: Path) -> None:
    path = str(tmp_path / "l")
    with Log(path, create=True) as log:
        log.add([Entry(AT)])
        assert log._open().execute("PRAGMA synchronous").fetchone() == (2,)
        assert log._open().execute("PRAGMA busy_timeout").fetchone() == (module.WAIT_MS,)
        assert os.path.exists(path + "-wal")
    assert sorted(os.listdir(tmp_path)) == ["l"]
    assert sql(path, "PRAGMA journal_mode") == [("wal",)]
    assert sql(path, "PRAGMA user_version") == [(1,)]
    assert sql(path, "PRAGMA application_id") == [(int.from_bytes(b"Voyl", "big"),)]
    assert sql(path, "SELECT value FROM about") == [(voyager.__version__,)]


def test_where_write_ahead_logging_is_refused_a_rollback_journal_serves(tmp_path: Path) -> None:
    """The file system that shares no memory is stood for by its answer."""

    class NoSharedMemory(sqlite3.Connection):
        def execute(self, statement: str, *values: object) -> sqlite3.Cursor:  # type: ignore[override]
            if statement == "PRAGMA journal_mode = WAL":
                return super().execute("SELECT 'delete'")
            return super().execute(statement, *values)  # type: ignore[arg-type]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(module.sqlite3, "connect", lambda *a, **k: NoSharedMemory(*a, **k))
        with Log(tmp_path / "l", create=True) as log:
            assert log.add([Entry(AT)]) == (1,)
            assert log._open().execute("PRAGMA journal_mode").fetchone() == ("delete",)
            assert log._open().execute("PRAGMA synchronous").fetchone() == (2,)


def test_plans_are_kept_once(tmp_path: Path) -> None:
    one, other = [{"day": 1, "solar_kwh": 1.25}], [{"day": 1, "solar_kwh": 1.5}]
    with Log(tmp_path / "l", create=True) as log:
        assert [log.keep_plan(AT, days) for days in (one, one, other)] == [1, 1, 2]
        assert log.plans() == (KeptPlan(AT, tuple(one), 1), KeptPlan(AT, tuple(other), 2))


def test_a_missing_log_is_empty_and_is_not_made_by_looking(tmp_path: Path) -> None:
    for path in (tmp_path / "none", tmp_path / "empty"):
        if path.name == "empty":
            path.touch()
        with Log(path) as log:
            assert (log.entries(), log.plans()) == ((), ())
            with pytest.raises(InputError):
                log.add([Entry(AT)])
    assert [(one.name, one.stat().st_size) for one in tmp_path.iterdir()] == [("empty", 0)]


def test_an_empty_file_becomes_a_log(tmp_path: Path) -> None:
    (tmp_path / "l").touch()
    with Log(tmp_path / "l", create=True) as log:
        assert log.add([Entry(AT)]) == (1,)


@pytest.mark.parametrize("create", [True, False])
def test_files_that_are_no_log_are_refused_in_one_sentence_and_left_alone(tmp_path: Path, create: bool) -> None:
    path = tmp_path / "l"
    path.write_bytes(b"departs = 2027-03-02\n" * 100)
    said(path, create, "is no log: not a file of SQLite")
    path.write_bytes(b"short enough for SQLite to take it as empty")
    said(path, create, "is no log: not a file of SQLite")
    path.unlink()
    sql(str(path), "CREATE TABLE mine (x)")
    said(path, create, "another program's")
    path.unlink()
    sql(str(path), *statements("9.9"), "PRAGMA user_version = 2")
    said(path, create, r"has format 2, written by voyager 9\.9; this is voyager .*, which reads format 1")
    path.unlink()
    path.mkdir()
    said(path, create, "is a folder")


def said(path: Path, create: bool, text: str) -> None:
    """Opening is refused by one sentence with the text, and changes no byte."""
    before = path.read_bytes() if path.is_file() else b""
    with pytest.raises(InputError, match=text) as caught, Log(path, create):
        pass
    assert "\n" not in str(caught.value)
    assert not path.is_file() or path.read_bytes() == before


def test_a_damaged_log_is_told_of(tmp_path: Path) -> None:
    path = tmp_path / "l"
    with Log(path, create=True) as log:
        log.add(Entry(AT, note="x" * 200) for _ in range(200))
    content = bytearray(path.read_bytes())
    content[8192:40960] = bytes(40960 - 8192)
    path.write_bytes(content)
    with pytest.raises(InputError, match="is damaged"), Log(path) as log:
        log.entries()


def test_a_writer_waits_for_another(tmp_path: Path) -> None:
    with Log(tmp_path / "l", create=True) as one, Log(tmp_path / "l") as other:
        one._open().execute("BEGIN IMMEDIATE")
        timer = threading.Timer(0.05, lambda: one._open().execute("COMMIT"))
        timer.start()
        assert other.add([Entry(AT)]) == (1,)
        timer.join()


def test_a_writer_that_waits_too_long_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "WAIT_MS", 10)
    with Log(tmp_path / "l", create=True) as one, Log(tmp_path / "l") as other:
        one._open().execute("BEGIN IMMEDIATE")
        with pytest.raises(InputError, match="being written by another program"):
            other.add([Entry(AT)])
        assert other.entries() == ()


def test_a_log_in_a_closed_folder_can_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The folder that takes no file is stood for by SQLite's own refusal: whoever runs the tests may write anywhere."""
    path = str(tmp_path / "l")
    with Log(path, create=True) as log:
        log.add([Entry(AT)])
    address = module._address
    shut = lambda path, mode: address(os.path.join(path, "x") if mode == "mode=rw" else path, mode)  # noqa: E731
    monkeypatch.setattr(module, "_address", shut)
    with Log(path) as log:
        assert len(log.entries()) == 1
    assert os.listdir(tmp_path) == ["l"]


def test_the_demo_and_read_only_folders_have_no_log(tmp_path: Path) -> None:
    with pytest.raises(NotSaved, match="comes with voyager and has no log; save the voyage under another name first"):
        refuse_unwritable(demo_path())
    (tmp_path / "v.toml").touch()
    refuse_unwritable(tmp_path / "v.toml")
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(NotSaved, match="read-only; save the voyage under another name first"):
            refuse_unwritable(tmp_path / "v.toml")
    finally:
        tmp_path.chmod(0o755)


def test_the_log_stands_beside_its_voyage(tmp_path: Path) -> None:
    (tmp_path / "link.toml").symlink_to(tmp_path / "v.toml")
    assert log_path(tmp_path / "link.toml") == os.path.realpath(tmp_path / "v.log.sqlite")
    assert log_path("a/spring.toml") == "a/spring.log.sqlite"
    assert log_path("a/spring") == "a/spring.log.sqlite"


def killed(folder: Path, rounds: int, writers: int, rng: random.Random) -> int:
    """Kill ``writers`` at once in each round, at random; the number of acknowledged entries, all of which are there."""
    found, env = 0, os.environ | {"XDG_STATE_HOME": str(folder)}
    for number in range(rounds):
        path = folder / f"{number}.log.sqlite"
        words = [sys.executable, "-m", "tests.files.log_writer", str(path)]
        runs = [subprocess.Popen([*words, f"w{n}"], stdout=subprocess.PIPE, cwd=ROOT, env=env) for n in range(writers)]
        assert runs[0].stdout
        first = runs[0].stdout.readline() if rng.random() < 0.8 else b""  # else they die while they begin
        time.sleep(rng.random() * 0.03)
        for run in runs:
            run.kill()
        out = first + b"".join(run.communicate()[0].rpartition(b"\n")[0] + b"\n" for run in runs)
        told = Counter(line.split(" ", 1)[1] for line in out.decode().splitlines() if line)
        found += told.total()
        with Log(path) as log:
            noted = Counter(one.note for one in log.entries())
        assert not told - noted, "an acknowledged entry is missing"
        assert all(count == 1 + 2 * (int(note.split()[1]) % 5 == 4) for note, count in noted.items()), "half a batch"
        if path.exists() and path.stat().st_size:
            assert sql(str(path), "PRAGMA integrity_check") == [("ok",)]
    return found


def test_what_is_acknowledged_outlives_a_kill(tmp_path: Path) -> None:
    assert killed(tmp_path, 6, 2, random.Random(1)) > 0


@pytest.mark.long
def test_what_is_acknowledged_outlives_many_kills(tmp_path: Path) -> None:
    assert killed(tmp_path, 200, 3, random.Random(2)) > 1000
