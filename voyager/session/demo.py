"""The voyage that is shown when none is named."""

from pathlib import Path

import voyager
from voyager.errors import InputError

DEMO = "spring.toml"


def demo_path() -> str:
    """The demo voyage's file: inside the installed package, else beside it in a checkout.

    Raises InputError where there is neither.
    """
    package = Path(voyager.__file__).parent
    for routes in (package / "routes", package.parent / "routes"):
        if (routes / DEMO).is_file():
            return str(routes / DEMO)
    raise InputError("the demo voyages are not installed here; name a voyage file")
