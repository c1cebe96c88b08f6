"""Fitted values into a boat file: comments and order stay, every new value says when and by what it was measured."""

import os
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field, replace
from difflib import unified_diff
from typing import Any

import tomli

from voyager.errors import NotSaved, Problems
from voyager.files.atomic import locked, sweep, write_atomically
from voyager.files.examine import read_boat
from voyager.files.into_place import ERRORS, named, place_of
from voyager.files.into_remarks import remarked
from voyager.files.lines import Path, value_at
from voyager.files.printable import printable
from voyager.files.save_rows import same
from voyager.files.save_text import rewritten
from voyager.files.shipped import shipped
from voyager.files.sketch_read import Source, read_source, writable
from voyager.files.toml import parse_toml


@dataclass(frozen=True)
class Proposed:
    """A boat file with other values in it, not yet written.

    ``digest`` of what the file held when it was read; ``content`` what it is to hold; ``difference``: lines of a
    unified difference; ``notes``: sentences on comments that could not stay; ``puts``: values by path, None takes one
    away; ``told``: the remarks among those given that a line gets.
    """

    path: str
    digest: str
    content: bytes
    difference: tuple[str, ...]
    notes: tuple[str, ...]
    puts: tuple[tuple[Path, Any], ...] = ()
    told: Mapping[str, str] = field(default_factory=dict)


def propose(
    path: str,
    values: Mapping[str, Any],
    errors: Mapping[str, float | None],
    remarks: Mapping[str, str],
    held: Mapping[str, Any] | None = None,
) -> Proposed:
    """The boat file at ``path`` with ``values`` by dotted path in it (None takes a key away; arrays by their name).

    ``errors``: standard errors for ``[standard_error]``, None takes one away; ``remarks``: comments by dotted path,
    those of the errors' own lines under ``standard_error.PATH``; a value without an error that the file has already was
    only taken for granted, and gets none. ``held``: the boat as it is being edited, in the place of what the file says;
    the file need then be neither sound nor writable. Raises Problems where the boat is not sound, InputError where it
    has no such array, NotSaved where the file may not be written; nothing is written.
    """
    source = _sound(path) if held is None else _edited(path, held)
    data = deepcopy(source.data)
    places = {key: place_of(data, key, path) for key in values}
    for key, value in values.items():
        _put(data, places[key], value)
    for key, error in errors.items():
        _put(data, (ERRORS, key), error)
    text, notes = _text(source, data)
    puts = [(places[key], value) for key, value in values.items()]
    puts += [((ERRORS, key), error) for key, error in errors.items()]
    places |= {f"{ERRORS}.{key}": (ERRORS, key) for key in errors}
    measured = {name for key, error in errors.items() if error is not None for name in (key, f"{ERRORS}.{key}")}
    told = {
        key: remark
        for key, remark in remarks.items()
        if key in places and (key in measured or value_at(data, places[key]) != value_at(source.data, places[key]))
    }
    text, failed = remarked(text, {places[key]: remark for key, remark in told.items()}, source.data)
    notes = (*notes, *(f"{named(data, at)} takes no comment where it stands" for at in failed))
    _check(source, text, data)
    content = source.bytes_of(text)
    return Proposed(path, source.digest or "", content, _difference(source, text), notes, tuple(puts), told)


def write(proposed: Proposed, force: bool = False) -> str:
    """Write it, whole or not at all; the path. ``force``: over what was changed since. Raises NotSaved."""
    path = proposed.path
    try:
        with locked(path):
            sweep(path)
            digest = read_source(path).digest
            if digest != proposed.digest and not force:
                what = "was taken away" if digest is None else "was changed by another program"
                raise NotSaved(f"{printable(path)} {what} meanwhile; nothing was written, ask again", "changed-outside")
            _refuse(path)
            write_atomically(path, proposed.content)
    except (OSError, TimeoutError) as error:
        why = getattr(error, "strerror", None) or error
        raise NotSaved(f"{printable(path)} could not be written: {why}; nothing was written", "failed") from None
    return path


def _sound(path: str) -> Source:
    source = read_source(path)
    if source.problems:
        raise source.problems
    _, faults = read_boat(parse_toml(source.text, path))
    if faults.problems:
        raise Problems(faults.in_order())
    _refuse(path)
    return source


def _edited(path: str, held: Mapping[str, Any]) -> Source:
    """The file as it would be written now; a file that can't be read is begun anew."""
    source = read_source(path)
    text = rewritten(source.text, held)[0]
    return replace(source, text=text, data=dict(held), problems=None)


def _refuse(path: str) -> None:
    name = printable(path)
    if shipped(path):
        raise NotSaved(f"{name} comes with voyager and stays as it is; copy it and name the copy", "read-only")
    if not writable(path):
        raise NotSaved(f"{name} is read-only, or its folder is; copy it and name the copy", "read-only")


def _put(data: dict[str, Any], at: Path, value: Any) -> None:
    *way, last = at
    table: Any = data
    for part in way:
        if isinstance(part, str) and part not in table:
            if value is None:
                return
            table[part] = {}
        table = table[part]
    if value is None:
        table.pop(last, None)
        if not table and at[0] == ERRORS:
            del data[ERRORS]
    else:
        table[last] = value


def _text(source: Source, data: Mapping[str, Any]) -> tuple[str, tuple[str, ...]]:
    try:
        return rewritten(source.text, data)
    except ValueError as error:
        name = printable(source.path)
        raise NotSaved(f"{name} could not be edited: {error}; nothing was written", "failed") from None


def _check(source: Source, text: str, data: Mapping[str, Any]) -> None:
    """The new text must say what was meant, and be a sound boat. Raises NotSaved, Problems."""
    if not same(tomli.loads(text), data):
        name = printable(source.path)
        raise NotSaved(f"{name} could not be edited without harm; nothing was written", "failed")
    _, faults = read_boat(parse_toml(text, f"{source.path} with these values"))
    if faults.problems:
        raise Problems(faults.in_order())


def _difference(source: Source, text: str) -> tuple[str, ...]:
    name = os.path.basename(source.path)
    lines = unified_diff(source.text.splitlines(), text.splitlines(), name, f"{name} with the fit", lineterm="", n=1)
    return tuple(printable(line) for line in lines)
