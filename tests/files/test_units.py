"""Either unit, never both, and what is said when the unit is another."""

import pytest

from voyager.files.boat_model import BoatFile
from voyager.files.read import inner, keys_of
from voyager.files.units import converted, meant_unit, own_unit, twin
from voyager.files.voyage_model import VoyageFile


def test_a_nautical_mile_is_1852_metres_and_a_foot_30_48_centimetres() -> None:
    """BIPM, SI brochure: nautical mile 1852 m; foot 0.3048 m by the yard and pound agreement of 1959. Both exact."""
    assert own_unit("distance_nm") == ("distance_km", 1.852)
    assert own_unit("speed_kn") == ("speed_kmh", 1.852)
    assert own_unit("depth_ft") == ("depth_m", 0.3048)
    assert own_unit("distance_km") is None


def test_only_numbers_are_converted() -> None:
    assert converted([10, [2.0], True, "3", None], 0.5) == [5.0, [1.0], True, "3", None]
    assert converted(10**400, 2.0) == 10**400


def test_every_length_and_speed_of_the_page_has_its_twin_and_nothing_else() -> None:
    keys = {key for model in (BoatFile, VoyageFile) for key in every_key(model)}
    paired = {key for key in keys if twin(key)}
    assert {"distance_km", "wind_kmh", "lock_at_km", "steerable_min_kmh", "draught_m", "height_m"} <= paired
    assert not {key for key in paired if not key.endswith(("_km", "_kmh", "_m"))}
    assert not paired & {"capacity_kwh", "window_m2", "moored_tilt_deg", "lock_min", "raise_wind_max_kmh_x"}


def every_key(model: type) -> set[str]:
    keys = set(keys_of(model))
    return keys.union(*(every_key(held[1]) for key in keys if (held := inner(model, key))))


@pytest.mark.parametrize(
    ("key", "part"),
    [("distance_mi", "km or nm"), ("distance", "km or nm"), ("speed_mph", "kmh or kn"), ("depth_cm", "m or ft"),
     ("speed_mps", "kmh or kn"), ("distance_miles", "km or nm")],
)  # fmt: skip
def test_a_wrong_unit_is_told_with_the_right_ones(key: str, part: str) -> None:
    found = meant_unit(key, ["distance_km", "speed_kmh", "depth_m", "locks"])
    assert found is not None
    assert f"unit must be {part}" in found


@pytest.mark.parametrize("key", ["distant_km", "locks_m", "water", "depth_of_water", "lock"])
def test_another_word_is_no_wrong_unit(key: str) -> None:
    assert meant_unit(key, ["distance_km", "speed_kmh", "depth_m", "locks", "lock_min", "lock_kwh"]) is None
