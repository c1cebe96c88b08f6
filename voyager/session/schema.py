"""What an editor wants to know of the files."""

from typing import Any, Literal


def schema(kind: Literal["boat", "voyage"]) -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of a boat file or a voyage file."""
    from voyager.files import schema as schemas

    return schemas.schema(kind)
