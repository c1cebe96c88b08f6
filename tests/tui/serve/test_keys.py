"""No action hangs on a key that browsers keep for themselves (common practice of browsers, no source)."""

from voyager.tui.actions import ACTIONS

KEPT = {"ctrl+n", "ctrl+t", "ctrl+w", "ctrl+shift+n", "ctrl+shift+t", "ctrl+shift+w", "ctrl+tab", "ctrl+shift+tab",
        "ctrl+pageup", "ctrl+pagedown", "alt+f4", "f11"}  # fmt: skip


def test_every_action_has_a_key_that_a_browser_lets_through() -> None:
    for action in ACTIONS:
        keys = {key.strip() for key in action.keys.split(",")}
        assert keys - KEPT, f"{action.id} can't be reached in a browser"
