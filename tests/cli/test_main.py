"""The exit statuses of FILES section 1, and that a fault is one sentence, never a traceback."""

import os
import subprocess
import sys

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cli.support import stand_in, voyager
from voyager import __version__
from voyager.cli import parser
from voyager.errors import Cancelled, InputError, NoPlan, Problem, Problems

Capture = pytest.CaptureFixture[str]
PLAN = "voyager.session.plan"


def raising(fault: BaseException) -> object:
    def plan(*_: object, **__: object) -> None:
        raise fault

    return plan


@pytest.mark.parametrize(
    ("fault", "status", "said"),
    [
        (InputError("boat.toml: no such file"), 2, "boat.toml: no such file"),
        (Problems([Problem("a", 3, "leg", "x"), Problem("a", 5, "by", "y")]), 2, "a:3: leg: x\na:5: by: y"),
        (NoPlan("no plan reaches Kilrush"), 1, "no plan reaches Kilrush"),
        (Cancelled(""), 130, "cancelled"),
        (KeyboardInterrupt(), 130, "cancelled"),
    ],
)  # fmt: skip
def test_faults_have_their_status_and_text(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture, fault: BaseException, status: int, said: str
) -> None:
    stand_in(monkeypatch, PLAN, plan=raising(fault))
    assert voyager(capsys, "plan", "v.toml") == (status, "", said + "\n")


def test_an_unexpected_fault_is_one_sentence(monkeypatch: pytest.MonkeyPatch, capsys: Capture) -> None:
    monkeypatch.delenv("VOYAGER_DEBUG", raising=False)
    stand_in(monkeypatch, PLAN, plan=raising(ZeroDivisionError("two\nlines")))
    status, out, err = voyager(capsys, "plan", "v.toml")
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert "ZeroDivisionError: two lines" in err
    assert "VOYAGER_DEBUG" in err


def test_debugging_lets_an_unexpected_fault_through(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("VOYAGER_DEBUG", "1")
    stand_in(monkeypatch, PLAN, plan=raising(ZeroDivisionError()))
    with pytest.raises(ZeroDivisionError):
        parser.module("plan").run(parser.build({"plan"}).parse_args(["plan", "v.toml"]))


def test_version(capsys: Capture) -> None:
    assert voyager(capsys, "--version") == (0, f"voyager {__version__}\n", "")


def test_help_lists_every_command(capsys: Capture) -> None:
    status, out, _ = voyager(capsys, "--help")
    assert status == 0
    assert all(f"\n    {name}" in out for name in parser.COMMANDS)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "name a command"),
        (["plam", "v.toml"], "did you mean plan?"),
        (["plan"], "VOYAGE"),
        (["plan", "v.toml", "--jsn"], "did you mean --json?"),
        (["plan", "v.toml", "--dep", "2027-03-01"], "did you mean --depart?"),
        (["--json", "plan", "v.toml"], "write it after that word"),
        (["plan", "v.toml", "w.toml"], "no argument w.toml"),
        (["plan", "v.toml", "--json", "--csv"], "not allowed with"),
        (["plan", "v.toml", "--depart", "2027-02-30"], "2027-02-30 does not exist in the calendar"),
        (["plan", "v.toml", "--depart", "1 March"], "write it like 2027-03-01"),
        (["plan", "v.toml", "--by", "2027-03-01..2027-04-01"], "name one date"),
        (["plan", "v.toml", "--members", "-3"], "whole number"),
        (["plan", "v.toml", "--sky", "sunny"], "cautious"),
        (["sun", "nan", "0", "2027-03-01"], "'nan' is not a number"),
        (["sun", "53", "1e999", "2027-03-01"], "'1e999' is not a number"),
        (["sun", "53,4", "-7", "2027-03-01"], "'53,4' is not a number"),
        (["completion", "cmd"], "bash"),
    ],
)
def test_a_wrong_command_line_is_refused_in_one_sentence(capsys: Capture, words: list[str], said: str) -> None:
    status, out, err = voyager(capsys, *words)
    assert (status, out, err.count("\n")) == (2, "", 1)
    assert said in err


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(words=st.lists(st.text(max_size=8) | st.sampled_from(["sun", "--json", "-1", "--", "-h"]), max_size=5))
def test_no_command_line_ends_in_a_traceback(capsys: Capture, words: list[str]) -> None:
    status, _, err = voyager(capsys, *words)
    assert status in (0, 2)
    assert "Traceback" not in err


def test_a_closed_pipe_is_quiet() -> None:
    line = f"{sys.executable} -m voyager.cli.main completion bash | head -c 1"
    done = subprocess.run(["bash", "-c", "set -o pipefail; " + line], capture_output=True, text=True, check=False)
    assert (done.returncode, len(done.stdout), done.stderr) == (0, 1, "")


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no device that is always full")
def test_a_full_disk_is_one_sentence() -> None:
    line = f"{sys.executable} -m voyager.cli.main completion bash > /dev/full"
    done = subprocess.run(["bash", "-c", line], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
