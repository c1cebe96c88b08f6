"""The user's own settings: a small TOML file in the folder for them, written whole or not at all."""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from voyager.errors import InputError
from voyager.files.atomic import locked, write_atomically

LARGEST_BYTES = 1_000_000


def settings_path() -> Path:
    """``$XDG_CONFIG_HOME/voyager/settings.toml``, else under ``~/.config``."""
    home = os.environ.get("XDG_CONFIG_HOME") or os.path.join(os.path.expanduser("~"), ".config")
    return Path(home) / "voyager" / "settings.toml"


def read_settings(path: Path) -> dict[str, Any]:
    """What the file holds, empty where there is none. Raises InputError, one sentence, where it can't be read."""
    import tomli

    try:
        return tomli.loads(_text(path))
    except tomli.TOMLDecodeError as error:
        raise InputError(f"{path} is not TOML ({error}); mend it or take it away") from None


def write_settings(path: Path, changes: Mapping[str, object]) -> None:
    """Put some keys, or take them away where None; other keys, comments and order stay.

    Raises InputError, one sentence, where the file is broken (it is left as it is) or can't be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with locked(str(path)):
            write_atomically(str(path), _text_with(path, changes).encode())
    except OSError as error:
        raise InputError(f"{path} can't be written: {error.strerror or error}") from None


def _text_with(path: Path, changes: Mapping[str, object]) -> str:
    """The file's text with the changes, read again to be sure that it holds them and all else."""
    intended = {key: value for key, value in {**read_settings(path), **changes}.items() if value is not None}
    text = _changed(_text(path), changes)
    if _parsed(text) != intended:
        raise InputError(f"{path} is laid out in a way that can't be changed safely; the settings are as before")
    return text


def _text(path: Path) -> str:
    try:
        with open(path, "rb") as file:
            content = file.read(LARGEST_BYTES + 1)
        if len(content) > LARGEST_BYTES:
            raise InputError(f"{path} is too long to be a settings file; take it away")
        return content.decode("utf-8-sig")
    except FileNotFoundError:
        return ""
    except UnicodeDecodeError:
        raise InputError(f"{path} is not UTF-8; mend it or take it away") from None
    except OSError as error:
        raise InputError(f"{path} can't be read: {error.strerror or error}") from None


def _changed(text: str, changes: Mapping[str, object]) -> str:
    import tomlrt

    try:
        document = tomlrt.loads(text)
    except tomlrt.TOMLError:
        return ""
    for key, value in changes.items():
        if value is None:
            document.pop(key, None)
        else:
            document[key] = value
    return tomlrt.dumps(document)


def _parsed(text: str) -> dict[str, Any] | None:
    import tomli

    try:
        return tomli.loads(text)
    except tomli.TOMLDecodeError:
        return None
