"""A CSV of measurements chosen, or readings for the log."""

from voyager.tui.screens.files import FileScreen

ENDING, TRACK = ".csv", ".gpx"


class MeasuredScreen(FileScreen):
    """Lists CSV files; one of another name can be typed. What is in it is for the reader to say."""

    kind = "any"
    endings: tuple[str, ...] = (ENDING,)

    def look(self) -> None:
        super().look()
        self.rows = [row for row in self.rows if row.folder or row.path.lower().endswith(self.endings)]
        self.list.fill(self.rows)
        self.list.highlighted = self.first() if self.rows else None

    def chosen(self, path: str) -> None:
        self.leave(path)


class ReadingsScreen(MeasuredScreen):
    """Likewise readings for the log: CSV files and tracks."""

    endings = (ENDING, TRACK)
