"""Subject: what a rule needs to know about the piece and the people, and nothing else."""

from __future__ import annotations

from dataclasses import dataclass

KINDS = (
    "beef",
    "veal",
    "pork",
    "lamb",
    "game",
    "wild-game",
    "chicken",
    "turkey",
    "duck",
    "fish",
    "shellfish",
    "egg",
    "vegetable",
)
HANDLINGS = ("intact", "tenderised", "rolled", "minced", "stuffed")


@dataclass(frozen=True, slots=True)
class Subject:
    """The piece and the guests, as the rules see them.

    kind : one of `KINDS`; "game" is farmed, "wild-game" was hunted
    handling : one of `HANDLINGS`; anything but "intact" may carry what was outside to the core
    fat : mass fraction of fat, 0 to 1 [-]
    guests_at_risk : someone at the table is pregnant, elderly, very young or ill
    seared : a hot sear of the whole surface follows the bath
    parasites_frozen : fish was frozen beforehand by the rule, or is of a sort the rule exempts
    garlic_or_oil : raw garlic, raw herbs or oil are in the bag
    parasites : parasites are among the hazards of the food, as the catalogue has them

    Raises ValueError for an unknown kind or handling and for a fat fraction outside 0 to 1.
    """

    kind: str
    handling: str = "intact"
    fat: float = 0.0
    guests_at_risk: bool = False
    seared: bool = False
    parasites_frozen: bool = False
    garlic_or_oil: bool = False
    parasites: bool = False

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise ValueError(f"kind {str(self.kind)[:40]!r} is not known; take one of {', '.join(KINDS)}")
        if self.handling not in HANDLINGS:
            raise ValueError(f"handling {str(self.handling)[:40]!r} is not known; take one of {', '.join(HANDLINGS)}")
        if not 0.0 <= self.fat <= 1.0:
            raise ValueError(f"fat must be a mass fraction from 0 to 1, not {self.fat}")

    @property
    def inside_counts(self) -> bool:
        """True when the core has to be treated like a surface: opened meat, or guests at risk."""
        return self.handling != "intact" or self.guests_at_risk
