"""A policy found beside another problem's: the same to the last digit as one found by itself."""

from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from tests.benchmarks.bench_policy import instance
from tests.planner.instances import levels, problems
from voyager.planner import policy as planner
from voyager.planner.policy import Policy, solve
from voyager.planner.problem import Evening, Morning, Problem, Refuge

MANY = settings(max_examples=60, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
small = st.builds(lambda y, x, sea: (y, x, sea), st.integers(1, 3), st.integers(1, 3), st.booleans()).flatmap(
    lambda size: problems(4, 4, classes=size[0], nodes=size[1], sea=size[2])
)
PARTS = ("mornings", "refuges", "evenings")


def put(problem: Problem, part: str, day: int, **values: Any) -> Problem:
    """With other values of one day's table."""
    rows = list(getattr(problem, part))
    rows[day] = replace(rows[day], **values)
    return replace(problem, **{part: tuple(rows)})


@st.composite
def edited(draw: st.DrawFn, problem: Problem) -> Problem:
    """Another problem of the same days: some numbers of some stops changed, whole stops cut away or added in front."""
    day, stop = draw(st.integers(0, problem.days - 1)), draw(st.integers(0, problem.stops - 1))
    what = draw(
        st.sampled_from(["cost", "add", "from_kwh", "fit", "gone", "refuge", "night", "never", "front", "none"])
    )
    acts, here = problem.mornings[day], problem.mornings[day].start == stop
    if what in ("cost", "add", "from_kwh"):
        value = getattr(acts, what)
        return put(
            problem, "mornings", day, **{what: np.where(here, value + draw(st.sampled_from([-1.0, 1.0])), value)}
        )
    if what == "fit":
        return put(problem, "mornings", day, fit=np.where(here & (acts.pace >= 0), 0.5, acts.fit))
    if what == "gone" and not here.all():
        names = {name: value[..., ~here] for name, value in vars(acts).items()}
        return put(problem, "mornings", day, **names)
    if what == "refuge":
        cost = problem.refuges[day].cost.copy()
        cost[stop] += 0.5
        return put(problem, "refuges", day, cost=cost)
    if what == "night":
        add = problem.evenings[day].add.copy()
        add[:, stop] -= 1.0
        return put(problem, "evenings", day, add=add)
    if what == "never":
        never = problem.never.copy()
        never[stop] += 1.0
        return replace(problem, never_cost=never)
    return longer(problem) if what == "front" else problem


def longer(problem: Problem) -> Problem:
    """With the first stop twice, the new one in front of all and led to by nothing."""
    return replace(
        problem,
        mornings=tuple(map(_more_actions, problem.mornings)),
        refuges=tuple(map(_more_refuges, problem.refuges)),
        evenings=tuple(map(_more_nights, problem.evenings)),
        stops=problem.stops + 1,
        destination=problem.destination + 1,
        never_cost=_front(problem.never),
    )


def _more_actions(acts: Morning) -> Morning:
    at = np.append(np.flatnonzero(acts.start == 0), np.arange(len(acts.start)))
    again = int((acts.start == 0).sum())
    values = {name: value[..., at] for name, value in vars(acts).items()}
    start = values["start"] + (np.arange(len(at)) >= again)
    return Morning(**{**values, "start": start, "end": values["end"] + 1})


def _front(value: Any) -> Any:
    return np.concatenate([value[..., :1], value], axis=-1)


def _more_refuges(refuge: Refuge) -> Refuge:
    values = {name: tuple(map(_front, v)) if isinstance(v, tuple) else _front(v) for name, v in vars(refuge).items()}
    end = np.where(values["end"] >= 0, values["end"] + 1, -1)
    return Refuge(**{**values, "end": end, "stay_end": values["stay_end"] + 1})


def _more_nights(evening: Evening) -> Evening:
    by_stop = {name: _front(getattr(evening, name)) for name in ("plug", "plug_add", "plug_cap")}
    steps = {
        name: _front(getattr(evening, name).swapaxes(-1, -2)).swapaxes(-1, -2) for name in ("hold_kwh", "add", "cap")
    }
    return Evening(**by_stop, **steps, plug_cost=evening.plug_cost)


def same(one: Policy, other: Policy) -> bool:
    """All of two policies alike, digit by digit."""
    arrays = ("levels_kwh", "morning", "evening", "best", "fits")
    orders = zip((*one.ranks, *one.places), (*other.ranks, *other.places), strict=True)
    return all(np.array_equal(getattr(one, name), getattr(other, name)) for name in arrays) and all(
        np.array_equal(a, b) for a, b in orders
    )


@MANY
@given(problem=small, data=st.data())
def test_it_is_the_policy_found_by_itself_after_any_edit(problem: Problem, data: st.DataObject) -> None:
    found = solve(problem, levels(problem))
    for _ in range(3):
        problem = data.draw(edited(problem))
        found = solve(problem, levels(problem), before=found)
        assert same(found, solve(problem, levels(problem)))


@MANY
@given(problem=small, data=st.data())
def test_a_stop_cut_away_in_front_is_no_harm(problem: Problem, data: st.DataObject) -> None:
    found = solve(longer(problem), levels(problem))
    changed = data.draw(edited(problem))
    assert same(solve(changed, levels(problem), before=found), solve(changed, levels(problem)))


@MANY
@given(one=small, other=small)
def test_the_policy_of_any_other_problem_is_no_harm(one: Problem, other: Problem) -> None:
    found = solve(one, levels(one))
    assert same(solve(other, levels(other), before=found), solve(other, levels(other)))


def test_only_what_an_edit_can_be_felt_from_is_weighed_again(monkeypatch: Any) -> None:
    """Whoever wakes beyond the stop that was changed weighs nothing."""
    problem = instance(days=12, stops=20, nodes=3)
    before, weighed, stop = solve(problem), set[int](), 9
    changed = problem
    for day in range(problem.days):
        acts = problem.mornings[day]
        changed = put(changed, "mornings", day, cost=np.where(acts.start == stop, acts.cost + 0.25, acts.cost))
    own = planner.offers

    def heard(acts: Morning, number: Any, *others: Any) -> Any:
        weighed.update(acts.start[number].tolist())
        return own(acts, number, *others)

    monkeypatch.setattr(planner, "offers", heard)
    solve(changed, before=before)
    assert stop in weighed
    assert max(weighed) == stop
