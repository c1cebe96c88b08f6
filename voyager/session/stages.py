"""One wish, several answers, each better than the one before: one sky at once, then the odds of few and of many."""

from collections.abc import Callable, Iterator, Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from voyager.files.voyage_file import Loaded
    from voyager.planner.kept import Kept
    from voyager.session.plan import Found, Progress

MEMBERS = (0, 200, 1000)
SEED = 1
_kept: "list[Kept]" = []
"""What this process keeps from one plan to the next; made with the first."""


def stages(
    path: str,
    documents: Mapping[str, Any] | None = None,
    *,
    members: tuple[int, ...] = MEMBERS,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
    kept: "Kept | None" = None,
) -> Iterator[dict[str, object]]:
    """The plan of each number of ``members`` in turn; ``documents`` as in ``session.plan``.

    All but the last are drafts: their card, assumptions and mends are empty. The last is what ``plan`` gives. What
    is the same as in the plan before is not reckoned again; it is in ``kept``, this process's own if not given.
    Raises Problems, InputError and Cancelled as ``plan`` does.
    """
    from voyager.files.voyage_file import load_voyage
    from voyager.session.plan import ticker, told

    tick = ticker(progress, cancelled)
    tick(0.0, "files")
    loaded = load_voyage(path, documents=documents)
    tick(0.05, "sun and climate")
    last = len(members) - 1
    for at, found in enumerate(_found(loaded, members, tick, _own_kept() if kept is None else kept)):
        tick(0.9, "what would mend it")
        yield told(loaded, found, tick, whole=at == last)


def _own_kept() -> "Kept":
    from voyager.planner.kept import Kept

    if not _kept:
        _kept.append(Kept())
    return _kept[0]


def _found(loaded: "Loaded", members: tuple[int, ...], tick: "Progress", kept: "Kept") -> "Iterator[Found]":
    """What each plan is told from. The policy of many skies is found once, over the days that the plan of one sky
    before it needs; before the last plan is told it is made sure that these are the right ones. Members once followed
    stay so."""
    from voyager.planner.outlook import LONGEST_DAYS, confirmed, look, look_ahead, look_many
    from voyager.session.odds import followed, refuse_too_many
    from voyager.session.plan import Found

    vessel, voyage, record = loaded.vessel, loaded.voyage, loaded.record
    refuse_too_many(max(members), LONGEST_DAYS, record is not None)
    one, both, through, sure = None, None, None, False
    for count in members:
        if count <= 0:
            one = look(vessel, voyage, tick, record=record, kept=kept)
            yield Found(one, one, None, 0, SEED, None)
            continue
        last = count == members[-1]
        if last and both is not None and not sure:
            both, sure = confirmed(both, tick, kept=kept), True
            through = through if both is not None else None
        if not last and both is None and one is not None:
            both = look_ahead(one, tick, record=record, kept=kept)
        if both is None:
            both, sure = look_many(vessel, voyage, tick, record=record, kept=kept), True
        through = followed(both.many, count, SEED, record, tick, before=through)
        yield Found(both.many, both.one, through, count, SEED, None)
