"""Every state of a sketch since it was opened, as steps that can be taken back and made again without limit."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from voyager.session.sketch.state import Row, Sketch, Values

EMPTY = Sketch()


@dataclass(frozen=True)
class Step:
    """One state of the sketch and the words for the edit that led to it."""

    sketch: Sketch
    label: str


@dataclass(frozen=True)
class History:
    """Steps taken, the last of which holds now, and steps taken back, the nearest first.

    ``saved`` is the sketch as its files hold it.
    """

    taken: tuple[Step, ...] = (Step(EMPTY, ""),)
    back: tuple[Step, ...] = ()
    saved: Sketch = EMPTY

    @property
    def now(self) -> Sketch:
        """The sketch as it stands."""
        return self.taken[-1].sketch

    @property
    def unsaved(self) -> bool:
        """Whether the files hold something else than the sketch as it stands."""
        return not same(self.now, self.saved)

    def add(self, sketch: Sketch, label: str) -> "History":
        """A new step, what had been taken back is gone; unchanged where the sketch says the same."""
        if same(sketch, self.now):
            return self
        return replace(self, taken=(*self.taken, Step(sketch, label)), back=())

    def undo(self) -> "History":
        """One step back; unchanged at the first."""
        if len(self.taken) == 1:
            return self
        return replace(self, taken=self.taken[:-1], back=(self.taken[-1], *self.back))

    def redo(self) -> "History":
        """One step forward again; unchanged when nothing was taken back."""
        if not self.back:
            return self
        return replace(self, taken=(*self.taken, self.back[0]), back=self.back[1:])

    def written(self, sketch: Sketch) -> "History":
        """The files now hold ``sketch``, which may be an earlier state than the last."""
        return replace(self, saved=sketch)

    def moved(self, top: Values) -> "History":
        """With some of the voyage's top keys the same in every step, as another place of the file asks for."""
        if not top:
            return self
        taken, back = (
            [Step(_put(step.sketch, top), step.label) for step in steps] for steps in (self.taken, self.back)
        )
        return History(tuple(taken), tuple(back), _put(self.saved, top))


def _put(sketch: Sketch, top: Values) -> Sketch:
    return replace(sketch, top={**sketch.top, **top})


def begun(sketch: Sketch) -> History:
    """The history of a sketch just read from its files."""
    return History((Step(sketch, ""),), (), sketch)


def taken_up(base: Sketch, taken: Iterable[tuple[Sketch, str]], back: Iterable[tuple[Sketch, str]]) -> History:
    """A history left by a session that did not end: steps after ``base``, and steps taken back, the nearest first."""
    steps = (Step(base, ""), *(Step(sketch, label) for sketch, label in taken))
    return History(steps, tuple(Step(sketch, label) for sketch, label in back), base)


def same(one: Sketch, other: Sketch) -> bool:
    """Whether two sketches would be written alike; the identities of rows do not matter."""
    if one is other:
        return True
    rows = ((one.places, other.places), (one.legs, other.legs), (one.forecast, other.forecast))
    tables = (one.top, one.boat, one.remarks) == (other.top, other.boat, other.remarks)
    return tables and all(_alike(*pair) for pair in rows)


def _alike(ones: tuple[Row, ...], others: tuple[Row, ...]) -> bool:
    pairs = zip(ones, others, strict=False)
    return len(ones) == len(others) and all(one is other or one.values == other.values for one, other in pairs)
