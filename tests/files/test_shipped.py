"""The demo and what is installed are never written over; a copy of them is anybody's own."""

import shutil
from pathlib import Path

import pytest

import voyager
from voyager.errors import NotSaved
from voyager.files.shipped import PAIR, shipped
from voyager.session.demo import demo_path
from voyager.session.sketch.opened import opened
from voyager.session.sketch.save import save


def test_the_demo_and_the_package_are_shipped_a_copy_is_not(tmp_path: Path) -> None:
    folder = Path(demo_path()).parent
    assert all(shipped(folder / name) for name in PAIR)
    assert shipped(Path(voyager.__file__).parent / "routes" / "any.toml")
    assert not shipped(shutil.copy(demo_path(), tmp_path))
    assert not shipped(tmp_path / "quillet.toml")


def test_a_link_to_the_demo_is_the_demo(tmp_path: Path) -> None:
    (tmp_path / "mine.toml").symlink_to(demo_path())
    assert shipped(tmp_path / "mine.toml")


def test_the_demo_is_saved_under_another_name_only_and_its_boat_goes_along(tmp_path: Path) -> None:
    path = demo_path()
    found, before = opened(path), Path(path).read_bytes()
    documents = {**found["documents"], "voyage": {**found["documents"]["voyage"], "name": "Mine"}}
    with pytest.raises(NotSaved, match="comes with voyager and stays as it is; save under another name"):
        save(path, documents, found["stamp"], force=True)
    done = save(path, documents, found["stamp"], to=tmp_path / "mine.toml")
    assert Path(path).read_bytes() == before
    assert sorted(Path(name).name for name in done["written"]) == ["mine.toml", "quillet.toml"]
    again = opened(tmp_path / "mine.toml")
    assert again["problems"] == []
    assert Path(again["files"]["boat"]).parent == tmp_path
