"""A new voyage: its name, its two places and its file; the boat was picked before."""

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Input, Static

from voyager.session import recent
from voyager.session.sketch.begin import file_name
from voyager.tui.actions import bindings, key_of
from voyager.tui.screens.card import CardScreen

LINES = (
    ("name", "Name of the voyage", "such as Home by canal"),
    ("from", "From", "a place; its position can come later"),
    ("to", "To", "another place"),
    ("file", "File", "a name or path"),
)


class NewField(Input):
    """One line of it."""

    BINDINGS = bindings("new")

    def action_take(self) -> None:
        self._screen().take(self)

    def action_other(self, by: int) -> None:
        self._screen().other(self, by)

    def action_drop(self) -> None:
        self._screen().leave(None)

    def _screen(self) -> "NewScreen":
        screen = self.screen
        if not isinstance(screen, NewScreen):
            raise TypeError("a NewField lives on a NewScreen")
        return screen


class NewScreen(CardScreen[tuple[str, str, str, str]]):
    """Dismissed with name, start, end and the whole path of a file that is not there yet; or None."""

    def __init__(self, base: str, boat: str) -> None:
        super().__init__()
        self.base, self.boat = base, boat
        self.own_file = False

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -new"):
            yield Static(f"Boat: {recent.short(self.boat) if self.boat else 'none yet'}", markup=False)
            for name, label, hint in LINES:
                yield Static(label, classes="label")
                yield NewField("", compact=True, select_on_focus=False, placeholder=hint, id=f"new-{name}")
            yield Static("", markup=False, id="new-told")

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title = f"A new voyage: in {recent.short(self.base)}"
        card.border_subtitle = f"{key_of('new-take')} goes on, {key_of('new-drop')} leaves"
        self._propose()

    def _field(self, name: str) -> NewField:
        return self.query_one(f"#new-{name}", NewField)

    def _propose(self) -> None:
        """A file name out of the voyage's, until one is typed."""
        if not self.own_file:
            self._field("file").value = recent.proposed(f"{self.base}/{file_name(self._field('name').value)}")

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        self._tell("")
        if event.input.id == "new-name":
            self._propose()
        elif event.input.id == "new-file" and event.input.has_focus:
            self.own_file = True

    def _tell(self, why: str) -> None:
        self.query_one("#new-told", Static).update(f"✗ {why}" if why else "")

    def other(self, field: NewField, by: int) -> None:
        """Another line, round and round."""
        fields = list(self.query(NewField))
        self.set_focus(fields[(fields.index(field) + by) % len(fields)])

    def take(self, field: NewField) -> None:
        """On to the next line; from the last one, leave with all of them."""
        if field.id != "new-file":
            self.other(field, 1)
            return
        name, start, end, file = (self._field(key).value.strip() for key, _, _ in LINES)
        path = recent.whole(file, self.base)
        if not file or recent.is_folder(path):
            self._tell("the voyage needs a file name")
        elif start and start == end:
            self._tell("the two places need names of their own")
        else:
            path = path if "." in file.rpartition("/")[2] else path + recent.ENDING
            if recent.is_file(path):
                self._tell(f"{path} is there already; take another name")
            else:
                self.leave((name, start, end, path))
