"""Plans of one sketch after another: the last of each is what ``plan`` gives, whatever was kept from those before."""

import json
import tomllib
from collections.abc import Callable, Iterator
from copy import deepcopy
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.session.voyages import write
from tests.session.wide_edits import edited
from voyager.errors import Cancelled, VoyagerError
from voyager.planner.kept import Kept
from voyager.planner.start import Start
from voyager.session.plan import plan
from voyager.session.stages import stages

ROUTES = Path(__file__).parents[2] / "routes"
FEW, SOME = 6, 12
FORECAST = """[[forecast]]
date = 2027-03-02
oktas = 2
air_c = 4
"""


def documents(path: str) -> dict[str, Any]:
    """What both files hold."""
    voyage = tomllib.loads(Path(path).read_text("utf-8"))
    boat = Path(path).parent / voyage["boat"]
    return {"voyage": voyage, "boat": tomllib.loads(boat.read_text("utf-8"))}


def fresh(path: str, data: dict[str, Any], members: int) -> Any:
    """The plan as ``plan --json`` gives it, by nothing that was kept."""
    return json.loads(json.dumps(plan(path, documents=data, members=members)))


def last(path: str, data: dict[str, Any], members: tuple[int, ...], kept: Kept) -> Any:
    return json.loads(json.dumps(list(stages(path, data, members=members, kept=kept))[-1]))


LEG_EDITS = st.one_of(
    st.tuples(st.integers(0, 1), st.just("speed_kmh"), st.sampled_from([None, 4.0, 5.5, 7.0])),
    st.tuples(st.integers(0, 1), st.just("distance_km"), st.sampled_from([17.5, 18.0, 22.0, 31.0])),
    st.tuples(st.integers(0, 1), st.just("nights"), st.integers(0, 3)),
    st.tuples(st.integers(0, 1), st.just("locks"), st.integers(0, 4)),
    st.tuples(st.integers(0, 1), st.just("current_kmh"), st.sampled_from([-1.0, 0.0, 1.5])),
    st.tuples(st.integers(0, 1), st.just("moor_anywhere"), st.booleans()),
    st.tuples(st.integers(0, 1), st.just("water"), st.sampled_from(["canal", "river", "lake", "coastal"])),
)
TOP_EDITS = st.one_of(
    st.tuples(st.none(), st.just("departs"), st.sampled_from(["2027-03-01", "2027-03-09", "2027-11-20"])),
    st.tuples(st.none(), st.just("sky"), st.sampled_from(["cautious", "good"])),
    st.tuples(st.none(), st.just("comfort"), st.sampled_from(["ample", "plain", "off"])),
    st.tuples(st.none(), st.just("charge_at_start_percent"), st.sampled_from([40, 80])),
    st.tuples(st.none(), st.just("shore_power"), st.sampled_from(["last", "any", "never"])),
    st.tuples(st.none(), st.just("mooring_every_km"), st.sampled_from([3, 4])),
)
EDITS = st.one_of(LEG_EDITS, LEG_EDITS, TOP_EDITS)


def after(data: dict[str, Any], edit: tuple[int | None, str, Any]) -> dict[str, Any]:
    at, key, value = edit
    made = deepcopy(data)
    where = made["voyage"] if at is None else made["voyage"]["leg"][at]
    where.pop(key, None)
    if value is not None:
        where[key] = value
    return made


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> str:
    return write(tmp_path_factory.mktemp("stages"))


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(edits=st.lists(EDITS, min_size=2, max_size=4))
@example(edits=[(1, "distance_km", 22.0), (1, "moor_anywhere", False)])
def test_one_sky_is_planned_alike_with_and_without_what_was_kept(path: str, edits: list[Any]) -> None:
    kept, data = Kept(), documents(path)
    for edit in edits:
        data = after(data, edit)
        assert last(path, data, (0,), kept) == fresh(path, data, 0)


@settings(max_examples=5, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(edits=st.lists(EDITS, min_size=2, max_size=3))
def test_many_skies_are_planned_alike_with_and_without_what_was_kept(path: str, edits: list[Any]) -> None:
    kept, data = Kept(), documents(path)
    for edit in edits:
        data = after(data, edit)
        assert last(path, data, (0, FEW, SOME), kept) == fresh(path, data, SOME)


def test_a_forecast_and_a_plug_behind_are_kept_alike(tmp_path: Path) -> None:
    path = write(tmp_path, leg=FORECAST, capacity_kwh=8, panels=4)
    kept, data = Kept(), documents(path)
    for edit in ((1, "distance_km", 22.0), (1, "speed_kmh", 5.0), (0, "nights", 1), (1, "distance_km", 20.0)):
        data = after(data, edit)
        assert last(path, data, (0,), kept) == fresh(path, data, 0)


def test_a_weather_file_is_read_anew_for_every_plan(tmp_path: Path) -> None:
    path = write(tmp_path, top='weather = "w.csv"')
    kept, data = Kept(), documents(path)
    starts = [
        f"{day}T{hour:02}:00Z" for day in np.arange("2027-02-20", "2027-08-20", dtype="M8[D]") for hour in range(24)
    ]
    for sun in (400, 100, 400):
        rows = [f"{at},{sun if 8 <= k % 24 < 16 else 0},6.0,{2 + k % 5}" for k, at in enumerate(starts)]
        (tmp_path / "w.csv").write_text("time,ghi_w_m2,air_c,wind_mps\n" + "\n".join(rows) + "\n", "utf-8")
        for edit in ((1, "distance_km", 22.0), (1, "distance_km", 18.0)):
            data = after(data, edit)
            assert last(path, data, (0, FEW), kept) == fresh(path, data, FEW)


@pytest.mark.long
@pytest.mark.parametrize("name", ["autumn", "spring", "winter"])
def test_the_demos_are_planned_alike_after_random_edits_of_their_legs(name: str) -> None:
    path, dice = str(ROUTES / f"{name}.toml"), np.random.default_rng(3)
    kept, own = Kept(), documents(path)
    data = own
    for turn in range(20):
        at = int(dice.integers(len(own["voyage"]["leg"])))
        km = own["voyage"]["leg"][at].get("distance_km")
        edit: Any = [(at, "speed_kmh", round(float(dice.uniform(4, 8)), 1)), (at, "nights", int(dice.integers(3))),
                     (at, "distance_km", km and round(km * float(dice.uniform(0.95, 1.05)), 1))][turn % 3]  # fmt: skip
        data = after(own if turn % 7 == 0 else data, edit)
        assert last(path, data, (0, FEW, SOME), kept) == fresh(path, data, SOME)


@pytest.mark.long
@pytest.mark.parametrize("name", ["small", "autumn", "spring", "winter"])
def test_sketches_are_planned_alike_after_edits_of_any_part(path: str, name: str) -> None:
    """Begun again every third turn; a sketch that can't be planned is refused in the same words."""
    file, dice = path if name == "small" else str(ROUTES / f"{name}.toml"), np.random.default_rng(7)
    kept, own = Kept(), documents(file)
    data, planned = own, 0
    for turn in range(60 if name == "small" else 24):
        part, data = edited(own if turn % 3 == 0 else data, dice)
        found, wanted = (
            outcome(partial(last, file, data, (0, FEW, SOME), kept)), outcome(partial(fresh, file, data, SOME))
        )  # fmt: skip
        assert found == wanted, (turn, part)
        planned += isinstance(found, dict)
    assert planned > turn / 2, "most of them can be planned"


def outcome(asked: Callable[[], Any]) -> Any:
    """What is told, or the reason why nothing is."""
    try:
        return asked()
    except VoyagerError as error:
        return str(error)


def test_plans_from_elsewhere_are_planned_alike_with_and_without_what_was_kept(path: str) -> None:
    kept, data = Kept(), documents(path)
    for turn, start in enumerate([Start(4.0, 7.3, 14.0), None, Start(2.5, 12.0, 6.0)]):
        data = after(data, (1, "distance_km", 22.0)) if turn == 1 else data
        found = list(stages(path, data, members=(0, FEW), start=start, kept=kept))
        assert [each.get("from") is None for each in found] == [start is None] * 2
        want = json.loads(json.dumps(plan(path, documents=data, members=FEW, start=start)))
        assert json.loads(json.dumps(found[-1])) == want


@pytest.mark.long
@pytest.mark.parametrize("name", ["autumn", "winter"])
def test_the_demos_are_planned_alike_from_anywhere(name: str) -> None:
    path, dice, kept = str(ROUTES / f"{name}.toml"), np.random.default_rng(5), Kept()
    own = documents(path)
    for turn in range(12):
        hours, km, kwh = dice.uniform((0, 0, 4), (20, 90, 12)).tolist()
        start = None if turn % 4 == 3 else Start(hours if turn % 4 else 0.0, km, kwh)
        data = after(own, (int(dice.integers(len(own["voyage"]["leg"]))), "nights", int(dice.integers(3))))
        found = list(stages(path, data, members=(0, FEW, SOME), start=start, kept=kept))[-1]
        want = plan(path, documents=data, members=SOME, start=start)
        assert json.loads(json.dumps(found)) == json.loads(json.dumps(want)), (turn, start)


def test_drafts_have_every_key_and_leave_the_dear_ones_empty(path: str) -> None:
    data = documents(path)
    one, few, whole = stages(path, data, members=(0, FEW, SOME), kept=Kept())
    assert set(one) == set(few) == set(whole)
    for draft in (one, few):
        assert draft["card"] == draft["assumptions"] == draft["evenings"] == []
    assert whole["card"]
    assert whole["assumptions"]
    assert whole["evenings"]
    assert one["odds"] is None
    assert [each["odds"]["members"] for each in (few, whole)] == [FEW, SOME]
    assert [each["voyage"]["members"] for each in (one, few, whole)] == [0, FEW, SOME]
    assert few["days"] == one["days"]


def test_the_first_members_are_those_of_a_plan_with_so_many(path: str) -> None:
    data = documents(path)
    few = list(stages(path, data, members=(0, FEW, SOME), kept=Kept()))[1]
    assert few["odds"] == plan(path, documents=data, members=FEW)["odds"]


def test_a_plan_stopped_at_any_moment_leaves_nothing_wrong_behind(path: str) -> None:
    """The next one is the same, wherever the one before was stopped."""
    kept, data = Kept(), documents(path)
    list(stages(path, data, members=(0, FEW, SOME), kept=kept))
    other = after(data, (1, "speed_kmh", 5.0))
    want, asked = fresh(path, other, SOME), ticks(path, other)
    for stop in range(1, asked, max(1, asked // 6)):
        left = partial(next, iter([False] * stop), True)
        with pytest.raises(Cancelled):
            list(stages(path, other, members=(0, FEW, SOME), kept=kept, cancelled=left))
        assert last(path, other, (0, FEW, SOME), kept) == want
        list(stages(path, data, members=(0,), kept=kept))


def ticks(path: str, data: dict[str, Any]) -> int:
    """How often a plan asks whether it is still wanted."""
    heard: list[None] = []
    list(stages(path, data, members=(0, FEW, SOME), kept=Kept(), cancelled=lambda: bool(heard.append(None))))
    return len(heard)


def test_it_asks_every_day_whether_it_is_still_wanted(path: str) -> None:
    assert ticks(path, documents(path)) > 100


def members_of(plans: Iterator[dict[str, Any]]) -> list[int]:
    return [each["voyage"]["members"] for each in plans]


@pytest.mark.parametrize("members", [(0,), (FEW,), (FEW, SOME), (0, SOME)])
def test_any_row_of_members_is_told_in_turn(path: str, members: tuple[int, ...]) -> None:
    assert members_of(stages(path, documents(path), members=members, kept=Kept())) == list(members)
