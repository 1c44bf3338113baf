"""Food: the catalogue, and properties from composition."""

from __future__ import annotations

from corebath.food.catalogue import Caution, Food, Word, catalogue
from corebath.food.composition import Composition
from corebath.food.files import sources
from corebath.food.kinds import Handling, Kind, Texture
from corebath.food.naming import AmbiguousFood, UnknownFood, find, search

__all__ = [
    "AmbiguousFood",
    "Caution",
    "Composition",
    "Food",
    "Handling",
    "Kind",
    "Texture",
    "UnknownFood",
    "Word",
    "catalogue",
    "find",
    "search",
    "sources",
]
