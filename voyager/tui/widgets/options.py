"""A list of options whose cursor is seen without colour too."""

from rich.style import Style
from textual.strip import Strip
from textual.widgets import OptionList

REVERSE = Style(reverse=True)


class Options(OptionList, inherit_bindings=False):
    """Textual drops ``reverse`` from the styles of its options, so it is put on here where there are no colours."""

    def render_line(self, y: int) -> Strip:
        strip = super().render_line(y)
        if not self.app.no_color or self.highlighted is None:
            return strip
        here = any(part.style and part.style.meta.get("option") == self.highlighted for part in strip)
        return strip.apply_style(REVERSE) if here else strip
