"""Messages: widgets say what the user did, the worker says what it found; the app alone acts on them."""

from typing import Any

from textual.message import Message


class Chosen(Message):
    """A choice of the strip was opened (mouse or Enter)."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__()


class Wished(Message):
    """A cell of a leg was changed to a value already checked."""

    def __init__(self, number: int, name: str, value: float | int | None) -> None:
        self.number, self.name, self.value = number, name, value
        super().__init__()


class Pointed(Message):
    """The cursor now stands on a leg or a day (``what``), counted from 0."""

    def __init__(self, what: str, index: int) -> None:
        self.what, self.index = what, index
        super().__init__()


class Reported(Message):
    """The worker reported: ``kind`` outline, draft (the plan under one sky), plan, progress, problem, fault or lost."""

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
