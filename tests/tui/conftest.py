"""Each test has folders of its own for what a user keeps, and waits in short steps."""

from pathlib import Path

import pytest
import textual._wait

textual._wait.SLEEP_GRANULARITY /= 4  # a pilot's pause looks so often whether all is quiet: most of a test was sleep
textual._wait.SLEEP_IDLE /= 4


@pytest.fixture(autouse=True)
def _own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("XDG_STATE_HOME", "XDG_CONFIG_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
