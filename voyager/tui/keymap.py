"""The user's key file held against the list of actions: what of it is sound, and one sentence for each fault."""

from collections.abc import Iterator, Mapping
from difflib import get_close_matches

from voyager.tui.actions import ACTIONS, SCOPES, UNBOUND, Action
from voyager.tui.key_names import key_name, key_words

Keys = dict[str, tuple[str, ...]]
ON_GRIDS = frozenset({"legs", "leg", "places"})
ALONE = frozenset({"pick", "date", "split", "draw", "files", "new", "read", "help"})
"""Laid over the screen: the keys below are not heard."""
BY_ID = {action.id: action for action in ACTIONS}
USUAL: Keys = {action.id: tuple(filter(None, action.keys.split(","))) for action in ACTIONS}
OUT = frozenset({"quit", "interrupt"})


def heard(scope: str) -> tuple[str, ...]:
    """The scopes whose keys are heard together with those of a scope, itself first."""
    if scope in ALONE or scope == "app":
        return (scope,)
    return (scope, "grid", "app") if scope in ON_GRIDS else (scope, "app")


def checked(found: Mapping[str, object]) -> tuple[Keys, list[str]]:
    """Keys by action, () for none, of the lines that are sound; a sentence for each line that is not used."""
    own: Keys = {}
    faults = []
    for ident, value in found.items():
        try:
            own[ident] = _line(ident, value)
        except ValueError as error:
            faults.append(f"{ident}: {error}.")
    while (fault := _clash(own) or _locked(own)) is not None:
        ident, why = fault
        del own[ident]
        faults.append(f"{ident}: {why}.")
    return own, faults


def _line(ident: str, value: object) -> tuple[str, ...]:
    if ident not in BY_ID:
        near = get_close_matches(ident, BY_ID, 1)
        raise ValueError(f"there is no such action{f'; {near[0]} may be meant' if near else ''}")
    written = [value] if isinstance(value, str) else value
    if not isinstance(written, list) or not all(isinstance(one, str) for one in written):
        raise ValueError('keys are a text such as "ctrl+x", or a list of such texts')
    return tuple(dict.fromkeys(key_name(one) for one in written if one))


def _clash(own: Keys) -> tuple[str, str] | None:
    """The last line of the file that gives a key to one action where another is heard with the same key."""
    found = {ident: why for scope in reversed(SCOPES) for ident, why in _clashes(own, heard(scope))}
    return next(((ident, found[ident]) for ident in reversed(own) if ident in found), None)


def _clashes(own: Keys, scopes: tuple[str, ...]) -> Iterator[tuple[str, str]]:
    holders: dict[str, list[Action]] = {}
    for action in ACTIONS:
        if action.scope in scopes:
            for key in own.get(action.id, USUAL[action.id]):
                holders.setdefault(key, []).append(action)
    for key, actions in holders.items():
        for one in actions:
            others = [other for other in actions if other is not one and not _usual(key, one, other)]
            if one.id in own and others:
                other = others[-1]
                what = f"{key_words(key)} is that of {other.id} ({other.help.lower()})"
                yield one.id, f"{what} {SCOPES[other.scope].lower()}; give that another key, or this"


def _usual(key: str, one: Action, other: Action) -> bool:
    """Whether the one is meant to be heard in the place of the other with this key."""
    return one.scope != other.scope and key in USUAL[one.id] and key in USUAL[other.id]


def _locked(own: Keys) -> tuple[str, str] | None:
    """The last line that would leave no key for a way out."""
    if all(not own.get(ident, USUAL[ident]) for ident in OUT):
        return next(ident for ident in reversed(own) if ident in OUT), "there must be a key to leave by"
    ways = [ident for ident in reversed(own) if ident.endswith(("-close", "-drop")) and not own[ident]]
    return (ways[0], "there must be a key to leave by") if ways else None


def keymap(own: Keys) -> dict[str, str]:
    """As Textual takes it; an action without a key gets one that nothing sends, for ``""`` would not unbind."""
    return {ident: ",".join(keys) or UNBOUND + ident for ident, keys in own.items()}


def template() -> str:
    """A key file to edit: every action with its usual keys, all of it commented out."""
    lines = [
        "# Keys of voyager, one line an action: take the # away and name another key.",
        '# save = "ctrl+s"   one key      undo = ["u", "ctrl+z"]   several      by = ""   none',
        "# Keys are written like x, X, ?, f5, ctrl+x, alt+up, pagedown. They hold from the next start on.",
    ]
    for scope, where in SCOPES.items():
        lines += ["", f"# {where}"]
        lines += [_template_line(action) for action in ACTIONS if action.scope == scope]
    return "\n".join(lines) + "\n"


def _template_line(action: Action) -> str:
    keys = [f'"{key}"' for key in USUAL[action.id]]
    value = keys[0] if len(keys) == 1 else f"[{', '.join(keys)}]"
    return f"# {f'{action.id} = {value}':<36} # {action.help}"
