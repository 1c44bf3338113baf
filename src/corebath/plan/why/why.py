"""One number explained, and how explanations are put together from the data files."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

from corebath.data_files import read_rows, read_toml
from corebath.outcome.parameters import number
from corebath.units import mark

_NUMBERS = "why.toml"


class Origin(StrEnum):
    """Where an input comes from."""

    TYPED = "typed"  # by the cook, with this question
    ASKED = "asked"  # stands in the request, and nobody noted whose word it is
    GEAR = "gear"
    CATALOGUE = "catalogue"
    USUAL = "usual"  # nothing was said, so a usual value stands in
    RULE = "rule"
    MODEL = "model"  # a published or fitted figure of a model
    RECKONED = "reckoned"


@dataclass(frozen=True, slots=True)
class Input:
    """What goes into a number. value : quantities as marks;  see : key of the number that explains it, or empty"""

    name: str
    value: str
    origin: Origin
    see: str = ""


@dataclass(frozen=True, slots=True)
class Why:
    """Why one number is what it is; texts with quantities as marks, none of them empty but the formula.

    key : stable and unique in an answer;  part : section of the answer it stands in
    of : what the number is;  value : the number
    model : how it comes about, in words of the trade;  formula : the equation where it is short, or empty
    inputs : what goes in;  source : citations;  spread : standard deviations used, or the range
    """

    key: str
    part: str
    of: str
    value: str
    model: str
    formula: str
    inputs: tuple[Input, ...]
    source: str
    spread: str


@dataclass(frozen=True, slots=True)
class Told:
    """Whose word the answers of a question are: names of those typed, and of those the kitchen's Gear gave."""

    typed: frozenset[str]
    gear: frozenset[str]


@dataclass(frozen=True, slots=True)
class Teller:
    """Writes inputs of one answer.

    told : None where nobody noted whose word the answers are
    answers : names that the request holds an answer for; empty when it holds one for every name
    """

    told: Told | None
    answers: frozenset[str] = frozenset()

    def origin(self, name: str, *, usual: bool = False) -> Origin:
        """Where an answer comes from. usual : nothing was said, so a usual value stands in"""
        if usual:
            return Origin.USUAL
        if self.told is None:
            return Origin.ASKED if not self.answers or name in self.answers else Origin.USUAL
        if name in self.told.typed:
            return Origin.TYPED
        return Origin.GEAR if name in self.told.gear else Origin.USUAL

    def asked(self, words: str, value: str, name: str, *, usual: bool = False) -> Input:
        """An answer as an input. name : of the answer in the question"""
        return Input(words, value, self.origin(name, usual=usual))


def reckoned(name: str, value: str, see: str = "") -> Input:
    """An input that is itself computed here."""
    return Input(name, value, Origin.RECKONED, see)


def why(
    kind: str,
    part: str,
    value: str,
    inputs: Iterable[Input],
    *,
    key: str = "",
    of: str = "",
    spread: str = "",
    source: Iterable[str] = (),
) -> Why:
    """One number by the table `kind` of the data file.

    key : of the number, the kind's name when empty;  of, spread : where the table names none
    source : citations of this very number, told before those of its kind

    Raises KeyError for a kind that is not in the data, ValueError when a text that every number needs is missing.
    """
    said = read_toml("corebath.plan", _NUMBERS)[kind]
    cited = "; ".join(dict.fromkeys(s for s in (*source, *(citation(where) for where in said["source"])) if s))
    made = Why(
        key=key or kind,
        part=part,
        of=of or said.get("of", ""),
        value=value,
        model=said["model"],
        formula=said.get("formula", ""),
        inputs=tuple(inputs),
        source=cited,
        spread=spread or said.get("spread", ""),
    )
    missing = [name for name in ("of", "value", "source", "spread") if not getattr(made, name)]
    if missing:
        raise ValueError(f"the number {made.key!r} lacks its {', '.join(missing)}")
    return made


def figures(kind: str) -> Iterator[Input]:
    """The model's own figures that the table `kind` names, from outcome/parameters.toml."""
    for name, key, words in read_toml("corebath.plan", _NUMBERS)[kind]["figures"]:
        yield Input(words, _shown(key, number(name, key)), Origin.MODEL)


def _shown(key: str, value: float) -> str:
    """A figure by the unit in its name."""
    if key.endswith("_C"):
        return mark(value, "C")
    if key.endswith(("_K", "_K_per_decade")):
        return mark(value, "K")
    if key.endswith("_h"):
        return mark(3600.0 * value, "s")
    return f"{value:g}"


@cache
def citation(where: str) -> str:
    """The citation at a place in the data: "room/file#table", "room/file#column=value" or "#name".

    Raises KeyError where there is none.
    """
    file, _, place = where.partition("#")
    if not file:
        return str(read_toml("corebath.plan", _NUMBERS)["citations"][place])
    room, _, name = file.partition("/")
    if name.endswith(".csv"):
        column, _, value = place.partition("=")
        row = next((row for row in read_rows(f"corebath.{room}", name) if row[column] == value), None)
        if row is None:
            raise KeyError(where)
        return row["source"]
    found: Any = read_toml(f"corebath.{room}", name)
    for part in place.split("."):
        found = found[part]
    if isinstance(found, str):
        return found
    return str(found["source"] if "source" in found else found["citation"])


def percent(share: float) -> str:
    """A share in words: "7 %"."""
    return "under 0.1 %" if 0 < share < 0.001 else f"{100 * share:.3g} %"


def times_asked(achieved: float) -> str:
    """How far something came towards what is asked: "57 %", "12 times"."""
    return percent(achieved) if achieved < 10 else f"{achieved:.2g} times"
