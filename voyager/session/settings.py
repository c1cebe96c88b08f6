"""The user's own settings: how the screens look, units, voyages opened of late. Light: read before the first paint."""

from typing import Any, Final

from voyager.errors import InputError

KINDS: Final[dict[str, tuple[type, str]]] = {
    "units": (dict, 'a table such as { speed = "kn", length = "NM", temperature = "°C" }'),
    "look": (str, 'a text such as "dark"'),
    "ascii": (bool, "true or false"),
    "toured": (bool, "true or false"),
    "recent": (list, "a list of files"),
}
MOST_RECENT: Final = 10


def defaults() -> dict[str, Any]:
    """What holds where nothing is set."""
    return {"units": {}, "look": None, "ascii": False, "toured": False, "recent": []}


def load() -> dict[str, Any]:
    """Every known setting: ``units`` {speed, length, temperature}, ``look``, ``ascii``, ``toured``, ``recent`` [files].

    ``trouble`` is None, or one sentence on what in the file could not be used; the defaults hold there.
    """
    from voyager.files.settings import read_settings, settings_path

    path, trouble = settings_path(), None
    try:
        found = read_settings(path)
    except InputError as error:
        return {**defaults(), "trouble": f"Settings: {error}. The defaults hold."}
    good = {key: found[key] for key in KINDS if key in found and _fits(key, found[key])}
    bad = [f"{key} must be {KINDS[key][1]}" for key in KINDS if key in found and key not in good]
    if bad:
        trouble = f"Settings: {path}: {'; '.join(bad)}. The default holds."
    return {**defaults(), **good, "trouble": trouble}


def store(**changes: Any) -> str | None:
    """Keep some settings, None takes one away; unknown keys and comments of the file stay.

    None when they are kept, else one sentence why not; a broken file is left as it is. Raises KeyError for a setting
    that there is not and ValueError for a value that is not of its kind.
    """
    from voyager.files.settings import settings_path, write_settings

    for key, value in changes.items():
        if value is not None and not _fits(key, value):
            raise ValueError(f"{key} must be {KINDS[key][1]}")
    try:
        write_settings(settings_path(), changes)
    except InputError as error:
        return f"Not kept: {error}."
    return None


def remember(path: str) -> str | None:
    """Put a voyage file first among the recent ones; as ``store``."""
    import os

    whole = os.path.abspath(path)
    return store(recent=[whole, *(one for one in load()["recent"] if one != whole)][:MOST_RECENT])


def _fits(key: str, value: object) -> bool:
    texts = value if isinstance(value, list) else value.values() if isinstance(value, dict) else ()
    return isinstance(value, KINDS[key][0]) and all(isinstance(one, str) for one in texts)
