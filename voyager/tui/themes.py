"""Our colours, dark and light, and which of them to start with."""

import os
from collections.abc import Mapping

from textual.theme import Theme

from voyager.errors import InputError

SETTING = "VOYAGER_LOOK"
LOOKS = {"dark": "voyager-dark", "light": "voyager-light", "16-dark": "ansi-dark", "16-light": "ansi-light"}
LIGHT_FROM = 0.5

DARK = Theme(
    name="voyager-dark", dark=True, background="#0f181c", surface="#0f181c", panel="#1d2c33", boost="#263a43",
    foreground="#d9e4e3", primary="#6fbfae", secondary="#86b3d1", accent="#ecc25c", warning="#eea24a",
    error="#f0786a", success="#8cc873",
    variables={
        "block-cursor-background": "#ecc25c", "block-cursor-foreground": "#14100a",
        "block-cursor-blurred-background": "#33454d", "footer-key-foreground": "#ecc25c",
        "footer-background": "#1d2c33", "border": "#6fbfae", "border-blurred": "#3a525b",
        "scrollbar": "#3a525b", "scrollbar-background": "#16232a",
    },
)  # fmt: skip
LIGHT = Theme(
    name="voyager-light", dark=False, background="#f7f4ea", surface="#f7f4ea", panel="#e8e2d0", boost="#dcd5c0",
    foreground="#22302f", primary="#1c6b60", secondary="#2b5a7a", accent="#8a5a00", warning="#9a4d00",
    error="#b02a22", success="#33701f",
    variables={
        "block-cursor-background": "#f2cf7d", "block-cursor-foreground": "#1c1605",
        "block-cursor-blurred-background": "#d2cbb5", "footer-key-foreground": "#8a5a00",
        "footer-background": "#e8e2d0", "border": "#1c6b60", "border-blurred": "#b9b196",
        "scrollbar": "#b9b196", "scrollbar-background": "#ece6d6",
    },
)  # fmt: skip
OURS = {theme.name: theme for theme in (DARK, LIGHT)}


def preferred(look: str | None, environ: Mapping[str, str]) -> Mapping[str, str]:
    """The environment with the look of the settings, where that is known and the environment asks for none.

    A terminal of few colours gets the like of it in 16.
    """
    if look not in LOOKS or environ.get(SETTING) or environ.get("NO_COLOR") is not None:
        return environ
    plain = str(look).removeprefix("16-")
    return {**environ, SETTING: f"16-{plain}" if few_colours(environ) else str(look)}


def theme_name(lightness: float | None, environ: Mapping[str, str]) -> str:
    """The theme to start with: the setting, else few or no colours where asked or so limited, else the background."""
    asked = environ.get(SETTING, "")
    if asked and asked not in LOOKS:
        raise InputError(f"{SETTING}={asked}: there is no such look; use {', '.join(LOOKS)}, or leave it unset")
    if asked:
        return LOOKS[asked]
    light = lightness is not None and lightness >= LIGHT_FROM
    return LOOKS[("16-" if few_colours(environ) else "") + ("light" if light else "dark")]


def few_colours(environ: Mapping[str, str]) -> bool:
    """Whether the terminal has 16 colours only, or none are wanted."""
    if environ.get("NO_COLOR") is not None:
        return True
    term, depth = environ.get("TERM", ""), environ.get("COLORTERM", "").lower()
    rich = depth in {"truecolor", "24bit"} or "256color" in term or "direct" in term
    return not rich and (os.name != "nt") and term in {"linux", "xterm", "ansi", "xterm-16color", "vt220", "screen"}


def next_look(name: str) -> str:
    """The theme after this one, round and round."""
    names = list(LOOKS.values())
    return names[(names.index(name) + 1) % len(names)] if name in names else names[0]
