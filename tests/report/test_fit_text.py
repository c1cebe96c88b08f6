"""A fit as text: every figure with the digits that its error leaves it, all reasons and cautions told."""

import pytest

from tests.report.fit_samples import HEAT
from voyager.report.fit_text import difference_text, fit_text
from voyager.report.fit_words import figures, left_out


@pytest.mark.parametrize(
    ("values", "error", "texts"),
    [
        ((62.4137, 1.83), 1.83, ["62.4", "1.8"]),
        ((0.012346, 0.00067), 0.00067, ["0.01235", "0.00067"]),
        ((12345.6, 130.0), 130.0, ["12346", "130"]),
        ((8.95,), None, ["8.95"]),
        ((60.0, None), None, ["60.0", "-"]),
        ((float("nan"), 0.0), None, ["-", "0.00"]),
        ((-0.0001,), 1.0, ["0.0"]),
    ],
)
def test_digits_follow_the_error(values: tuple[float | None, ...], error: float | None, texts: list[str]) -> None:
    assert figures(*values, error=error) == texts


def test_rows_left_out_stand_by_their_reason() -> None:
    rows = [{"row": 3, "why": "battery full"}, {"row": 9, "why": "no sun"}, {"row": 4, "why": "battery full"}]
    assert left_out(rows) == ["battery full: rows 3-4", "no sun: row 9"]


@pytest.mark.parametrize("width", [80, 120])
def test_everything_stands_in_the_text(width: int) -> None:
    text = fit_text(HEAT, width)
    assert max(map(len, text.splitlines())) <= width
    told = " ".join(text.split())
    for part in (
        "heater-test.csv", "59 of 61 rows used", "one time constant", "0.123 K", "62.4 1.8 58.8 to 66.0 W/K",
        "steady heating for 20 °C at 7 °C outside 811 ± 23 W", "rows an hour 60.0", "duplicate time: rows 17-18",
        "measure through a whole night", "never leave a heater running unattended", "o thermometer",
    ):  # fmt: skip
        assert part in told
    assert ("cabin.ua_w_per_k" in told) == (width == 120)


def test_no_escapes_unless_styled_and_ascii_where_asked() -> None:
    assert "\x1b" not in fit_text(HEAT)
    assert "\x1b[1m" in fit_text(HEAT, styled=True)
    assert not any(0x2800 <= ord(sign) < 0x2900 for sign in fit_text(HEAT, ascii=True))


def test_the_difference_keeps_its_lines_whole() -> None:
    lines = ["--- a", "+++ b", "-" + "x" * 150, "+y"]
    assert difference_text(lines).splitlines() == lines
    assert "\x1b[32m+y" in difference_text(lines, styled=True)
