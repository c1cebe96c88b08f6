"""How sure a plan is: its policy followed through many skies."""

from collections.abc import Callable
from dataclasses import fields, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from voyager.errors import InputError

if TYPE_CHECKING:
    from voyager.planner.many import Followed
    from voyager.planner.outlook import Outlook
    from voyager.planner.tally import Voyages
    from voyager.sky.record import Record

Progress = Callable[[float, str], None]
BLOCK = 2000
MEMORY_SHARE = 0.8


def followed(
    found: "Outlook",
    members: int,
    seed: int,
    record: "Record | None" = None,
    tick: Progress = lambda share, text: None,
    *,
    before: "Followed | None" = None,
) -> "Followed":
    """The policy through ``members`` skies, in blocks that keep memory in bounds; ``before``: the first of them, which
    have been followed already."""
    from voyager.planner.many import follow_many
    from voyager.planner.skies import skies_of, some

    days = found.policy.problem.days
    skies = skies_of(found.frame, members, seed, days, record)
    parts = [] if before is None else [before]
    for first in range(sum(part.voyages.members for part in parts), members, BLOCK):
        said = f"skies {first + 1} to {min(first + BLOCK, members)}"
        share = 0.6 + 0.3 * first / members

        def heard(_: float, share: float = share, said: str = said) -> None:
            tick(share, said)

        parts.append(follow_many(found.frame, found.built, found.policy, some(skies, first, first + BLOCK), heard))
    return parts[0] if len(parts) == 1 else _together(parts)


def _together(parts: "list[Followed]") -> "Followed":
    """Blocks of members one after another."""
    whole: dict[str, Any] = {}
    first: Voyages = parts[0].voyages
    for one in fields(first):
        values = [getattr(part.voyages, one.name) for part in parts]
        whole[one.name] = np.concatenate(values) if isinstance(values[0], np.ndarray) else values[0]
    return replace(
        parts[0],
        voyages=replace(first, **whole),
        wakes=np.sum([part.wakes for part in parts], axis=0),
        held_days=sum(part.held_days for part in parts),
        held_below=sum(part.held_below for part in parts),
    )


def refuse_too_many(members: int, days: int, measured: bool = False) -> None:
    """Raise InputError where skies of ``members`` over ``days``, ``measured`` or drawn, would not fit into memory."""
    from voyager.planner.skies import BYTES_A_MEMBER_DAY, BYTES_MEASURED

    each = BYTES_MEASURED if measured else BYTES_A_MEMBER_DAY
    room = _free_bytes()
    need = members * days * each
    if room is not None and need > MEMORY_SHARE * room:
        most = _two_digits(int(MEMORY_SHARE * room / (days * each)))
        raise InputError(
            f"{members} members over {days} days need some {need / 1e9:.1f} GB of memory and {room / 1e9:.1f} GB are "
            f"free; {f'ask for at most {most}' if most else 'ask for 0, the plan of one sky alone'}"
        )


def _two_digits(count: int) -> int:
    """Rounded down to two digits."""
    unit: int = 10 ** max(len(str(count)) - 2, 0)
    return count // unit * unit


def _free_bytes() -> int | None:
    """Memory that is free on this machine, within the process's own limit; None where the system does not tell."""
    from voyager.files.memory import free_bytes

    free = free_bytes()
    try:
        import resource

        limit = resource.getrlimit(resource.RLIMIT_AS)[0]
    except ImportError:
        return free
    return free if free is None or limit < 0 else min(free, limit)
