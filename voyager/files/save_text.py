"""A TOML text with other values in it: comments, order and the writer's own layout stay."""

import tomllib
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

import tomli
import tomlrt

from voyager.files.lines import comments
from voyager.files.save_dates import dated
from voyager.files.save_edit import edit_key, put_key
from voyager.files.save_rows import same

Data = Mapping[str, Any]
LADDER = "comfort"
MOST_TOLD = 3


def rewritten(text: str, data: Data) -> tuple[str, tuple[str, ...]]:
    """The text that reads as ``data``, and notes on comments that are no longer in it.

    ``text`` with line feeds and no mark of byte order, empty for a new file. Each key is changed in the text and the
    outcome read back; where that is not what was meant, the key is written anew. Raises ValueError where even that
    can't be (a value that TOML has no form for).
    """
    before = tomli.loads(text)
    wanted = dated(data, before)
    made, notes, now = text, list[str](), dict(before)
    for key in [*(key for key in before if key not in wanted), *wanted]:
        if key in now and key in wanted and _alike(key, now[key], wanted[key]):
            continue
        target = {**now, key: wanted[key]} if key in wanted else {name: now[name] for name in now if name != key}
        made, safe = _changed(made, key, now, target)
        if not safe:
            notes.append(f"comments within {key} could not all be kept")
        now = target
    if text and not text.endswith("\n\n"):
        made = made.rstrip("\n") + "\n"
    if not _reads_as(made, wanted, text):
        raise ValueError("the text does not read back as the data")
    return made, (*notes, *_gone(text, made))


def reads_the_same(before: Data, data: Data) -> bool:
    """Whether a file that says ``before`` need not be written for ``data``."""
    wanted = dated(data, before)
    return same(before, wanted) and all(_alike(key, before[key], wanted[key]) for key in before)


def _alike(key: str, a: object, b: object) -> bool:
    """The order of the comfort ladder is a value too."""
    return same(a, b) and (key != LADDER or _steps(a) == _steps(b))


def _steps(ladder: object) -> list[str]:
    return [name for name, step in ladder.items() if isinstance(step, Mapping)] if isinstance(ladder, Mapping) else []


def _changed(text: str, key: str, before: Data, target: Data) -> tuple[str, bool]:
    """The text with one key changed, and whether that was done within the text."""
    made = _tried(edit_key, text, key, before, target)
    if made is not None:
        return made, True
    made = _tried(put_key, text, key, before, target)
    if made is None:
        raise ValueError(f"{key} can't be written")
    return made, False


def _tried(
    edit: Callable[[tomlrt.Document, str, Data, Data], None], text: str, key: str, before: Data, target: Data
) -> str | None:
    try:
        document = tomlrt.loads(text)
        edit(document, key, before, target)
        made = document.render()
    except Exception:  # the library is young: whatever it trips over, the key is written another way
        return None
    return made if _reads_as(made, target, text) else None


def _reads_as(made: str, wanted: Data, text: str) -> bool:
    """Whether the new text gives the data, and is no newer TOML than the old one was."""
    try:
        read = tomli.loads(made)
    except ValueError:
        return False
    ladder = [key for key in (LADDER,) if key in wanted]
    return same(read, wanted) and all(_alike(key, read[key], wanted[key]) for key in ladder) and not newer(made, text)


def newer(made: str, text: str) -> bool:
    """Whether a new text needs a newer TOML than the one before."""
    return _plain(text) and not _plain(made)


def _plain(text: str) -> bool:
    """Whether it is TOML 1.0."""
    try:
        tomllib.loads(text)
    except ValueError:
        return False
    return True


def _gone(old: str, new: str) -> tuple[str, ...]:
    gone = list((Counter(comments(old)) - Counter(comments(new))).elements())
    if not gone:
        return ()
    shown = "; ".join(gone[:MOST_TOLD]) + ("; …" if len(gone) > MOST_TOLD else "")
    return (f"no longer in the file, with what they stood by: {shown}",)
