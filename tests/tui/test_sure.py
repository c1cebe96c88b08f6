"""How sure it is, as it is drawn."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.tui import fake
from voyager.tui import band, sure_view
from voyager.tui.runs import Line, length
from voyager.tui.units import Units


def plan():
    return fake.plan("shannon.toml", members=1000)


def texts(lines: list[Line]) -> list[str]:
    return ["".join(run.text for run in line) for line in lines]


@pytest.mark.parametrize(("mean", "error", "text"), [
    (12.634, 0.1, "12.6 ± 0.1"), (12.634, 0.06, "12.6 ± 0.1"), (12.634, 0.05, "12.63 ± 0.05"), (12.634, 2.3, "13 ± 2"),
    (0.4, 0.004, "0.4"), (12.0, 0.0, "12"), (37.5, 0.096, "37.5 ± 0.1"),
])  # fmt: skip
def test_no_digit_that_the_standard_error_does_not_carry(mean, error, text):
    assert sure_view.with_error(mean, error) == text


@pytest.mark.parametrize("size", [(74, 19), (72, 21), (40, 10)])
def test_everything_asked_for_is_there(size):
    shown = "\n".join(texts(sure_view.draw(plan(), *size, mono=False)))
    for words in (
        "10% by Thu 11 Mar, 50% by Sat 13 Mar, 90% by Tue 16 Mar", "1,000 skies, seed 1", "13.2 ± 0.1 days",
        "never <1%",
        "31% (28–34)", "0.40 ± 0.02 stops", "Athlone 22%", "Not held        3% (0–6)", "Below reserve   1% (0–4)",
        "64 of 66 h asked", "57 h or more in nine of ten", " 18 Mar ",
    ):  # fmt: skip
        assert words in shown.replace("\n", " ")


@pytest.mark.parametrize("width", [40, 58, 66, 74, 78, 110])
def test_what_stands_beside_the_bars_is_clear_of_them(width):
    odds = plan()["odds"]
    for row in odds["arrival"]["by_date"]:
        row.update(chance=1.0, low=1.0, high=1.0)
    left = max(30, width - sure_view.RIGHT)
    for line in texts(sure_view.draw({**plan(), "odds": odds}, width, 24, mono=False))[2:9]:
        assert line[left - 1 : left].strip() == ""


def test_a_clear_line_stands_between_the_signs_of_the_band_and_the_band():
    lines = texts(sure_view.draw(plan(), 74, 30, mono=False))
    at = next(n for n, line in enumerate(lines) if "floor" in line)
    assert not lines[at + 1].strip()


def test_a_fifth_of_the_error_is_the_step_that_the_odds_are_rounded_to():
    """OUTPUT.md: to the smallest power of ten that is not below a fifth of the standard error, a hundredth here."""
    for error in (0.006, 0.02, 0.049, 0.051, 0.3, 0.49, 0.51, 3.0):
        step = next(10.0**power for power in range(-2, 2) if 10.0**power >= error / 5 * (1 - 1e-9))
        shown = sure_view.with_error(12.3456, error).split()[0]
        assert abs(float(shown) - round(12.3456 / step) * step) < 1e-9
        assert len(shown.partition(".")[2]) == max(0, round(-math.log10(step)))


def test_warmth_is_said_whole_however_many_hours_are_asked():
    odds = plan()["odds"]
    for hours in (8, 66, 268, 2240):
        odds["warmth"] |= {"asked_hours": hours, "warm_hours_mean": hours}
        line = texts(sure_view._warm(odds["warmth"]))[0]
        assert line.endswith(f" {hours} of {hours} h asked")
        assert len(line) <= sure_view.RIGHT


def test_a_date_that_all_share_is_said_once():
    odds = plan()["odds"]
    odds["arrival"].update(p10="2027-03-12", p50="2027-03-12", p90="2027-03-13", by_date=[])
    assert sure_view.by_when(odds["arrival"]) == "50% by 12 Mar, 90% by 13 Mar"
    assert "No date between" in "".join(texts(sure_view._histogram({"by_date": []}, 60, 7)))


def test_a_share_that_never_arrives_has_no_date():
    odds = plan()["odds"]
    odds["arrival"].update(p90=None, mean_days=None)
    assert sure_view.by_when(odds["arrival"]).endswith("90% by no date")
    assert "average" not in "".join(texts(sure_view._arrival(odds, 80)))


@given(st.floats(0, 1), st.integers(4, 40))
def test_a_bar_fills_its_share(share, cells):
    line = sure_view.share_bar(share, cells)
    assert length(line) == cells
    assert "".join(run.text for run in line).count("█") == round(share * cells * 8) // 8


@pytest.mark.parametrize("width", [57, 77, 117])
def test_the_line_at_the_foot_fits_and_names_the_median(width):
    text = sure_view.line(plan()["odds"], width)
    assert len(text) <= width
    assert "50% by 13 Mar" in text


def by_dates(*chances: float) -> dict[str, object]:
    """Chances to have arrived by the first, second, … of March."""
    rows = [{"chance": one, "low": one, "high": one, "date": f"2027-03-{at:02d}"} for at, one in enumerate(chances, 1)]
    return {"by_date": rows}


def test_many_dates_share_bars_and_the_last_one_is_kept():
    shown = texts(sure_view._histogram(by_dates(*[0.5] * 25), 60, 7))
    assert len(shown) <= 1 + 7
    assert shown[-1].startswith("to 25 Mar")


def test_a_bar_is_what_a_date_adds():
    """By 1, 2 and 3 March 10, 40 and 90 %: 10, 30 and 50 % on each, the last bar the longest."""
    shown = texts(sure_view._histogram(by_dates(0.1, 0.4, 0.9), 60, 7))[1:]
    assert [line.split("%")[0].split()[-1] for line in shown] == ["10", "30", "50"]
    assert [line.count("█") for line in shown] == [int(28 * part) for part in (1 / 5, 3 / 5, 1)]
    assert [line.split()[-2] for line in shown] == ["10%", "40%", "90%"]


def test_two_dates_to_a_bar_add_up():
    shown = texts(sure_view._histogram(by_dates(0.1, 0.4, 0.6, 0.9), 60, 2))[1:]
    assert [(line.split()[1], line.split("%")[0].split()[-1]) for line in shown] == [("2", "40"), ("4", "50")]


@pytest.mark.parametrize("size", [(76, 19), (72, 21), (118, 36)])
def test_nothing_needs_scrolling_and_arrival_comes_first(size):
    width, height = size
    lines = sure_view.draw(plan(), width, height, mono=False)
    assert len(lines) <= height
    assert all(length(line) <= width for line in lines)
    shown = texts(lines)
    assert shown[0].startswith("Arrive")
    assert next(at for at, line in enumerate(shown) if "chance" in line) < next(
        at for at, line in enumerate(shown) if "Charge" in line
    )
    assert any("Way made, km" in line for line in shown)


def test_the_way_is_told_in_the_units_asked_for():
    lines = "\n".join(texts(sure_view.draw(plan(), 76, 19, mono=False, units=Units(length="NM"))))
    assert "Way made, NM" in lines
    assert f"{plan()['voyage']['distance_km'] / 1.852:.0f}┤" in lines


days = st.lists(st.lists(st.floats(0, 28), min_size=3, max_size=3), min_size=1, max_size=90)


def odds_day(number: int, charges: list[float]) -> dict[str, object]:
    low, mid, high = sorted(charges)
    return {"day": number, "date": "2027-03-05", "charge_end_p10_kwh": low, "charge_end_p50_kwh": mid,
            "charge_end_p90_kwh": high}  # fmt: skip


@given(days, st.integers(40, 120), st.integers(4, 12), st.booleans())
def test_a_band_fits_and_draws_the_median_once_in_every_column(charges, width, rows, mono):
    made = [odds_day(at + 1, one) for at, one in enumerate(charges)]
    lines = texts(band.draw(made, band.charge_scale(28.0), {1: 5.6}, width, rows, mono))
    assert len(lines) == rows + 1
    assert all(len(line) <= width for line in lines)
    columns = len(lines[0]) - band.AXIS
    for at in range(columns):
        assert sum(line[band.AXIS + at] == "━" for line in lines[:-1]) == 1


def test_a_band_stands_between_its_percentiles():
    day = odds_day(1, [7.0, 15.0, 21.0])
    column = [line[band.AXIS] for line in texts(band.draw([day], band.charge_scale(28.0), {1: 1.0}, 40, 8, False))[:-1]]
    assert column == [" ", " ", "▒", "━", "▒", "▒", " ", "╌"]
