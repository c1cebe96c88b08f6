"""Options of the fits: known ones of the right kind pass, all others are answered in one sentence."""

import dataclasses
import inspect

import pytest

from voyager.errors import InputError
from voyager.fits.heat import fit_heat
from voyager.fits.model_towing import Towing
from voyager.fits.panels import fit_panels
from voyager.fits.roll import fit_roll
from voyager.fits.trial import fit_trial
from voyager.session.fit_options import OPTIONS, WHAT, checked

OWN = {"boat", "voyage", "place", "at", "underway", "seed"}
"""Taken by the session, not by a fit."""


@pytest.mark.parametrize(
    ("kind", "known"),
    [
        ("heat", set(inspect.signature(fit_heat).parameters)),
        ("trial", set(inspect.signature(fit_trial).parameters)),
        ("panels", set(inspect.signature(fit_panels).parameters)),
        ("model", {field.name for field in dataclasses.fields(Towing)}),
        ("roll", set(inspect.signature(fit_roll).parameters)),
    ],
)
def test_every_option_is_one_of_the_fit(kind: str, known: set[str]) -> None:
    assert {option.name for option in OPTIONS[kind]} - OWN <= known
    set_by_session = {"measured", "rng", "draws", "arrays", "lat", "lon", "moored", "comfort"}
    assert known - set_by_session <= {option.name for option in OPTIONS[kind]}


def test_all_kinds_have_options_and_words() -> None:
    assert OPTIONS.keys() == WHAT.keys()


def test_what_says_nothing_is_left_out() -> None:
    assert checked("model", {"scale": "8", "water": "salt", "tripped": False, "model": "", "water_c": None}) == {
        "scale": 8.0,
        "water": "salt",
    }
    assert checked("trial", {"seed": "7"}) == {"seed": 7}


@pytest.mark.parametrize(
    ("kind", "options", "told"),
    [
        ("het", {}, "there is no fit het; did you mean heat?"),
        ("heat", {"scale": 8}, "--scale belongs to fit model and roll, not to fit heat"),
        ("model", {"scal": 8}, "fit model has no option --scal; did you mean --scale?"),
        ("model", {"scale": "a"}, "--scale a: a number is wanted"),
        ("model", {"scale": "inf"}, "--scale inf: a number is wanted"),
        ("model", {"scale": True}, "--scale True: a number is wanted"),
        ("model", {"water": "sea"}, "--water sea: it is fresh or salt"),
        ("model", {"tripped": "so"}, "--tripped so: it is either given or left out"),
        ("trial", {"seed": "1.5"}, "--seed 1.5: a whole number from 0 up is wanted"),
    ],
)
def test_what_cannot_be_meant_is_refused(kind: str, options: dict[str, object], told: str) -> None:
    with pytest.raises(InputError) as caught:
        checked(kind, options)
    assert str(caught.value) == told
