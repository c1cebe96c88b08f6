"""One wish, several answers, each better than the one before: one sky at once, then the odds of few and of many."""

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.planner.kept import Kept
    from voyager.planner.many import Followed
    from voyager.planner.start import Start
    from voyager.session.plan import Progress

Json = dict[str, Any]

MEMBERS = (0, 200, 1000)
SEED = 1
_kept: "list[Kept]" = []
"""What this process keeps from one plan to the next; made with the first."""


def stages(
    path: str,
    documents: Mapping[str, Any] | None = None,
    *,
    members: tuple[int, ...] = MEMBERS,
    start: "str | Start | None" = None,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    kept: "Kept | None" = None,
) -> Iterator[Json]:
    """The plan of each number of ``members`` in turn; ``documents`` and ``start`` as in ``session.plan``.

    All but the last are drafts: their evenings, card, assumptions and mends are empty, and odds of few skies stand
    beside the schedule of the one sky. The last is what ``plan`` gives. What is the same as in the plan before is not
    reckoned again; it is in ``kept``, this process's own if not given.
    Raises Problems, InputError and Cancelled as ``plan`` does.
    """
    from voyager.files.memory import give_back
    from voyager.session.plan import begun_at, ticker

    tick = ticker(progress, cancelled)
    tick(0.0, "files")
    loaded, begin, before = begun_at(path, None, documents, start)
    tick(0.05, "sun and climate")
    told = 0
    try:
        for plan in _plans(loaded, begin, members, tick, _own_kept() if kept is None else kept):
            told += 1
            yield plan | before
    finally:
        if told == len(members):
            give_back()


def _own_kept() -> "Kept":
    from voyager.files.memory import steady
    from voyager.planner.kept import Kept

    if not _kept:
        steady()
        _kept.append(Kept())
    return _kept[0]


def _plans(
    loaded: "Loaded", begin: "Start | None", members: tuple[int, ...], tick: "Progress", kept: "Kept"
) -> Iterator[Json]:
    """The policy of many skies is found once, over the days that the plan of one sky needs; before the last plan it is
    made sure that these are the right ones. Members once followed stay so."""
    from voyager.planner.outlook import LONGEST_DAYS, confirmed, look, look_ahead, look_many
    from voyager.session.odds import followed, refuse_too_many
    from voyager.session.plan import Found, told

    vessel, voyage, record = loaded.vessel, loaded.voyage, loaded.record
    refuse_too_many(max(members), LONGEST_DAYS, record is not None)
    one, ahead, through, draft = None, None, None, Json()
    for count in members:
        last = count == members[-1]
        if count <= 0:
            one = look(vessel, voyage, tick, record=record, start=begin, kept=kept)
            draft = told(loaded, Found(one, one, None, 0, SEED, begin), tick, whole=last)
            yield draft
            continue
        if not last and one is not None and ahead is None:
            ahead = look_ahead(one, tick, record=record, start=begin, kept=kept)
        if not last and ahead is not None:
            through = followed(ahead, count, SEED, record, tick, before=through)
            yield _with_odds(draft, through)
            continue
        both = confirmed(ahead, tick, kept=kept) if ahead is not None else None
        if both is None:
            both, through = look_many(vessel, voyage, tick, record=record, start=begin, kept=kept), None
        through = followed(both.many, count, SEED, record, tick, before=through)
        yield told(loaded, Found(both.many, both.one, through, count, SEED, begin), tick, whole=last)


def _with_odds(draft: Json, through: "Followed") -> Json:
    """The schedule of the one sky with the odds of few skies beside it."""
    from voyager.planner.tally import tally

    voyage = {**draft["voyage"], "members": through.voyages.members, "seed": SEED}
    return {**draft, "voyage": voyage, "odds": tally(through.voyages, SEED)}
