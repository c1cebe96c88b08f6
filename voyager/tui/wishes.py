"""What the user asked for beyond the voyage file: frozen values, each change a step that can be taken back."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

Value = str | float | int | None


def leg_key(number: int, name: str) -> str:
    """Key of a change to one leg: ``number`` counts from 1, ``name`` is speed_kmh or nights."""
    return f"legs.{number}.{name}"


@dataclass(frozen=True)
class Wishes:
    """Changes by key: a key of the voyage's top table, or ``legs.NUMBER.NAME``."""

    values: Mapping[str, Value] = field(default_factory=dict)

    def put(self, key: str, value: Value, own: Value) -> "Wishes":
        """With one more change; a value equal to the file's ``own`` is no change."""
        kept = {k: v for k, v in self.values.items() if k != key}
        return Wishes(kept if value == own else {**kept, key: value})

    def changes(self) -> dict[str, object]:
        """The ``changes`` argument of session.plan: plain values, legs nested by number."""
        top: dict[str, object] = {k: v for k, v in self.values.items() if not k.startswith("legs.")}
        legs: dict[int, dict[str, Value]] = {}
        for key, value in self.values.items():
            if key.startswith("legs."):
                _, number, name = key.split(".")
                legs.setdefault(int(number), {})[name] = value
        return {**top, "legs": legs} if legs else top


@dataclass(frozen=True)
class Step:
    """One state of the wishes and the words for the change that led to it."""

    wishes: Wishes
    label: str


@dataclass(frozen=True)
class History:
    """Steps taken and steps taken back; the last step taken holds now."""

    taken: tuple[Step, ...] = (Step(Wishes(), ""),)
    back: tuple[Step, ...] = ()

    @property
    def now(self) -> Wishes:
        """The wishes as they stand."""
        return self.taken[-1].wishes

    def add(self, wishes: Wishes, label: str) -> "History":
        """A new step; what had been taken back is gone."""
        return self if wishes == self.now else History((*self.taken, Step(wishes, label)))

    def undo(self) -> "History":
        """One step back; unchanged at the first."""
        if len(self.taken) == 1:
            return self
        return History(self.taken[:-1], (self.taken[-1], *self.back))

    def redo(self) -> "History":
        """One step forward again; unchanged when nothing was taken back."""
        if not self.back:
            return self
        return replace(self, taken=(*self.taken, self.back[0]), back=self.back[1:])
