"""Whether a voyage and its boat are sound."""

from voyager.errors import NoPlan


def check(path: str) -> list[str]:
    """Plain notes on a sound voyage: what is right but worth a word, such as keys that nothing uses yet.

    Raises Problems with all that is wrong in the voyage file and the boat file that it names.
    """
    from voyager.files.examine import examine

    return list(examine(path).notes)


def check_strictly(path: str) -> list[str]:
    """As ``check``, then the plan too. Raises NoPlan where the boat does not arrive."""
    notes = check(path)
    from voyager.session.plan import plan

    result = plan(path, {})
    date = arrival_date(result)
    if date is None:
        raise NoPlan(f"{path}: no plan arrives{_short(result)}")
    return [*notes, f"with {_sky(result)} sky the plan arrives on {date}"]


def arrival_date(result: dict[str, object]) -> str | None:
    """The date of arrival of a plan, None where it does not arrive."""
    arrives = result.get("arrives")
    if isinstance(arrives, dict):
        arrives = arrives.get("date")
    return arrives if isinstance(arrives, str) else None


def _sky(result: dict[str, object]) -> str:
    voyage = result.get("voyage")
    return f"a {voyage['sky']}" if isinstance(voyage, dict) and "sky" in voyage else "one"


def _short(result: dict[str, object]) -> str:
    short = result.get("short")
    if not isinstance(short, dict):
        return ""
    mends = [mend["text"] for mend in short.get("mends", []) if isinstance(mend, dict) and "text" in mend]
    mend = f"; {mends[0]}" if mends else ""
    return f": on {short.get('date')} at {short.get('place')} {short.get('short_kwh')} kWh are missing{mend}"
