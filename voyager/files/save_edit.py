"""Single edits of a TOML text by way of tomlrt: values, rows and tables changed where they stand."""

from collections.abc import Callable, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

from tomlrt import AoT, Array, Document, Table

from voyager.files.save_rows import frozen, origins, same

Data = Mapping[str, Any]
NAMED = "comfort"
INLINE_ROWS = ("place", "leg", "forecast")
TABLE_ROWS = ("array", "heater")
INDENT = 2


def edit_key(document: Document, key: str, before: Data, target: Data) -> None:
    """Bring ``key`` of the top table from its value in ``before`` to that in ``target``, or take it away."""
    if key not in target:
        _take_away(document, key)
    elif key not in before:
        _put_new(document, key, target[key], list(target))
    elif key == NAMED and isinstance(before[key], Mapping) and isinstance(target[key], Mapping):
        _edit_table(document[key], before[key], target[key], _step)
    else:
        _edit(document, key, before[key], target[key])
    if key == NAMED and isinstance(target.get(key), Mapping):
        _order(document[key], list(target[key]))


def _take_away(document: Document, key: str) -> None:
    """Without a key; what stands at the head of the file is about the file and stays."""
    first = next(iter(document)) == key
    head = () if document.preamble else document.leading_block.get(key, ())
    del document[key]
    rest = next(iter(document), None)
    if first and head and rest is not None and not isinstance(document[rest], AoT | Table):
        document.leading_block[rest] = (*head, *document.leading_block.get(rest, ()))


def put_key(document: Document, key: str, before: Data, target: Data) -> None:
    """As ``edit_key``, but written anew, whatever the text had there."""
    if key in before:
        del document[key]
    if key in target:
        _put_new(document, key, target[key], list(target))


def _edit(table: Table | Document, key: str, old: Any, new: Any) -> None:
    """Change one value within a table."""
    if isinstance(old, Mapping) and isinstance(new, Mapping):
        _edit_table(table[key], old, new)
    elif _are_rows(old) and _are_rows(new):
        _edit_rows(table[key], old, new)
    elif isinstance(old, list) and isinstance(new, list) and old and new and not _are_rows(old):
        _edit_list(table[key], old, new)
    else:
        table[key] = new


def _are_rows(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, Mapping) for item in value)


def _edit_table(table: Table | Document, old: Data, new: Data, made: Callable[[Any], Any] | None = None) -> None:
    for key in old:
        if key not in new:
            del table[key]
    for key, value in new.items():
        if key not in old:
            table[key] = (made or _nested)(value)
        elif not same(old[key], value):
            _edit(table, key, old[key], value)


def _step(value: Any) -> Any:
    """A step of the comfort ladder is a section: on one line it would stand before all that are."""
    return Table.section({key: _nested(item) for key, item in value.items()}) if isinstance(value, Mapping) else value


def _nested(value: Any) -> Any:
    """A table within a table stands on one line."""
    return Table.inline(value) if isinstance(value, Mapping) else value


def _edit_rows(rows: Any, old: Sequence[Data], new: Sequence[Data]) -> None:
    """Take away, reorder, add, then change within; a row's comments go with it."""
    origin = origins(old, new)
    held = list(rows)
    rank = {id(held[was]): place for place, was in enumerate(origin) if was is not None}
    for number in reversed(range(len(held))):
        if number not in set(origin):
            del rows[number]
    kept = [was for was in origin if was is not None]
    if kept != sorted(kept):
        rows.sort(key=lambda row: rank[id(row)])
    for place, was in enumerate(origin):
        if was is None:
            rows.insert(place, {key: _nested(value) for key, value in new[place].items()})
        elif not same(old[was], new[place]):
            _edit_table(rows[place], old[was], new[place])


def _edit_list(items: Array, old: Sequence[Any], new: Sequence[Any]) -> None:
    """Numbers, texts and points: what is equal in order stays as it is written."""
    changes = SequenceMatcher(None, list(map(frozen, old)), list(map(frozen, new)), autojunk=False).get_opcodes()
    for kind, first, last, begin, end in reversed(changes):
        if kind == "equal":
            continue
        both = min(last - first, end - begin)
        for step in reversed(range(both, last - first)):
            del items[first + step]
        for step in range(both):
            _edit_item(items, first + step, old[first + step], new[begin + step])
        for step in range(both, end - begin):
            items.insert(first + step, new[begin + step])


def _edit_item(items: Array, number: int, old: Any, new: Any) -> None:
    if isinstance(old, list) and isinstance(new, list) and len(old) == len(new):
        for inner, (was, value) in enumerate(zip(old, new, strict=True)):
            if not same(was, value):
                _edit_item(items[number], inner, was, value)
    else:
        items[number] = new


def _put_new(document: Document, key: str, value: Any, order: Sequence[str]) -> None:
    """A key that the top table did not have, in the style of the file."""
    if _are_rows(value):
        document[key] = _new_rows(document, key, value)
    elif isinstance(value, Mapping):
        inner = _step if key == NAMED else _nested
        document[key] = Table.section({name: inner(item) for name, item in value.items()})
    else:
        document[key] = value
        _lift(document, key)


def _new_rows(document: Document, key: str, rows: Sequence[Data]) -> Any:
    others = [value for name, value in document.items() if name in (*INLINE_ROWS, *TABLE_ROWS) and name != key]
    tables = isinstance(others[0], AoT) if others else key in TABLE_ROWS
    bodies = [{name: _nested(item) for name, item in row.items()} for row in rows]
    if tables:
        return AoT(bodies)
    made = Array(bodies)
    made.set_multiline(multiline=True, indent=INDENT)
    return made


def _lift(document: Document, key: str) -> None:
    """A new single value belongs above the long rows, behind the last single value."""
    names = [name for name in document if name != key]
    rows = next((name for name in names if isinstance(document[name], Array) and _are_rows(list(document[name]))), None)
    if rows is None:
        return
    lead = document.leading_block.get(rows)
    names.insert(names.index(rows), key)
    _order(document, names)
    if lead and document.leading_block.get(key) == lead:
        del document.leading_block[key]
        document.leading_block[rows] = lead


def _order(table: Table | Document, names: Sequence[str]) -> None:
    if list(table) != list(names):
        rank = {name: place for place, name in enumerate(names)}
        table.sort(key=lambda name: rank[name])
