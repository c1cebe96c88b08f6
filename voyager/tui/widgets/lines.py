"""Lines of (kind, text) as one widget: details, cautions, what is short, help."""

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

STYLES = {"title": "bold", "plain": "", "caution": "$warning", "alarm": "bold $error", "key": "$accent"}


class Lines(Static):
    """Shows lines, wrapped; a line's kind gives its style, its first sign says the same without colour."""

    def __init__(self, id: str | None = None) -> None:
        super().__init__("", id=id, markup=False)
        self.shown: list[tuple[str, str]] = []

    def show(self, lines: Sequence[tuple[str, str]]) -> None:
        """Replace what is shown."""
        if list(lines) != self.shown:
            self.shown = list(lines)
            content = Content("\n").join(Content.styled(text, STYLES[kind]) for kind, text in lines)
            self.update(content, layout=not self._as_high(content))

    def _as_high(self, content: Content) -> bool:
        """Whether it takes the rows that the widget has: then nothing need be laid out anew."""
        width, height = self.content_size
        return self.styles.width is None and width > 0 and content.get_height(self.styles.get_rules(), width) == height
