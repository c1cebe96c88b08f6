"""Each test has folders of its own for what a user keeps."""

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
