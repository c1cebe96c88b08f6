"""The measurement worth making next: which uncertain value of the boat leaves the arrival most in doubt."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from voyager.session.worth_values import Value, values

if TYPE_CHECKING:
    from voyager.boat.vessel import Vessel
    from voyager.files.voyage_file import Loaded
    from voyager.planner.tally import Voyages
    from voyager.session.plan import Progress
    from voyager.whatif.effects import Trial

Json = dict[str, Any]
MEMBERS, SEED = 200, 1


def worth(
    path: str,
    documents: Mapping[str, Any] | None = None,
    *,
    members: int = MEMBERS,
    seed: int = SEED,
    progress: "Progress | None" = None,
    cancelled: Callable[[], bool] | None = None,
) -> Json:
    """The uncertain values of a voyage's boat, the one that leaves most in doubt first.

    Each is planned anew one standard error up and down and followed through the same ``members`` skies. The keys are
    those of ``worth_told.told``. Raises Problems for unsound files, InputError for fewer than two members or more than
    memory holds, Cancelled as ``plan``.
    """
    from voyager.errors import InputError
    from voyager.files.voyage_file import load_voyage
    from voyager.planner.outlook import LONGEST_DAYS
    from voyager.session.odds import refuse_too_many
    from voyager.session.plan import ticker
    from voyager.session.worth_told import told
    from voyager.whatif.effects import effects, fared

    if members < 2:
        raise InputError("what a measurement is worth is told from a spread of skies; ask for 2 members at least")
    tick = ticker(progress, cancelled)
    tick(0.0, "files")
    loaded = load_voyage(path, documents=documents)
    refuse_too_many(members, LONGEST_DAYS, loaded.record is not None)
    held = _held(path, documents, loaded)
    known = values(held)
    trials = [_trial(path, held, value) for value in known]
    part = _Part(tick)

    def follow(vessel: "Vessel") -> "Voyages":
        return _follow(loaded, vessel, members, seed, part.told)

    base = follow(loaded.vessel)
    found = effects(
        lambda vessel: fared(follow(vessel), vessel.battery.reserve_kwh),
        fared(base, loaded.vessel.battery.reserve_kwh),
        trials,
        part.next,
    )
    return told(loaded, seed, base, list(zip(known, found, strict=True)))


class _Part:
    """Progress of one plan among several; how many there will be is known better as they go."""

    def __init__(self, tick: "Progress") -> None:
        self.tick, self.done, self.of = tick, 0, 0

    def next(self, done: int, of: int) -> None:
        """So many of the changed boats are done; the boat as she is was the first plan."""
        self.done, self.of = done + 1, of + 1

    def told(self, share: float, text: str) -> None:
        """How far the plan is that runs now."""
        if self.of:
            self.tick((self.done + share) / self.of, f"boat {self.done + 1} of {self.of}")
        else:
            self.tick(0.0, text)


def _held(path: str, documents: Mapping[str, Any] | None, loaded: "Loaded") -> Json:
    """Both documents, from the files where they are not given."""
    from voyager.files.change import pair_of
    from voyager.files.toml import read_toml

    if documents is None:
        return pair_of(path)
    return {"voyage": documents["voyage"], "boat": documents["boat"] or read_toml(loaded.boat_path).data}


def _trial(path: str, documents: Mapping[str, Any], value: Value) -> "Trial":
    """The changed vessels; a side that no boat file may say is left out. The weather file, which no boat changes, is
    not read again for them."""
    from voyager.whatif.effects import Side, Trial

    calm = {**documents, "voyage": {key: one for key, one in documents["voyage"].items() if key != "weather"}}
    made = [(step, _vessel(path, value.change(step), calm)) for step in value.steps()]
    return Trial(value.se, tuple(Side(step, vessel) for step, vessel in made if vessel is not None))


def _vessel(path: str, change: str, documents: Mapping[str, Any]) -> "Vessel | None":
    from voyager.errors import InputError
    from voyager.files.change import load_changed, parse_change

    try:
        return load_changed(path, parse_change(change), documents).vessel
    except InputError:
        return None


def _follow(loaded: "Loaded", vessel: "Vessel", members: int, seed: int, tick: "Progress") -> "Voyages":
    from voyager.planner.outlook import look_many
    from voyager.session.odds import followed

    found = look_many(vessel, loaded.voyage, tick, record=loaded.record)
    return followed(found.many, members, seed, loaded.record, tick).voyages
