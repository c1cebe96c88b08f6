"""The user's key file: read whole; written only where there is none, whole or not at all."""

from pathlib import Path
from typing import Any

from voyager.errors import InputError
from voyager.files.atomic import write_first
from voyager.files.settings import read_settings, settings_path


def keys_path() -> Path:
    """``keys.toml`` beside the settings."""
    return settings_path().with_name("keys.toml")


def read_keys() -> dict[str, Any]:
    """What it holds, empty where there is none. Raises InputError, one sentence, where it can't be read."""
    return read_settings(keys_path())


def write_keys(text: str) -> Path:
    """Put a first key file in its place. Raises InputError, one sentence, where one is there or it can't be written."""
    path = keys_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        write_first(str(path), text.encode())
    except FileExistsError:
        raise InputError(f"{path} is there already and was left as it is") from None
    except OSError as error:
        raise InputError(f"{path} can't be written: {error.strerror or error}") from None
    return path
