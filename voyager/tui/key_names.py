"""Names of keys: as a person writes and reads them, and which of them a terminal can send. No Textual at work here."""

import re
import unicodedata

from textual.keys import KEY_NAME_REPLACEMENTS

NAMED = ("up", "down", "left", "right", "home", "end", "pageup", "pagedown", "insert", "delete", "backspace", "enter",
         "escape", "tab", "space", *(f"f{number}" for number in range(1, 25)))  # fmt: skip
MOVING = frozenset(NAMED[:10]) | {f"f{number}" for number in range(1, 13) if number != 3}
"""Keys that terminals send with Shift, Ctrl and Alt; such an F3 looks like a report of the cursor's place."""
ALIASES = {
    "esc": "escape", "return": "enter", "del": "delete", "ins": "insert", "pgup": "pageup", "pgdn": "pagedown",
    "page_up": "pageup", "page_down": "pagedown", "bksp": "backspace", "control": "ctrl", "option": "alt",
}  # fmt: skip
SAME = {"ctrl+i": "Tab", "ctrl+m": "Enter", "ctrl+left_square_bracket": "Esc", "ctrl+h": "Backspace on some terminals",
        "alt+left_square_bracket": "the start of other keys", "alt+shift+o": "the start of other keys"}  # fmt: skip
CTRL_SIGNS = ("backslash", "right_square_bracket", "circumflex_accent", "underscore", "at")
READ = {"up": "↑", "down": "↓", "left": "←", "right": "→", "enter": "Enter", "escape": "Esc", "tab": "Tab",
        "pageup": "PgUp", "pagedown": "PgDn", "delete": "Del", "insert": "Ins", "backspace": "Bksp", "space": "Space",
        "home": "Home", "end": "End"}  # fmt: skip
ORDER = ("alt", "ctrl", "shift")
"""In this order Textual names the keys held."""


def sign_name(sign: str) -> str:
    """What Textual calls the key of one printable sign: ``question_mark``; letters and digits are their own names."""
    if sign.isalnum():
        return sign
    name = unicodedata.name(sign, "").lower().replace("-", "_").replace(" ", "_")
    return KEY_NAME_REPLACEMENTS.get(name, name)


SIGNS = {sign_name(chr(code)): chr(code) for code in range(0x21, 0x7F) if not chr(code).isalnum()}


def key_name(text: str) -> str:
    """The name of a key as written by a person. Raises ValueError with what is wrong, in a clause."""
    written = text.strip() or text
    if len(written) == 1:
        return "space" if written == " " else sign_name(written)
    *before, last = _parts(written)
    held = [ALIASES.get(one.lower(), one.lower()) for one in before]
    for one in held:
        if one not in ORDER:
            raise ValueError(_unheld(one, text))
    if len(last) == 1 and last.isupper() and held == ["alt"]:
        held.append("shift")
    base = _base(last.lower() if len(last) == 1 and held else last, text)
    name = "+".join([one for one in ORDER if one in held] + [base])
    if held:
        _sendable(name, set(held), base, text)
    return name


def _parts(written: str) -> list[str]:
    if re.fullmatch(r"\^.", written):
        return ["ctrl", written[1:].lower()]
    if written.endswith("+") and len(written) > 1:
        return [*written[:-1].rstrip("+").split("+"), "plus"]
    return re.split(r"\+|(?<=ctrl)-|(?<=alt)-|(?<=shift)-|(?<=Ctrl)-|(?<=Alt)-|(?<=Shift)-", written)


def _unheld(one: str, text: str) -> str:
    if one in {"super", "hyper", "meta", "cmd", "command", "win"}:
        return f'no terminal sends "{text}"; take ctrl or alt with a letter, or a function key'
    return f'there is no key "{text}"; keys are written like x, X, ?, f5, ctrl+x, alt+up or pagedown'


def _base(last: str, text: str) -> str:
    if len(last) == 1:
        return sign_name(last)
    low = ALIASES.get(last.lower(), last.lower())
    if low in NAMED or low in SIGNS:
        return low
    from difflib import get_close_matches

    near = get_close_matches(low, [*NAMED, *SIGNS, *ALIASES], 1)
    more = f"did you mean {near[0]}?" if near else "keys are written like x, X, ?, f5, ctrl+x, alt+up or pagedown"
    raise ValueError(f'there is no key "{text}"; {more}')


def _sendable(name: str, held: set[str], base: str, text: str) -> None:
    if name in SAME:
        raise ValueError(f'"{text}" can\'t be told from {SAME[name]}')
    if held == {"shift"} and len(base) == 1 and base.isalpha():
        raise ValueError(f'"{text}" is written as {base.upper()}')
    if base in MOVING or name == "shift+tab":
        return
    letter = len(base) == 1 and base.isascii() and base.isalpha()
    if held == {"ctrl"} and (letter or base in CTRL_SIGNS):
        return
    if (held == {"alt"} and len(base) == 1) or (held == {"alt", "shift"} and letter):
        return
    why = f'no terminal is sure to send "{text}"'
    near = f"ctrl+{base.lower()}" if letter and f"ctrl+{base.lower()}" not in SAME else ""
    raise ValueError(f"{why}; take {near or 'ctrl or alt with a letter, or a function key'}")


def key_words(key: str) -> str:
    """A key as a person reads it: ``^s``, ``?``, ``↑``, ``alt+↑``."""
    *held, base = key.split("+")
    shown = READ.get(base, SIGNS.get(base, base.upper() if re.fullmatch(r"f\d+", base) else base))
    if "ctrl" in held:
        held.remove("ctrl")
        shown = f"^{shown}"
    return "+".join([*held, shown])
