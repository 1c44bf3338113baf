"""The catalogue: foods with their composition, and the words cooks in several countries have for them.

Figures without a row of their own use a stated stand-in or a value from memory; `composition_note` and
`freezing_note` say which. Citations of the source keys: `corebath.food.files.sources`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from corebath.food.composition import Composition
from corebath.food.files import rows
from corebath.food.kinds import Handling, Kind, Texture


class Word(NamedTuple):
    """A word for a food, and where it means that food.

    place : country code in capitals ("US", "UK", "AU", "AT") or language code in small letters ("fr", "de")
    """

    text: str
    place: str


class Caution(NamedTuple):
    """One sentence a cook should read, quantities as marks, and the key of its source."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class Food:
    """One catalogue entry.

    key, name : stable key ("beef-ribeye") and English name ("beef ribeye steak")
    kind, texture : classes that food rules and texture figures go by
    composition : mass fractions of the raw food
    composition_source, composition_note : source key, and the row or stand-in behind it
    initial_freezing_C : where the first ice forms [degC], below 0
    freezing_source, freezing_note : likewise
    words : synonyms with the country or language they belong to
    default_handling : how the food is usually sold
    usual_shape : slab, cylinder, ball, bar, short-cylinder or brick
    hazards : keys of what the food may carry ("salmonella", "parasites", ...)
    sourced_cautions : sentences to show with any plan, each with its source key
    """

    key: str
    name: str
    kind: Kind
    texture: Texture
    composition: Composition
    composition_source: str
    composition_note: str
    initial_freezing_C: float
    freezing_source: str
    freezing_note: str
    words: tuple[Word, ...]
    default_handling: Handling
    usual_shape: str
    hazards: tuple[str, ...]
    sourced_cautions: tuple[Caution, ...]

    @property
    def cautions(self) -> tuple[str, ...]:
        """The sentences alone."""
        return tuple(caution.text for caution in self.sourced_cautions)


@cache
def catalogue() -> Mapping[str, Food]:
    """Every food by its key, in the order of the data file; read-only."""
    compositions = {row["key"]: row for row in rows("composition.csv")}
    freezing = {row["key"]: row for row in rows("freezing.csv")}
    cautions = {row["key"]: Caution(row["text"], row["source"]) for row in rows("cautions.csv")}
    words: dict[str, list[Word]] = {}
    for row in rows("synonyms.csv"):
        words.setdefault(row["food"], []).extend(Word(row["word"], p) for p in row["places"].split("|"))
    foods = {}
    for row in rows("foods.csv"):
        made_of, freezes = compositions[row["composition"]], freezing[row["freezing"]]
        foods[row["key"]] = Food(
            key=row["key"],
            name=row["name"],
            kind=Kind(row["kind"]),
            texture=Texture(row["texture"]),
            composition=_composition(made_of),
            composition_source=made_of["source"],
            composition_note=row["composition_note"] or f"{made_of['label']}, {made_of['note']}",
            initial_freezing_C=float(freezes["initial_freezing_C"]),
            freezing_source=freezes["source"],
            freezing_note=row["freezing_note"] or _freezing_note(freezes),
            words=tuple(words.get(row["key"], ())),
            default_handling=Handling(row["handling"]),
            usual_shape=row["shape"],
            hazards=tuple(row["hazards"].split("|")),
            sourced_cautions=tuple(cautions[key] for key in row["cautions"].split("|")),
        )
    return MappingProxyType(foods)


def _freezing_note(row: dict[str, str]) -> str:
    return f"{row['label']}, value from memory" if row["how"] == "memory" else row["label"]


def _composition(row: dict[str, str]) -> Composition:
    return Composition.normalised(
        water_g=float(row["water_g"]),
        protein_g=float(row["protein_g"]),
        fat_g=float(row["fat_g"]),
        total_carbohydrate_g=float(row["total_carbohydrate_g"]),
        fibre_g=float(row["fibre_g"]),
        ash_g=float(row["ash_g"]),
    )
