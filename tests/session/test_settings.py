"""The settings file: what is kept, what a broken one does, what is left alone."""

import os
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import tomli
from hypothesis import HealthCheck, given
from hypothesis import settings as quickly
from hypothesis import strategies as st

from voyager.files.settings import settings_path
from voyager.session.settings import MOST_RECENT, defaults, load, remember, store

ROOT = os.geteuid() == 0 if hasattr(os, "geteuid") else False


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path.with_name(tmp_path.name + "-state")))
    return settings_path()


def written(path: Path, text: str) -> None:
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")


def test_no_file_is_the_defaults_without_a_word(path: Path) -> None:
    assert load() == {**defaults(), "trouble": None}
    assert not path.exists()


def test_the_folder_follows_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path))
    assert settings_path() == tmp_path / ".config" / "voyager" / "settings.toml"


def test_what_is_stored_is_loaded(path: Path) -> None:
    units = {"speed": "kn", "length": "NM", "temperature": "°F"}
    assert store(units=units, look="light", ascii=True) is None
    assert load() == {**defaults(), "units": units, "look": "light", "ascii": True, "trouble": None}
    assert store(look=None) is None
    assert load()["look"] is None
    assert load()["ascii"] is True


def test_unknown_keys_comments_and_order_stay(path: Path) -> None:
    written(path, '# mine\nfuture = [1, 2]  # of a later version\nlook = "dark"\n\n[other]\nkey = 1.5\n')
    assert store(look="light", toured=True) is None
    text = path.read_text(encoding="utf-8")
    assert text.startswith('# mine\nfuture = [1, 2]  # of a later version\nlook = "light"\n')
    assert tomli.loads(text) == {"future": [1, 2], "look": "light", "toured": True, "other": {"key": 1.5}}


def test_a_table_of_units_is_replaced_whole(path: Path) -> None:
    written(path, '[units]\nspeed = "kn"\n\n[other]\nkey = 1\n')
    assert store(units={"speed": "km/h", "length": "km", "temperature": "°C"}) is None
    found = tomli.loads(path.read_text(encoding="utf-8"))
    assert found == {"units": {"speed": "km/h", "length": "km", "temperature": "°C"}, "other": {"key": 1}}


@pytest.mark.parametrize("text", ["look = ", "[units\n", 'look = "a"\nlook = "b"\n'])
def test_a_broken_file_is_one_sentence_and_stays(path: Path, text: str) -> None:
    written(path, text)
    found = load()
    assert {key: found[key] for key in defaults()} == defaults()
    assert str(path) in found["trouble"]
    assert "\n" not in found["trouble"]
    said = store(look="light")
    assert said is not None
    assert said.startswith("Not kept")
    assert path.read_text(encoding="utf-8") == text


def test_what_is_no_text_at_all_is_one_sentence(path: Path) -> None:
    path.parent.mkdir()
    path.write_bytes(b"look = \xff")
    assert "UTF-8" in load()["trouble"]
    assert store(ascii=True)
    assert path.read_bytes() == b"look = \xff"


def test_a_value_of_the_wrong_kind_is_named_and_the_rest_holds(path: Path) -> None:
    written(path, 'ascii = 3\nlook = "light"\nrecent = ["a", 1]\n')
    found = load()
    assert (found["ascii"], found["look"], found["recent"]) == (False, "light", [])
    assert "ascii must be true or false" in found["trouble"]
    assert "recent must be" in found["trouble"]


def test_a_wrong_call_is_refused(path: Path) -> None:
    with pytest.raises(KeyError):
        store(colour="red")
    with pytest.raises(ValueError, match="ascii must be"):
        store(ascii="yes")
    assert not path.exists()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "file"))
    said = store(ascii=True)
    assert said is not None
    assert "can't be" in said


def test_mode_and_link_are_kept_and_nothing_is_left_beside(path: Path, tmp_path: Path) -> None:
    real = tmp_path / "elsewhere.toml"
    real.write_text('look = "dark"\n')
    real.chmod(0o640)
    path.parent.mkdir()
    path.symlink_to(real)
    assert store(look="light") is None
    assert path.is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert sorted(one.name for one in tmp_path.iterdir()) == ["elsewhere.toml", "voyager"]
    assert [one.name for one in path.parent.iterdir()] == ["settings.toml"]


def test_recent_voyages_are_few_newest_first_and_each_once(path: Path) -> None:
    for name in [*map(str, range(MOST_RECENT + 3)), "5"]:
        assert remember(name) is None
    recent = [Path(one).name for one in load()["recent"]]
    assert recent[:3] == ["5", "12", "11"]
    assert len(recent) == len(set(recent)) == MOST_RECENT


def test_several_at_once_lose_nothing(path: Path) -> None:
    changes = [{"look": "dark"}, {"ascii": True}, {"toured": True}, {"units": {"speed": "kn"}}, {"recent": ["a"]}]
    with ThreadPoolExecutor(5) as pool:
        assert list(pool.map(lambda change: store(**change), changes)) == [None] * 5
    found = load()
    assert all(found[key] == value for change in changes for key, value in change.items())


texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=12)


@given(st.lists(texts, max_size=5), texts, st.booleans())
@quickly(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=60, deadline=None)
def test_any_text_survives(path: Path, recent: list[str], look: str, plain: bool) -> None:
    assert store(recent=recent, look=look, ascii=plain) is None
    found = load()
    assert (found["recent"], found["look"], found["ascii"], found["trouble"]) == (recent, look, plain, None)
