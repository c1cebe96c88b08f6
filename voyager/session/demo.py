"""The voyage that is shown when none is named."""

from voyager.errors import InputError


def demo_path() -> str:
    """The demo voyage's file: inside the installed package, else beside it in a checkout.

    Raises InputError where there is neither.
    """
    from voyager.files.shipped import demo_file

    path = demo_file()
    if path is None:
        raise InputError("the demo voyages are not installed here; name a voyage file")
    return path
