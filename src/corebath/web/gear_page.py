"""What the Gear screen shows: the kitchen as it is, and what was wrong with a change to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from corebath.ask.gear_form import answers_of, understand_gear, walls
from corebath.ask.understand import Misunderstood
from corebath.bath.altitude import at_altitude
from corebath.log.gear import Kitchen, NamedHeater, NamedVessel
from corebath.show.words import heater_words, vessel_words


@dataclass(frozen=True, slots=True)
class GearPage:
    """Everything the template prints.

    kitchen, revision : as stored;  answers : what stands in the blanks;  mistakes : one sentence by field
    """

    kitchen: Kitchen
    revision: int
    answers: Mapping[str, str]
    mistakes: dict[str, str] = field(default_factory=dict)

    @property
    def walls(self) -> tuple[tuple[str, str], ...]:
        """Keys and words of the materials of vessels."""
        return walls()

    @property
    def heights(self) -> tuple[str, ...]:
        """What the altitude does, in sentences with marks."""
        return at_altitude(self.kitchen.room.altitude_m).statements

    def vessel_words(self, named: NamedVessel) -> str:
        """A vessel in a few words."""
        return vessel_words(named.vessel, self.kitchen.preference)

    def heater_words(self, named: NamedHeater) -> str:
        """A heater in a few words."""
        return heater_words(named.heater, self.kitchen.preference)


def gear_page(kitchen: Kitchen, revision: int) -> GearPage:
    """The page of a kitchen as it is stored."""
    return GearPage(kitchen, revision, answers_of(kitchen))


def changed_gear(answers: Mapping[str, str], kitchen: Kitchen, revision: int) -> GearPage:
    """The page after a change: the changed kitchen to be stored, or the old one with what was not clear."""
    seen = answers.get("revision", "")
    try:
        changed = understand_gear(answers, kitchen)
    except Misunderstood as error:
        return GearPage(kitchen, revision, {**answers_of(kitchen), **answers}, error.sentences)
    return GearPage(changed, int(seen) if seen.isdecimal() else revision, {**answers_of(kitchen), **answers})


def outdated_gear(answers: Mapping[str, str], kitchen: Kitchen, revision: int, sentence: str) -> GearPage:
    """The page after a change that came too late: the kitchen as it is now, with the new thing as it was typed."""
    typed = {k: v for k, v in answers.items() if k.startswith(("vessel-", "heater-"))}
    return GearPage(kitchen, revision, {**answers_of(kitchen), **typed}, {"kitchen": sentence})
