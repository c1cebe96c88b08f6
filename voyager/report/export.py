"""Results as JSON and CSV text: names unchanged, no NaN, no infinity, ``format`` first."""

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

FORMAT = 1
DAY_KEYS: tuple[str, ...] = (
    "day", "date", "starts_utc", "length_h", "mark", "why", "sky_class", "comfort", "from", "mooring", "shore_here",
    "start_km", "end_km", "casts_off_utc", "made_fast_utc", "hours_underway", "waiting_h", "locks", "pace_w",
    "solar_kwh", "shore_kwh", "propulsion_kwh", "hotel_kwh", "heating_kwh", "loss_kwh", "spilled_kwh", "unserved_kwh",
    "charge_start_kwh", "charge_low_kwh", "charge_evening_kwh", "charge_end_kwh", "floor_kwh", "heating_reserve_kwh",
    "poor_low_kwh", "poor_evening_kwh", "held", "warm_hours", "asked_hours", "cabin_low_c",
)  # fmt: skip


def json_text(result: Mapping[str, object], *, ascii_only: bool = False) -> str:
    """JSON of one result with a final newline, keys in the order of ``result`` after ``format``."""
    ordered = {"format": result.get("format", FORMAT), **result}
    return json.dumps(plain(ordered), indent=1, ensure_ascii=ascii_only, allow_nan=False) + "\n"


def plain(value: object) -> object:
    """``value`` in JSON's own types: numbers that are not finite become None, tuples and arrays lists."""
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, date):
        return value.isoformat()
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else None
    return _foreign(value)


def _foreign(value: object) -> object:
    """Arrays and numpy scalars by ``tolist``, known without importing numpy; then any other iterable."""
    tolist = getattr(value, "tolist", None)
    if tolist is not None:
        return plain(tolist())
    if isinstance(value, Iterable):
        return [plain(one) for one in value]
    raise TypeError(f"{type(value).__name__} has no form in JSON")


def days_csv(plan: Mapping[str, object]) -> str:
    """The scalar keys of ``days`` in their fixed order, one row a day, a header row, lines ended by a newline."""
    days = plan["days"]
    return csv_text(DAY_KEYS, days if isinstance(days, Sequence) else ())


def csv_text(keys: Sequence[str], rows: Iterable[Mapping[str, object]]) -> str:
    """Rows of the named keys; None is an empty field, truth is ``true`` or ``false`` as in JSON."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(keys)
    writer.writerows([_field(plain(row.get(key))) for key in keys] for row in rows)
    return text.getvalue()


def _field(value: object) -> object:
    if isinstance(value, bool):
        return "true" if value else "false"
    return "" if value is None else value
