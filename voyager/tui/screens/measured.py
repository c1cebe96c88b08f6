"""A CSV of measurements chosen."""

from voyager.tui.screens.files import FileScreen

ENDING = ".csv"


class MeasuredScreen(FileScreen):
    """Lists CSV files; one of another name can be typed. What is in it is for the reader to say."""

    kind = "any"

    def look(self) -> None:
        super().look()
        self.rows = [row for row in self.rows if row.folder or row.path.lower().endswith(ENDING)]
        self.list.fill(self.rows)
        self.list.highlighted = self.first() if self.rows else None

    def chosen(self, path: str) -> None:
        self.leave(path)
