"""One wish, several answers, each better than the one before: one sky at once, then the odds of few and of many."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

MEMBERS = (0, 200, 1000)


def stages(
    path: str,
    documents: Mapping[str, Any] | None = None,
    *,
    members: tuple[int, ...] = MEMBERS,
    progress: Callable[[float, str], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Iterator[dict[str, object]]:
    """The plan of each number of ``members`` in turn; ``documents`` as in ``session.plan``.

    Raises Problems, InputError and Cancelled as ``plan`` does.
    """
    from voyager.session.plan import plan

    for count in members:
        yield plan(path, documents=documents, members=count, progress=progress, cancelled=cancelled)
