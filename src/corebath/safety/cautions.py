"""Cautions: general sentences that no history can settle, and where they apply."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from corebath.safety.authority import Authority
from corebath.safety.conditions import applies
from corebath.safety.subject import Subject
from corebath.safety.tables import read_toml


@dataclass(frozen=True, slots=True)
class Caution:
    """A sentence for the cook.

    where : the parts of a plan it belongs to ("always", "cook", "keep", "fault")
    text : the sentence, quantities as marks
    """

    key: str
    where: tuple[str, ...]
    text: str
    source: str


@lru_cache(maxsize=512)
def cautions_for(subject: Subject, authority: Authority) -> tuple[Caution, ...]:
    """The cautions that apply to a piece under an authority, in the order of the data."""
    return tuple(
        Caution(entry["key"], tuple(entry["where"]), entry["text"], entry["source"])
        for entry in read_toml("cautions.toml")["caution"]
        if applies(entry, subject, authority)
    )
