"""Each kind of fit with what it takes from boat and voyage; a fit's module is imported only when it is asked for."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Final

from voyager.fits.measured import Measured
from voyager.fits.result import Fit
from voyager.session.fit_site import vessel_of

if TYPE_CHECKING:
    import numpy as np

    from voyager.boat.vessel import Vessel

Options = Mapping[str, Any]
HULL: Final = ("waterline_m", "draught_m", "beam_m", "midship_area_m2", "air_drag_area_m2", "propulsive_efficiency")
SEED: Final = 1


def run(kind: str, measured: Measured, options: Options) -> Fit:
    """The fit of a ``kind`` with its checked options. Raises InputError, one sentence."""
    return KINDS[kind](measured, dict(options))


def _rng(options: dict[str, Any]) -> "np.random.Generator":
    import numpy as np

    return np.random.default_rng(options.pop("seed", SEED))


def _boat(options: dict[str, Any]) -> "Vessel | None":
    boat = options.pop("boat", None)
    return None if boat is None else vessel_of(boat)


def _of_hull(options: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    """Figures of the hull: as asked, else of the boat file."""
    vessel = _boat(options)
    own = {} if vessel is None else {name: getattr(vessel.hull, name) for name in names}
    return {name: value for name, value in own.items() if value is not None} | options


def _heat(measured: Measured, options: dict[str, Any]) -> Fit:
    from voyager.fits.heat import fit_heat

    vessel = _boat(options)
    if vessel is not None:
        options.setdefault("person_w", vessel.cabin.person_w)
        steps = ((step.name, [setpoint for *_, setpoint in step.hours_c]) for step in vessel.comfort)
        options["comfort"] = tuple((name, max(setpoints)) for name, setpoints in steps if setpoints)
    return fit_heat(measured, **options)


def _trial(measured: Measured, options: dict[str, Any]) -> Fit:
    from voyager.fits.trial import fit_trial

    rng = _rng(options)
    return fit_trial(measured, rng=rng, **_of_hull(options, HULL))


def _panels(measured: Measured, options: dict[str, Any]) -> Fit:
    from voyager.fits.panels import fit_panels
    from voyager.session.fit_site import site

    rng = _rng(options)
    options["moored"] = not options.pop("underway", False)
    return fit_panels(measured, rng=rng, **site(options))


def _model(measured: Measured, options: dict[str, Any]) -> Fit:
    from voyager.fits.model import fit_model

    found = _of_hull(options, ("air_drag_area_m2", "propulsive_efficiency", "waterline_m"))
    full_m, scale = found.pop("waterline_m", None), found.get("scale")
    if full_m and scale and scale > 1:
        found.setdefault("model_length_m", full_m / scale)
    return fit_model(measured, **found)


def _roll(measured: Measured, options: dict[str, Any]) -> Fit:
    from voyager.fits.roll import fit_roll

    return fit_roll(measured, **_of_hull(options, ("waterline_m", "draught_m", "beam_m")))


KINDS: Final[Mapping[str, Callable[[Measured, dict[str, Any]], Fit]]] = {
    "heat": _heat,
    "trial": _trial,
    "panels": _panels,
    "model": _model,
    "roll": _roll,
}
