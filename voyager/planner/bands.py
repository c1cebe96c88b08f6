"""The morning card's bands of charge: what the policy does at a stop from empty to full, for each class.

Edges of what is held are exact. Where one held action comes to be worth more than another the edge is found by halving
to a thousandth of a kilowatt-hour, as ``decide`` would settle it at every charge.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from voyager.planner.backward import TIE
from voyager.planner.decide import actions_of, best_of_each, evening_rule, night_worth, spread
from voyager.planner.policy import Policy, holds, worth_at

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
EDGE_KWH = 1e-3
_Row = TypeVar("_Row")


@dataclass(frozen=True)
class Band:
    """From a charge up to the next band: ``action`` number in the morning's table, or -1 with the refuge (``flee``: to
    a plug), and whether the guarantee is held."""

    from_kwh: float
    action: int
    flee: bool
    held: bool


@dataclass(frozen=True)
class EveningBand:
    """From a charge up to the next band: the night's step, whether it is plugged in and whether it is held."""

    from_kwh: float
    step: int
    plugged: bool
    held: bool


@dataclass(frozen=True)
class _Pieces:
    """What is done from charges on, by row: (K,) each, in no order."""

    row: Ints
    from_kwh: Floats
    action: Ints


def bands(policy: Policy, day: int, stop: int, known_class: int) -> tuple[Band, ...]:
    """The bands of one stop, morning and class on a morning fit to go, from empty to the top without gap."""
    return bands_of(policy, *(np.asarray([value]) for value in (day, stop, known_class)))[0]


def bands_of(policy: Policy, day: Ints, stop: Ints, known_class: Ints) -> list[tuple[Band, ...]]:
    """The bands of many (R,) mornings, stops and classes."""
    return _by_day(day, lambda d, rows: _bands_of_day(policy, d, stop[rows], known_class[rows]))


def evening_bands_of(policy: Policy, day: Ints, stop: Ints, known_class: Ints) -> list[tuple[EveningBand, ...]]:
    """The evening's bands of many (R,) days, stops and classes of the morning before; by the rule, and where plugging
    in is free to choose by what it is worth over the weather of the class."""
    return _by_day(day, lambda d, rows: _evening_of_day(policy, d, stop[rows], known_class[rows]))


def _by_day(day: Ints, of: Callable[[int, Ints], list[_Row]]) -> list[_Row]:
    """What ``of`` gives for the rows of each day, in the order of the rows."""
    found: dict[int, _Row] = {}
    for d in np.unique(day):
        rows = np.flatnonzero(day == d)
        found |= zip(rows.tolist(), of(int(d), rows), strict=True)
    return [found[row] for row in range(len(day))]


def _bands_of_day(policy: Policy, day: int, stop: Ints, known_class: Ints) -> list[tuple[Band, ...]]:
    best = policy.best[day, 0, known_class, stop].astype(np.int64)
    row, level = np.nonzero((best[:, :-1] != best[:, 1:]) | _closing(policy, day, stop))
    inside = _inside(policy, day, stop[row], known_class[row], level, best[row, level], best[row, level + 1])
    rows = np.arange(len(stop))
    levels = policy.levels_kwh
    pieces = _Pieces(
        np.concatenate([rows, row, row[inside.row]]),
        np.concatenate([np.zeros(len(rows)), levels[level + 1], inside.from_kwh]),
        np.concatenate([best[:, 0], best[row, level + 1], inside.action]),
    )
    return _told(policy, day, stop, known_class, _merged(pieces))


def _closing(policy: Policy, day: int, stop: Ints) -> Bools:
    """Steps between levels (R,G-1) in which something ceases to be held."""
    acts, levels = policy.problem.mornings[day], policy.levels_kwh
    out = np.zeros((len(stop), len(levels) - 1), dtype=bool)
    some = np.flatnonzero(acts.below_kwh < levels[-1])
    at, which = np.nonzero(stop[:, None] == acts.start[some])
    out[at, np.maximum(acts.below_kwh[some[which]] / levels[1], 0).astype(np.int64)] = True
    return out


def _inside(
    policy: Policy, day: int, stop: Ints, known_class: Ints, level: Ints, low: Ints, high: Ints
) -> _Pieces:
    """What is done between neighbouring levels: steps (N,) of a stop and class from ``level`` to the next, with the
    best actions of both ends. Rows of the pieces are numbers of steps."""
    who, number = _candidates(policy, day, stop, known_class, level, low, high)
    acts, levels = policy.problem.mornings[day], policy.levels_kwh
    edges = np.concatenate([acts.from_kwh[known_class[who], number], acts.below_kwh[number]])
    cell = np.tile(who, 2)
    within = (edges > levels[level[cell]] + 1e-9) & (edges < levels[level[cell] + 1] - 1e-9)
    knot = np.stack([np.append(np.arange(len(level)), cell[within]), np.append(levels[level], edges[within])], axis=1)
    knot = np.unique(knot, axis=0)
    cell, begin = knot[:, 0].astype(np.int64), knot[:, 1]
    last = np.append(cell[1:] != cell[:-1], [True] * min(1, len(cell)))
    end = np.where(last, levels[level[cell] + 1], np.append(begin[1:], 0.0)[: len(begin)])
    first, after = np.searchsorted(who, cell), np.searchsorted(who, cell, side="right")
    piece, place = spread(np.arange(len(cell)), first, after - first)
    offered = number[place]
    held = holds(policy, day, offered, begin[piece], known_class[cell[piece]])
    piece, offered = piece[held], offered[held]
    left, right = _winners(policy, day, known_class[cell], begin, end, piece, offered)
    turn = np.flatnonzero(left != right)
    edge = _turn(policy, day, known_class[cell[turn]], begin[turn], end[turn], left[turn], right[turn])
    return _Pieces(np.append(cell, cell[turn]), np.append(begin, edge), np.append(left, right[turn]))


def _candidates(
    policy: Policy, day: int, stop: Ints, known_class: Ints, level: Ints, low: Ints, high: Ints
) -> tuple[Ints, Ints]:
    """Steps (K,) and actions (K,): the best of both ends, and what comes to be held or ceases to be in between."""
    acts, levels = policy.problem.mornings[day], policy.levels_kwh
    who, number = actions_of(policy, day, np.arange(len(level)), stop)
    keep = (number == low[who]) | (number == high[who])
    for edge in (acts.from_kwh[known_class[who], number], acts.below_kwh[number]):
        keep |= (edge > levels[level[who]] + 1e-9) & (edge <= levels[level[who] + 1])
    keep &= acts.fit[number] > 0
    return who[keep], number[keep]


def _winners(
    policy: Policy, day: int, known_class: Ints, begin: Floats, end: Floats, piece: Ints, offered: Ints
) -> tuple[Ints, Ints]:
    """What is chosen at the beginnings and just before the ends of pieces (N,) among offers (K,); -1 for none."""
    both, number = np.tile(piece, 2), np.tile(offered, 2)
    charge = np.concatenate([begin[piece], end[piece]])
    value = worth_at(policy, day, number, charge, known_class[both])
    out, place = [], policy.places[day][offered]
    for half in (value[: len(piece)], value[len(piece) :]):
        chosen, pick = best_of_each(piece, half, place)
        winner = np.full(len(begin), -1, dtype=np.int64)
        winner[chosen] = offered[pick]
        out.append(winner)
    return out[0], out[1]


def _turn(
    policy: Policy, day: int, known_class: Ints, begin: Floats, end: Floats, left: Ints, right: Ints
) -> Floats:
    """The charges at which ``left`` gives way to ``right``, by halving; ties settled as in ``decide``."""
    if not len(begin):
        return begin
    place, both = policy.places[day], np.tile(known_class, 2)
    margin = np.where(place[left] < place[right], TIE, -TIE)
    for _ in range(int(np.ceil(np.log2(policy.levels_kwh[1] / EDGE_KWH)))):
        middle = (begin + end) / 2
        value = worth_at(policy, day, np.append(left, right), np.tile(middle, 2), both)
        stays = value[: len(left)] <= value[len(left) :] + margin
        begin, end = np.where(stays, middle, begin), np.where(stays, end, middle)
    return end


def _merged(pieces: _Pieces) -> _Pieces:
    """Pieces in order of row and charge, the last given of several at one charge, none that goes on with the same."""
    order = np.lexsort((pieces.from_kwh, pieces.row))
    row, at, action = pieces.row[order], pieces.from_kwh[order], pieces.action[order]
    last = np.append((row[1:] != row[:-1]) | (at[1:] > at[:-1]), True)
    row, at, action = row[last], at[last], action[last]
    new = np.append(True, (row[1:] != row[:-1]) | (action[1:] != action[:-1]))
    return _Pieces(row[new], at[new], action[new])


def _told(
    policy: Policy, day: int, stop: Ints, known_class: Ints, pieces: _Pieces
) -> list[tuple[Band, ...]]:
    """The bands of each row, refuges parted where the plug comes into reach and where the flight is held."""
    refuge, top = policy.problem.refuges[day], float(policy.levels_kwh[-1])
    flees = (refuge.end[stop] >= 0) & (refuge.fit[stop] > 0)
    edges = [np.where(flees, edge[known_class, stop], np.inf) for edge in (refuge.reach_kwh, refuge.held_kwh)]
    row, at, action = pieces.row, pieces.from_kwh, pieces.action
    end = np.where(np.append(row[1:] != row[:-1], True), np.inf, np.append(at[1:], 0.0))
    cuts = [np.flatnonzero((action < 0) & (at < t[row]) & (t[row] < end) & (t[row] <= top)) for t in edges]
    row = np.concatenate([row, *(row[cut] for cut in cuts)])
    at = np.concatenate([at, *(t[pieces.row[cut]] for t, cut in zip(edges, cuts, strict=True))])
    action = np.append(action, np.full(sum(map(len, cuts)), -1))
    reached, sure = (at >= t[row] - 1e-9 for t in edges)
    flee = (action < 0) & reached
    done = _merged(_Pieces(row, at, 4 * action + 2 * flee + ((action >= 0) | (flee & sure))))
    told = zip(done.from_kwh.tolist(), (done.action // 4).tolist(), (done.action // 2 % 2 == 1).tolist(),
               (done.action % 2 == 1).tolist(), strict=True)  # fmt: skip
    return _by_row([Band(*band) for band in told], done.row, len(stop))


def _by_row(told: list[_Row], row: Ints, rows: int) -> list[tuple[_Row, ...]]:
    """What is told in order of rows, a tuple each."""
    starts = np.searchsorted(row, np.arange(rows + 1)).tolist()
    return [tuple(told[a:b]) for a, b in pairwise(starts)]


def _evening_of_day(policy: Policy, day: int, stop: Ints, known_class: Ints) -> list[tuple[EveningBand, ...]]:
    evening, levels = policy.problem.evenings[day], policy.levels_kwh
    hold = evening.hold_kwh[stop, policy.problem.wanted :]
    knots = np.concatenate([np.zeros((len(stop), 1)), np.where((hold > 0) & (hold < levels[-1]), hold, 0.0)], axis=1)
    if policy.problem.plug_freely and evening.plug[stop].any():
        knots = np.concatenate([knots, np.broadcast_to(levels, (len(stop), len(levels)))], axis=1)
    knots = np.sort(knots, axis=1)
    row = np.repeat(np.arange(len(stop)), knots.shape[1])
    charge = knots.ravel()
    code = _evening_code(policy, day, stop[row], known_class[row], charge)
    turn = np.flatnonzero((code[1:] != code[:-1]) & (row[1:] == row[:-1]))
    where = (stop[row[turn]], known_class[row[turn]], charge[turn], charge[turn + 1], code[turn])
    edge = _evening_turn(policy, day, *where)
    pieces = _merged(_Pieces(np.append(row, row[turn]), np.append(charge, edge), np.append(code, code[turn + 1])))
    return _evening_told(len(stop), pieces)


def _evening_code(policy: Policy, day: int, stop: Ints, known_class: Ints, charge: Floats) -> Ints:
    """What is done in the evening (N,) as one number: four times the step, two more when plugged in, one when held."""
    evening, problem = policy.problem.evenings[day], policy.problem
    step, plugged = evening_rule(evening, stop, charge, problem.wanted)
    free = np.flatnonzero(evening.plug[stop] & ~plugged) if problem.plug_freely else np.zeros(0, dtype=np.int64)
    if len(free):
        nodes = problem.nodes
        many = np.repeat(free, nodes)
        node = np.tile(np.arange(nodes), len(free))
        night, shore = night_worth(policy, day, stop[many], charge[many], step[many], node)
        gain = ((night - shore).reshape(-1, nodes) * problem.chance[day][known_class[free]]).sum(axis=1)
        pays = free[gain > TIE]
        step[pays], plugged[pays] = problem.wanted, True
    return 4 * step + 2 * plugged + (plugged | (charge >= evening.hold_kwh[stop, step] - 1e-9))


def _evening_turn(
    policy: Policy, day: int, stop: Ints, known_class: Ints, begin: Floats, end: Floats, code: Ints
) -> Floats:
    """The charges at which one way of spending the night gives way to the next; the rule's own edges are knots."""
    sharp = _evening_code(policy, day, stop, known_class, np.maximum(end - 1e-6, begin)) == code
    begin = np.where(sharp, end, begin)
    for _ in range(int(np.ceil(np.log2(policy.levels_kwh[1] / EDGE_KWH)))):
        middle = (begin + end) / 2
        stays = _evening_code(policy, day, stop, known_class, middle) == code
        stays |= sharp
        begin, end = np.where(stays, middle, begin), np.where(stays, end, middle)
    return end


def _evening_told(rows: int, pieces: _Pieces) -> list[tuple[EveningBand, ...]]:
    step, plugged, held = pieces.action // 4, pieces.action // 2 % 2 == 1, pieces.action % 2 == 1
    told = zip(pieces.from_kwh.tolist(), step.tolist(), plugged.tolist(), held.tolist(), strict=True)
    return _by_row([EveningBand(*band) for band in told], pieces.row, rows)
