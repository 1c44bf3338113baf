"""Bags: which pieces go together, so that each bag is opened on one day and like lies with like."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from corebath.plan.known import KnownPiece
from corebath.plan.request import BadRequest, Request, State

from .batch import Lot, Pieces, settings


@dataclass(frozen=True, slots=True)
class Bag:
    """Pieces in one bag.

    number : 1 for the first of the batch;  thicknesses_m : of its pieces, thickest first [m]
    layers : pieces that lie on each other, 1 when all lie flat and apart
    mass_kg : of all its pieces, None when they were not weighed [kg];  eat_on : the day it is opened, None for no day
    """

    number: int
    lot: Lot
    thicknesses_m: tuple[float, ...]
    layers: int
    mass_kg: float | None
    eat_on: date | None

    @property
    def count(self) -> int:
        """How many pieces it holds."""
        return len(self.thicknesses_m)

    @property
    def governing_m(self) -> float:
        """Thickness of the piece that sets its time [m]."""
        return self.thicknesses_m[0]

    @property
    def lies_m(self) -> float:
        """Thickness of what heats: the governing piece, or all that lie on each other [m]."""
        return self.layers * self.governing_m

    @property
    def kind(self) -> tuple[str, float, int]:
        """Bags of one kind cook, chill and warm alike."""
        return self.lot.name, self.governing_m, self.layers

    def asked(self, layers: int | None = None) -> Request:
        """The request for one piece like its governing one. layers : others than it lies in"""
        request = self.lot.request
        return replace(
            request,
            body=replace(request.body, thickness_m=self.governing_m),
            pieces=self.count,
            piece_mass_kg=None if self.mass_kg is None else self.mass_kg / self.count,
            layers=self.layers if layers is None else layers,
            equipment=None,
            ice=None,
        )

    def piece(self) -> KnownPiece:
        """Its governing piece, as the chill and the reheating know it."""
        request = self.asked()
        return KnownPiece(
            request.food,
            request.body,
            handling=request.handling,
            pieces=self.count,
            mass_kg=request.piece_mass_kg,
            layers=self.layers,
            guests_at_risk=request.guests_at_risk,
            seared=request.seared,
            parasites_frozen=request.parasites_frozen,
            garlic_or_oil=request.garlic_or_oil,
            authority=request.authority,
            frozen_before=request.state is State.FROZEN,
        )


@dataclass(frozen=True, slots=True)
class _Unit:
    """One piece, or all that lie on each other."""

    pieces: Pieces
    count: int


def sorted_bags(lots: tuple[Lot, ...]) -> tuple[Bag, ...]:
    """Every piece in a bag.

    A bag holds pieces of one food for one day, thickest first, up to the most that lie side by side; a piece much
    thinner than the thickest begins a new bag. Raises BadRequest when pieces lying on each other cannot be eaten on
    one day.
    """
    bags: list[Bag] = []
    for lot in lots:
        for day, units in _by_day(lot):
            for together in _alike(units):
                weighed = [u.pieces.mass_kg for u in together for _ in range(u.count)]
                masses = [m for m in weighed if m is not None]
                bags.append(
                    Bag(
                        number=len(bags) + 1,
                        lot=lot,
                        thicknesses_m=tuple(u.pieces.thickness_m for u in together for _ in range(u.count)),
                        layers=together[0].pieces.layers,
                        mass_kg=sum(masses) if len(masses) == len(weighed) else None,
                        eat_on=day,
                    )
                )
    return tuple(bags)


def _by_day(lot: Lot) -> Iterator[tuple[date | None, list[_Unit]]]:
    """The pieces of each day, those that lie on each other first; what is left has no day."""
    singles = [_Unit(p, 1) for p in lot.pieces if not p.overlapping for _ in range(p.count)]
    stacks = [_Unit(p, p.count) for p in lot.pieces if p.overlapping]
    for units in (singles, stacks):
        units.sort(key=lambda u: -u.pieces.thickness_m)
    for portions in lot.eaten:
        missing, taken = portions.count, list[_Unit]()
        while missing:
            units = next((us for us in (stacks, singles) if us and us[0].count <= missing), [])
            if not units:
                raise BadRequest(
                    "days",
                    f"{stacks[0].count} pieces lie on each other in one bag and are opened together: "
                    "eat them on one day, or bag them apart",
                )
            taken.append(units.pop(0))
            missing -= taken[-1].count
        yield portions.day, sorted(taken, key=lambda u: -u.pieces.thickness_m)
    if stacks or singles:
        yield None, sorted(stacks + singles, key=lambda u: -u.pieces.thickness_m)


def _alike(units: list[_Unit]) -> Iterator[list[_Unit]]:
    """Units of one bag at a time, thickest first."""
    figures = settings()["bag"]
    bag: list[_Unit] = []
    for unit in [u for u in units if not u.pieces.overlapping]:
        thin = bag and unit.pieces.thickness_m < (1 - figures["like_with_like"]) * bag[0].pieces.thickness_m
        if bag and (thin or len(bag) == figures["most_pieces"]):
            yield bag
            bag = []
        bag.append(unit)
    if bag:
        yield bag
    for unit in units:
        if unit.pieces.overlapping:
            yield [unit]
