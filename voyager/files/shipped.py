"""The voyages that come with the program: where they are, and which of them are not to be written over."""

import os
from pathlib import Path

import voyager

DEMO = "spring.toml"
PAIR = (DEMO, "quillet.toml")


def demo_file() -> str | None:
    """The demo voyage: inside the installed package, else beside it in a checkout; None where there is neither."""
    package = Path(voyager.__file__).parent
    for routes in (package / "routes", package.parent / "routes"):
        if (routes / DEMO).is_file():
            return str(routes / DEMO)
    return None


def shipped(path: str | os.PathLike[str]) -> bool:
    """Whether a file is the demo's or lies in the installed package: the demo stays, and a release takes edits away."""
    file, package = os.path.realpath(path), os.path.realpath(os.path.dirname(voyager.__file__))
    demo = demo_file()
    folder = "" if demo is None else os.path.realpath(os.path.dirname(demo))
    return file.startswith(package + os.sep) or file in {os.path.join(folder, name) for name in PAIR}
