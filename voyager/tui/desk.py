"""What the screens stand on: the voyage as its file gives it, the wishes, and the last plan. No Textual here."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from typing import Any

from voyager.report.words import long_date
from voyager.tui import words
from voyager.tui.packed import unpacked
from voyager.tui.wishes import History, Value, leg_key

CHOICE_NAMES = {"departs": "Departs", "sky": "Sky", "aim": "Aim", "by": "By", "comfort": "Comfort"}
COMPUTING = "This is being computed: the voyage is sailed through many skies, the plan read at every berth."


@dataclass(frozen=True)
class Desk:
    """``ticket`` of the plan under way, 0 for none; ``trouble``: why the last wish could not be planned.

    ``draft``: the plan shown answers the wishes under one sky, and has no odds yet.
    """

    path: str
    outline: Mapping[str, Any] | None = None
    plan: Mapping[str, Any] | None = None
    history: History = field(default_factory=History)
    ticket: int = 0
    trouble: str | None = None
    draft: bool = False

    @property
    def shown(self) -> Mapping[str, Any] | None:
        """What there is to show: the last plan, else the bare voyage."""
        return self.plan or self.outline

    @property
    def former(self) -> bool:
        """Whether what is shown does not answer the wishes as they stand."""
        return self.plan is not None and not self.draft and (self.ticket != 0 or self.trouble is not None)

    @property
    def former_words(self) -> str:
        """For the headings of what is not the last word."""
        return " (former plan)" if self.former else " (provisional)" if self.draft else ""

    @property
    def odds_note(self) -> str:
        """Why there are no odds and no card."""
        if self.plan is None:
            return "planning …" if self.shown else "reading the voyage …"
        if self.ticket and self.draft:
            return COMPUTING
        return "The odds of this plan were not computed."

    def mornings(self) -> list[int]:
        """Numbers of the days that the plan or its card has."""
        plan = self.plan or {"days": [], "card": {}}
        return sorted({day["day"] for day in plan["days"]} | set(plan["card"]))

    def card(self, day: int) -> Sequence[Mapping[str, Any]]:
        """The card's rows of one day."""
        return () if self.plan is None else unpacked(self.plan, day)

    def own(self, key: str) -> Value:
        """The file's value of a choice or of ``legs.NUMBER.NAME``."""
        if self.outline is None:
            return None
        if not key.startswith("legs."):
            value: Value = self.outline["voyage"].get(key)
            return value
        _, number, name = key.split(".")
        leg = self.outline["legs"][int(number) - 1]
        return leg["nights"] if name == "nights" else (leg["speed_kmh"] if leg["fixed_speed"] else None)

    def value(self, key: str) -> Value:
        """The wish, else the file's value."""
        values = self.history.now.values
        return values[key] if key in values else self.own(key)

    def choice_words(self, key: str) -> str:
        """A choice's value as the strip shows it."""
        value = self.value(key)
        if value is None:
            return words.NONE
        return long_date(str(value)) if key in {"departs", "by"} else str(value)

    def options(self, key: str) -> list[tuple[str, str]]:
        """The values a choice may take, each with a word on it."""
        if key != "comfort":
            return list(words.CHOICES[key].items())
        steps: list[str] = list((self.shown or {}).get("choices", {}).get("comfort", []))
        ends = {0: "warmest", len(steps) - 1: "frost guard only" if steps[-1:] == ["off"] else "coolest"}
        return [(step, ends.get(place, "")) for place, step in enumerate(steps)]

    def wish(self, key: str, value: Value, label: str) -> "Desk":
        """With one more wish."""
        wishes = self.history.now.put(key, value, self.own(key))
        return replace(self, history=self.history.add(wishes, label))

    def wish_leg(self, number: int, name: str, value: Value) -> "Desk":
        """With a leg's fixed speed or nights changed."""
        what = "speed" if name == "speed_kmh" else "nights"
        return self.wish(leg_key(number, name), value, f"{what} of leg {number}")

    def shifted(self, days: int) -> "Desk":
        """Departing some days later."""
        departs = self.value("departs")
        if departs is None:
            return self
        later = date.fromisoformat(str(departs)) + timedelta(days=days)
        return self.wish("departs", later.isoformat(), "departure")

    def leg_rows(self) -> list[dict[str, Any]]:
        """The legs as they are to be shown: figures of the plan, speeds and nights as wished."""
        return [self._leg_row(dict(leg)) for leg in (self.shown or {}).get("legs", [])]

    def _leg_row(self, leg: dict[str, Any]) -> dict[str, Any]:
        number = leg["leg"]
        speed, nights = self.value(leg_key(number, "speed_kmh")), self.value(leg_key(number, "nights"))
        if speed is not None:
            leg.update(speed_kmh=speed, fixed_speed=True)
        elif leg.get("fixed_speed") or self.plan is None:
            leg.update(speed_kmh=None, fixed_speed=False)
        leg["nights"] = nights if nights is not None else leg.get("nights", 0)
        return leg
