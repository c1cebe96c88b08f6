"""The user's own keys, by action. Light: read before the first paint."""

from typing import Any

from voyager.errors import InputError


def load_keys() -> tuple[dict[str, Any], str, str | None]:
    """What the key file says, the file's name, and one sentence where it can't be read (nothing is said then)."""
    from voyager.files.keys_file import keys_path, read_keys

    try:
        return read_keys(), str(keys_path()), None
    except InputError as error:
        return {}, str(keys_path()), f"{error}."


def begin_keys(text: str) -> str:
    """Write a first key file; its path. Raises InputError where there is one already or it can't be written."""
    from voyager.files.keys_file import write_keys

    return str(write_keys(text))
