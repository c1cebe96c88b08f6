"""What a skipper may write for where the boat is, and what is said of the rest."""

import pytest

from tests.session.voyages import write
from voyager.errors import InputError
from voyager.files.voyage_file import Loaded, load_voyage
from voyager.session.whence import LONGEST, parse_start


@pytest.fixture(scope="module")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Loaded:
    return load_voyage(write(tmp_path_factory.mktemp("whence")))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2027-03-04 14:00 km 6 61%", "names a date; leave it out there and say it so: --depart 2027-03-04"),
        ("14:00 km 6 61% 2027-03-04", "--depart 2027-03-04"),
        ("day 3 14:00 km 6 61%", 'has a part "day 3" that is no place'),
        ("14:00 km 6, then home", 'has a part "then home" that is no place'),
    ],
)
def test_the_part_that_is_wrong_is_quoted_as_written(loaded: Loaded, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        parse_start(text, loaded)


def test_a_long_text_is_quoted_by_its_beginning(loaded: Loaded) -> None:
    with pytest.raises(InputError) as caught:
        parse_start("x" * 5000, loaded)
    assert "x" * LONGEST + "…" in str(caught.value)
    assert len(str(caught.value)) < 2 * LONGEST + 40


def test_words_do_not_change_places_when_one_is_taken_out(loaded: Loaded) -> None:
    """A number left of the clock is no kilometre of the word right of it."""
    with pytest.raises(InputError, match='"13"'):
        parse_start("13 14:00 km 6 61%", loaded)
