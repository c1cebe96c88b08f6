"""Four lines on how to begin, at the foot of the first screen; any key or click takes them away and acts as well."""

from textual.content import Content
from textual.widgets import Static

from voyager.tui.actions import key_of


def lines() -> tuple[str, ...]:
    """The tour, with the user's own keys."""
    choices = " ".join(map(key_of, ("departs", "sky", "aim", "by", "comfort")))
    return (
        f"Type over any value of a leg, the plan follows; Tab: the days; {key_of('details')} reads on.",
        f"{choices} pick departure, sky, aim, by, comfort; {key_of('values')} all values; {key_of('undo')} takes back.",
        f"{key_of('morning')} this morning, {key_of('evening')} evening, {key_of('hours')} hours, {key_of('map')} map, "
        f"{key_of('sure')} how sure; {key_of('open')} opens, {key_of('save')} saves.",
        f"{key_of('help')} shows every key, {key_of('palette')} finds an action by its name, {key_of('quit')} leaves.",
    )


class Tour(Static):
    """The lines, each cut to the width there is by the terminal's own wrapping."""

    def __init__(self) -> None:
        super().__init__(Content("\n".join(lines())), markup=False)
        self.border_title = " To begin: any key goes on "
