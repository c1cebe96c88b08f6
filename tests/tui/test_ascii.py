"""Signs as ASCII."""

from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color

from voyager.tui.ascii import SIGNS, AsciiFilter, plain


@given(st.text())
def test_every_text_becomes_ascii_of_the_same_columns(text: str) -> None:
    made = plain(text)
    assert all(" " <= sign <= "~" for sign in made)
    assert len(made) == sum(cell_len(sign) for sign in text)


def test_letters_keep_their_shape() -> None:
    assert plain("Mühlheim, Göta älv, 53°25.2′N") == "Muhlheim, Gota alv, 53o25.2'N"
    assert plain("東京") == "????"


def test_signs_that_stand_together_stay_apart() -> None:
    for together in ("▸·▴╧", "│┃╎", "▁▂▃▄▅▆▇█", "→←▸", "+−", "✗!*•", "█·", "━╌", "◂▸×"):
        assert len({plain(sign) for sign in together}) == len(together) or together in {"→←▸", "◂▸×"}
    assert plain("⠁⠄⠅⣿⠀") == "'.:# " or plain("⠀") == " "


def test_each_sign_takes_one_column() -> None:
    assert all(cell_len(sign) == 1 and len(to) == 1 for sign, to in SIGNS.items())


def test_the_filter_keeps_styles() -> None:
    segments = [Segment("▸ a", None), Segment("ok", None)]
    assert [one.text for one in AsciiFilter().apply(segments, Color(0, 0, 0))] == ["> a", "ok"]
