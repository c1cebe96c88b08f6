"""The page of fits as it stands: kinds, files, options, what was found or refused, by kind. No Textual here."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Final

from voyager.session.fit_cautions import ALWAYS, texts
from voyager.session.fit_fields import columns, fields
from voyager.session.fit_options import OPTIONS
from voyager.session.sketch.boat import parts
from voyager.session.sketch.state import Sketch
from voyager.tui.units import PLAIN, Units
from voyager.tui.values_rows import ValueRow

NEXT: Final = "next"
KINDS: Final = ("heat", "trial", "panels", "model", "roll", NEXT)
MEANT: Final = {
    "heat": "Heater test: heat loss and warming up of the cabin",
    "trial": "Speed runs both ways: the hull's coefficient",
    "panels": "Panel log: losses and shade of an array",
    "model": "Towed or powered model: power of the full-size boat",
    "roll": "Roll test: metacentric height",
    NEXT: "Which measurement is worth making next",
}
Json = Mapping[str, Any]
KIND_ROW, FILE_ROW, OPTIONS_FROM = 0, 1, 2


@dataclass(frozen=True)
class Fitting:
    """One kind of fit: its file, its options, what came of them. ``reason``: why nothing did."""

    file: str = ""
    options: Json = field(default_factory=dict)
    result: Json | None = None
    reason: str = ""


@dataclass(frozen=True)
class Page:
    """All of them; ``offer``: what would be put into the boat, shown before it is; ``worth``: what "next" found of
    ``worth_of``; ``share``: how far the search for it is, None where none is under way."""

    kind: str = KINDS[0]
    fittings: Mapping[str, Fitting] = field(default_factory=dict)
    offer: Json | None = None
    worth: Json | None = None
    worth_of: Sketch | None = None
    share: tuple[float, str] | None = None

    @property
    def here(self) -> Fitting:
        """The fit of the kind that is shown."""
        return self.fittings.get(self.kind, Fitting())

    def put(self, kind: str, **values: Any) -> "Page":
        """With other values of one kind's fit."""
        changed = replace(self.fittings.get(kind, Fitting()), **values)
        return replace(self, fittings={**self.fittings, kind: changed})


def option_rows(page: Page, sketch: Sketch | None, units: Units = PLAIN) -> list[ValueRow]:
    """The options of the kind that is shown; places and arrays to choose from are the voyage's own."""
    if page.kind == NEXT:
        return []
    rows = []
    for one in fields(page.kind, choices(sketch)):
        scale = units.scale(str(one["unit"])) if one["kind"] == "number" else None
        value = page.here.options.get(one["key"])
        rows.append(ValueRow(str(one["label"]), page.kind, one, (one["key"],), (), value, scale=scale))
    return rows


def choices(sketch: Sketch | None) -> dict[str, list[str]]:
    """Names that the voyage knows."""
    if sketch is None:
        return {}
    places = [str(row.get("name")) for row in sketch.places if row.get("name")]
    return {"place": places, "array": [name for _, name in parts(sketch, "array")]}


def cautions(page: Page, row: int = -1) -> list[str]:
    """The sentences to heed beside the kind that is shown; ``row``: of the values of "next"."""
    if page.kind == NEXT:
        values = (page.worth or {}).get("values", [])
        told = values[row]["caution"] if 0 <= row < len(values) else ""
        return [told] if told else []
    result = page.here.result
    return list(texts(ALWAYS[page.kind]) if result is None else result["caution_texts"])


def in_words(kind: str, text: str) -> str:
    """A refusal with the options named as the page names them, not as they are typed in a command."""
    labels = {one["key"]: str(one["label"]) for one in fields(kind)} if kind != NEXT else {}
    for option in sorted(OPTIONS.get(kind, ()), key=lambda one: -len(one.name)):
        if option.name in labels:
            text = text.replace(option.word, f'"{labels[option.name]}"')
    return text


def kind_of(worth_row: Json) -> str | None:
    """The kind of fit that a test of "next" calls for, None where no fit takes it."""
    words = str(worth_row["command"]).split()
    return words[2] if words[:2] == ["voyager", "fit"] and words[2] in KINDS else None


def about(page: Page) -> list[tuple[str, str]]:
    """The page to read on the kind that is shown: what it is, its columns, every caution."""
    lines = [("title", MEANT[page.kind])]
    if page.kind != NEXT:
        lines += [("plain", f"A CSV with a header row: {columns(page.kind)}."), ("plain", "")]
        lines += [("plain", f"{one['label']}: {one['help']}") for one in fields(page.kind)]
        lines += [("plain", ""), ("plain", f"voyager fit {page.kind} --help lists every option.")]
    told = [("caution", f"! {text}") for text in cautions(page)]
    return [*lines, *([("plain", "")] if told else []), *told]
