"""Completion scripts: the shells accept them, and bash completes commands, options and choices with ours."""

import shutil
import subprocess

import pytest

from voyager.cli.completion import SHELLS, script
from voyager.cli.parser import COMMANDS


@pytest.mark.parametrize("shell", SHELLS)
def test_the_script_names_every_command(shell: str) -> None:
    text = script(shell)
    assert all(name in text for name in COMMANDS)
    assert "fewest-shore" in text


@pytest.mark.parametrize("shell", SHELLS)
def test_the_shell_accepts_its_script(shell: str) -> None:
    if not shutil.which(shell):
        pytest.skip(f"{shell} is not installed")
    done = subprocess.run([shell, "-n"], input=script(shell), capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


def completed(line: str) -> list[str]:
    """What bash offers for the last word of ``line``."""
    words = line.split(" ")
    ask = f'COMP_WORDS=({" ".join(words[:-1])} "{words[-1]}"); COMP_CWORD={len(words) - 1}; COMP_LINE="{line}"'
    text = f"{script('bash')}\n{ask}\n_shtab_voyager\nprintf '%s\\n' \"${{COMPREPLY[@]}}\"\n"
    done = subprocess.run(["bash"], input=text, capture_output=True, text=True, check=True)
    return done.stdout.split()


def test_bash_completes() -> None:
    assert completed("voyager pl") == ["plan"]
    assert completed("voyager plan --mem") == ["--members"]
    assert completed("voyager plan --ca") == ["--card"]
    assert completed("voyager plan --fr") == ["--from"]
    assert completed("voyager plan --ev") == ["--every"]
    assert completed("voyager plan --aim fe") == ["fewest-shore"]
    assert completed("voyager fit mo") == ["model"]
    assert completed("voyager fit model --water s") == ["salt"]
