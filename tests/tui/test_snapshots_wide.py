"""How the screens look where the terminal is wide; a module of its own, so that it runs beside the other."""

from pathlib import Path

import pytest

from tests.tui.test_snapshots import FEW, SCREENS, looks_as_before


@pytest.mark.parametrize(("look", "screens"), [("dark", tuple(SCREENS)), ("light", FEW)])
async def test_look_as_before_where_it_is_wide(
    look: str, screens: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    await looks_as_before("120x40", look, screens)
