"""Whether a voyage and its boat are sound."""

from collections.abc import Callable


def check(path: str) -> list[str]:
    """Plain notes on a sound voyage: what is right but worth a word, such as keys that nothing uses yet.

    Raises Problems with all that is wrong in the voyage file and the boat file that it names.
    """
    from voyager.files.examine import examine

    return list(examine(path).notes)


def check_strictly(path: str, progress: Callable[[float, str], None] | None = None) -> tuple[list[str], bool]:
    """As ``check``, then the plan: the notes with one on it, and whether the boat arrives."""
    notes = check(path)
    from voyager.session.plan import plan

    result = plan(path, progress=progress)
    arrives = result["arrives"]
    told = f"the plan arrives on {arrives}" if arrives else "no plan arrives"
    return [*notes, f"with a {_sky(result)} sky {told}{_short(result)}"], arrives is not None


def _sky(result: dict[str, object]) -> str:
    voyage = result["voyage"]
    return str(voyage["sky"]) if isinstance(voyage, dict) else ""


def _short(result: dict[str, object]) -> str:
    """The first day on which energy is missing, and what would mend it."""
    short = result.get("short")
    if not isinstance(short, dict):
        return ""
    text = f"; on {short['date']} at {short['place']} {short['short_kwh']:.1f} kWh are missing"
    mends = "; or ".join(str(mend["text"]).rstrip(".") for mend in short["mends"])
    return f"{text}; what would mend it: {mends}" if mends else text
