"""Messages: widgets say what the user did, the worker says what it found; the app alone acts on them."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from textual.message import Message

if TYPE_CHECKING:
    from voyager.session.sketch.state import Sketch


class Chosen(Message):
    """A choice of the strip was opened (mouse or Enter)."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__()


class Edited(Message):
    """An edit made another sketch of the one on the desk; ``label`` names it for undo ("speed of leg 3")."""

    def __init__(self, sketch: "Sketch", label: str) -> None:
        self.sketch, self.label = sketch, label
        super().__init__()


class Told(Message):
    """A short notice to the user."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__()


class Asked(Message):
    """Something to be computed beside the plan: a dotted function and its arguments, all of them plain values.

    The answer comes to the pane called ``name`` as ``answer(name, body)``; only that of the newest question does. A
    pane with several questions names them ``pane:what``. ``watch``: it takes long; the function is given ``progress``,
    which the pane hears as ``progress(name, share, text)``, and ``cancelled``, true once the question was left.
    """

    def __init__(self, name: str, function: str, *arguments: Any, watch: bool = False) -> None:
        self.name, self.function, self.arguments, self.watch = name, function, arguments, watch
        super().__init__()


class Left(Message):
    """What was asked by that name is no longer wanted."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__()


class Typing(Message):
    """What stands half typed in a cell or field, for the journal; None once it was taken or left.

    ``where`` has ``row`` (the row's identity), ``key`` and ``text``.
    """

    def __init__(self, where: Mapping[str, Any] | None) -> None:
        self.where = where
        super().__init__()


class Pointed(Message):
    """The cursor now stands on a leg or a day (``what``), counted from 0."""

    def __init__(self, what: str, index: int) -> None:
        self.what, self.index = what, index
        super().__init__()


class Reported(Message):
    """The worker reported: ``kind`` is opened, faults, draft (the plan under one sky), better, plan, progress, answer,
    problem, fault or lost."""

    def __init__(self, kind: str, ticket: int, body: Any) -> None:
        self.kind, self.ticket, self.body = kind, ticket, body
        super().__init__()


class Closed(Message):
    """The pane that was opened is to be closed."""


class Stepped(Message):
    """The card now shows another day (its number)."""

    def __init__(self, day: int) -> None:
        self.day = day
        super().__init__()


class Logged(Message):
    """The log of the voyage on the desk now holds other entries: what stands on it is to be asked for anew."""


class Noting(Message):
    """An entry of the log is to be typed: a new one, or ``row`` anew; ``text``: what stands in the line at first."""

    def __init__(self, row: Mapping[str, Any] | None = None, text: str | None = None) -> None:
        self.row, self.text = row, text
        super().__init__()
