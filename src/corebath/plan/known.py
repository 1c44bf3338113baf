"""A piece as the cook describes it, before anything is planned: what each end of a cook needs to know of it."""

from __future__ import annotations

from dataclasses import dataclass

from corebath.food.catalogue import Food
from corebath.food.kinds import Handling
from corebath.heat.body import Body, Shape
from corebath.heat.engine import Thermal
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject
from corebath.units import mark

from .data import defaults, pace_of
from .piece import thermal_of
from .request import BadRequest


@dataclass(frozen=True, slots=True)
class KnownPiece:
    """One piece, or several alike.

    food, body : what it is and one piece of it;  handling : None takes the catalogue's default
    pieces : how many;  mass_kg : mass of one, when weighed [kg];  layers : pieces lying flat on each other
    guests_at_risk, seared, parasites_frozen, garlic_or_oil : see `safety.subject.Subject`
    authority : whose rules hold;  frozen_before : it was frozen and thawed

    Raises BadRequest, naming the answer, for numbers and masses no kitchen has.
    """

    food: Food
    body: Body
    handling: Handling | None = None
    pieces: int = 1
    mass_kg: float | None = None
    layers: int = 1
    guests_at_risk: bool = False
    seared: bool = True
    parasites_frozen: bool = False
    garlic_or_oil: bool = False
    authority: Authority = Authority.US
    frozen_before: bool = False

    def __post_init__(self) -> None:
        most = defaults()["limits"]["most_pieces"]
        if not 1 <= self.pieces <= most:
            raise BadRequest("pieces", f"the number of pieces must lie between 1 and {most}")
        if not 1 <= self.layers <= 6:
            raise BadRequest("layers", "between 1 and 6 pieces can lie against each other")
        if self.layers > 1 and self.body.is_round:
            raise BadRequest("layers", "round pieces lying against each other are not known as one body")
        if self.mass_kg is not None and not 0.005 <= self.mass_kg <= 25:
            raise BadRequest("mass", f"one piece must weigh between {mark(0.005, 'kg')} and {mark(25, 'kg')}")

    @property
    def subject(self) -> Subject:
        """What the rules need to know."""
        return Subject(
            kind=self.food.kind,
            handling=self.handling if self.handling is not None else self.food.default_handling,
            fat=self.food.composition.fat,
            guests_at_risk=self.guests_at_risk,
            seared=self.seared and pace_of(self.food.texture).finish == "sear",
            parasites_frozen=self.parasites_frozen or "parasites" not in self.food.hazards,
            garlic_or_oil=self.garlic_or_oil,
            parasites="parasites" in self.food.hazards,
        )

    def thermal(self, mean_C: float) -> Thermal:
        """Its properties, constant ones taken at the mean of what it goes through [degC]."""
        return thermal_of(self.food.composition, self.food.initial_freezing_C, round(max(mean_C, 1.0)))

    @property
    def food_kg(self) -> float | None:
        """All pieces together: as weighed, or by volume and density where every side is known [kg]."""
        volume_m3 = self.body.volume_m3
        if self.mass_kg is not None:
            return self.mass_kg * self.pieces
        return None if volume_m3 is None else volume_m3 * self.thermal(20.0).warm.rho_kg_m3 * self.pieces

    @property
    def face_m2(self) -> float:
        """Broad face of all pieces together: as measured, by mass over thickness, or the usual one [m2]."""
        sides = [axis.half_m * 2 for axis in self.body.axes[1:]]
        if self.body.shape is Shape.BRICK:
            return sides[0] * sides[1] * self.pieces
        if self.mass_kg is not None:
            return self.mass_kg * self.pieces / (self.thermal(20.0).warm.rho_kg_m3 * self.body.thickness_m)
        return float(defaults()["sear"]["food_area_m2"]) * self.pieces
