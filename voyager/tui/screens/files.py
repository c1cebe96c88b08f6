"""A file chosen by typing its path, with what fits listed below: opened, or written under a name."""

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from voyager.errors import InputError
from voyager.session import recent
from voyager.session.recent import Found
from voyager.tui.actions import bindings, key_of
from voyager.tui.screens.card import CardScreen
from voyager.tui.widgets.options import Options
from voyager.tui.words import cut

ROOM = 72
NOTE = 28


class FileField(Input):
    """The path as it is typed; the arrows go through the list below."""

    BINDINGS = bindings("files")

    def action_take(self) -> None:
        self._screen().take()

    def action_complete(self) -> None:
        self._screen().complete()

    def action_go(self, by: int) -> None:
        self._screen().go(by)

    def action_drop(self) -> None:
        self._screen().leave(None)

    def _screen(self) -> "FileScreen":
        screen = self.screen
        if not isinstance(screen, FileScreen):
            raise TypeError("a FileField lives on a FileScreen")
        return screen


class FileScreen(CardScreen[str]):
    """Dismissed with a whole path, or None. ``base``: the folder in which what is typed is looked for."""

    kind = "voyage"

    def __init__(self, title: str, base: str, value: str = "", late: Sequence[str] = (), told: str = "") -> None:
        super().__init__()
        self.heading, self.base, self.value, self.late, self.told = title, base, value, late, told
        self.rows: list[Found] = []

    def compose(self) -> ComposeResult:
        with Vertical(classes="card -files"):
            yield FileField(self.value, compact=True, select_on_focus=False, placeholder=self.hint())
            yield Static("", markup=False, id="files-told")
            yield FileList(id="files-list")

    def hint(self) -> str:
        """What stands in the field while it is empty."""
        return "a path, or the beginning of a name"

    def on_mount(self) -> None:
        card = self.query_one(".card")
        card.border_title = f"{self.heading}: in {recent.short(self.base)}"
        card.border_subtitle = (
            f"{key_of('files-take')} takes, {key_of('files-complete')} completes, {key_of('files-drop')} leaves"
        )
        self.look()
        self.tell(self.told, wrong=False)

    @property
    def field(self) -> FileField:
        """The field."""
        return self.query_one(FileField)

    @property
    def list(self) -> "FileList":
        """The list."""
        return self.query_one(FileList)

    def tell(self, text: str, wrong: bool = True) -> None:
        """A sentence between field and list."""
        label = self.query_one("#files-told", Static)
        label.update(f"✗ {text}" if text and wrong else text)
        label.set_class(bool(text) and wrong, "-wrong")

    def look(self) -> None:
        """List what fits the path as it stands."""
        try:
            self.rows = recent.found(self.field.value, self.base, self.kind, self.late)
        except InputError as error:
            self.rows = []
            self.tell(str(error))
        self.list.fill(self.rows)
        self.list.highlighted = self.first() if self.rows else None

    def first(self) -> int | None:
        """The row that stands out when the list is new."""
        return 0

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if event.value != self.value:
            self.value = event.value
            self.tell("")
            self.look()

    def put(self, text: str) -> None:
        """Another path into the field, and what fits it into the list."""
        self.value = self.field.value = text
        self.field.cursor_position = len(text)
        self.tell("")
        self.look()

    def complete(self) -> None:
        """As far as all that fits agrees; the row that stands out where nothing more does."""
        text, row = recent.completed(self.field.value, self.rows), self.row()
        if text != self.field.value:
            self.put(text)
        elif row is not None:
            self.put(row.typed)

    def row(self) -> Found | None:
        """The row that stands out."""
        at = self.list.highlighted
        return self.rows[at] if at is not None and at < len(self.rows) else None

    def go(self, by: int) -> None:
        """Another row."""
        if self.rows:
            at = self.list.highlighted
            self.list.highlighted = max(0, min(len(self.rows) - 1, (0 if by > 0 else -1) if at is None else at + by))

    def take(self) -> None:
        """The file that was typed, else the row that stands out."""
        text, row = self.field.value.strip(), self.row()
        path = recent.whole(text, self.base)
        if text and recent.is_file(path):
            self.chosen(path)
        elif row is not None:
            self.take_row(row)
        elif text and recent.is_folder(path):
            self.put(f"{text.rstrip('/')}/")
        else:
            self.missing(text, path)

    def take_row(self, row: Found) -> None:
        """Go into a folder, take a file."""
        if row.folder:
            self.put(row.typed)
        else:
            self.chosen(row.path)

    def missing(self, text: str, path: str) -> None:
        """What was typed is not there."""
        self.tell(f"there is no {path}" if text else "type a path, or go down to one")

    def chosen(self, path: str) -> None:
        """Leave with a file, or stay with the reason why not."""
        why = recent.fault(path, self.kind)
        if why is None:
            self.leave(path)
        else:
            self.tell(f"{why}.")

    @on(OptionList.OptionSelected)
    def _clicked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.take_row(self.rows[event.option_index])
        self.set_focus(self.field)


class OpenBoatScreen(FileScreen):
    """A boat file."""

    kind = "boat"


class WriteScreen(FileScreen):
    """A name to write under, whatever is there or not; ``ending`` is put to a name that has none."""

    kind = "any"

    def __init__(self, title: str, base: str, value: str, ending: str, told: str = "") -> None:
        super().__init__(title, base, value, (), told)
        self.ending = ending

    def hint(self) -> str:
        return f"a name or path; {self.ending} is added where it has no ending"

    def first(self) -> int | None:
        return None

    def take(self) -> None:
        text, row = self.field.value.strip(), self.row()
        path = recent.whole(text, self.base)
        name = text.replace("\\", "/").rpartition("/")[2]
        if row is not None:
            self.put(row.typed)
        elif text and (recent.is_folder(path) or not name):
            self.put(f"{text.rstrip('/')}/")
        elif not text:
            self.tell("type a name")
        else:
            self.leave(path if "." in name.lstrip(".") else path + self.ending)


class FileList(Options, can_focus=False, inherit_bindings=False):
    """What fits: files with the names that they give themselves, folders ending in a stroke."""

    def fill(self, rows: Sequence[Found]) -> None:
        """Replace the rows."""
        self.clear_options()
        wide = max([len(row.typed) for row in rows if row.note] + [12])
        wide = min(wide, ROOM - NOTE)
        self.add_options([Option(_prompt(row, wide)) for row in rows])


def _prompt(row: Found, wide: int) -> Content:
    name = row.typed if len(row.typed) <= (wide if row.note else ROOM) else _tail(row.typed, wide)
    return Content.assemble((f"{name:<{wide}}", "" if row.folder else "bold"), f"  {cut(row.note, NOTE)}")


def _tail(text: str, width: int) -> str:
    """The end of a path tells more than its beginning."""
    return f"…{text[len(text) - width + 1 :]}"
