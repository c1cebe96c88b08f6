"""The bar: nothing without a terminal; drawn once shown; gone when the work is over."""

import pytest

from voyager.cli.progress import Bar, progress


def test_nothing_where_stderr_is_no_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    with progress() as report:
        report(0.5, "halfway")
    assert capsys.readouterr() == ("", "")


def test_drawn_after_show_and_never_after_close(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("TERM", "xterm")
    bar = Bar()
    bar(0.5, "halfway")
    assert capsys.readouterr().err == ""
    bar.show()
    bar.close()
    assert "halfway" in capsys.readouterr().err
    bar.show()
    assert capsys.readouterr().err == ""
