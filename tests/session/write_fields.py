"""Write the packaged table of fields anew: ``python -m tests.session.write_fields``."""

import json
from pathlib import Path

import voyager.session
from voyager.session.fields import TABLE, fields

PATH = Path(voyager.session.__file__).parent / "data" / TABLE


def table() -> str:
    """One line a field."""
    return "[\n" + ",\n".join(json.dumps(field, ensure_ascii=False) for field in fields()) + "\n]\n"


if __name__ == "__main__":
    PATH.parent.mkdir(exist_ok=True)
    PATH.write_text(table(), encoding="utf-8")
