"""How much to buy: from eaters to the cooked mass they want, and back through crust, juice, bone and trim."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, exp, hypot, isfinite, log
from typing import Any

from corebath.bath.spread import Spread
from corebath.data_files import read_toml
from corebath.food.catalogue import Food
from corebath.food.yields import Appetite, Loss, Share, loss_share, portion_kg

from .data import pace_of
from .plan import Plan
from .request import BadRequest

_NOTHING = Share(0.0, 0.0, 0.0, "no sear and no glaze follow", "computed", "")


def buying_data() -> dict[str, Any]:
    """What buying assumes; every table names its source."""
    return read_toml("corebath.plan", "buying.toml")


@dataclass(frozen=True, slots=True)
class Party:
    """Who eats, by appetite. Raises BadRequest unless 1 to 500 eat in all."""

    usual: int = 0
    small: int = 0
    large: int = 0

    def __post_init__(self) -> None:
        most = buying_data()["limits"]["most_eaters"]
        if min(self.usual, self.small, self.large) < 0 or not 1 <= self.count <= most:
            raise BadRequest("eaters", f"the number of eaters must lie between 1 and {most}")

    @property
    def count(self) -> int:
        """How many eat."""
        return self.usual + self.small + self.large

    @property
    def by_appetite(self) -> dict[Appetite, int]:
        """How many of each appetite, those that are not there left out."""
        every = {Appetite.SMALL: self.small, Appetite.USUAL: self.usual, Appetite.LARGE: self.large}
        return {appetite: number for appetite, number in every.items() if number}

    def wants_kg(self, food: Food) -> float:
        """Cooked mass they want, without bone [kg]."""
        return sum(number * portion_kg(food, appetite) for appetite, number in self.by_appetite.items())


@dataclass(frozen=True, slots=True)
class Price:
    """What food costs in the shop, by weight.

    per_kg : of a kilogram;  currency : ISO code, or a sign as typed;  for_kg : the weight it was told for [kg]

    Raises BadRequest for a price of 0 or less, or beyond reason.
    """

    per_kg: float
    currency: str
    for_kg: float = 1.0

    def __post_init__(self) -> None:
        dearest = buying_data()["limits"]["dearest_per_kg"]
        if not (isfinite(self.per_kg) and 0 < self.per_kg <= dearest):
            raise BadRequest("paid", f"the price must lie above 0 and at {dearest:.0f} a kilogram at most")


@dataclass(frozen=True, slots=True)
class Kept:
    """Where the weight goes: each share is of the mass before its step [-]."""

    trim: Share
    bone: Share
    cook: Share
    finish: Share

    @property
    def of_bag(self) -> Spread:
        """Eaten, of the raw mass that goes into the bag [-]."""
        return _left((self.bone, self.cook, self.finish))

    @property
    def of_bought(self) -> Spread:
        """Eaten, of the raw mass that is bought [-]."""
        return _left((self.trim, self.bone, self.cook, self.finish))

    @property
    def bag_of_bought(self) -> float:
        """What goes into the bag, of the raw mass that is bought [-]."""
        return 1.0 - self.trim.nominal


def _left(shares: Iterable[Share]) -> Spread:
    """What several steps leave. Their ranges count as independent, so they add up as roots of squares do."""
    ends = [(1.0 - s.nominal, 1.0 - s.high, 1.0 - s.low) for s in shares]
    nominal = 1.0
    for end in ends:
        nominal *= end[0]
    down, up = (hypot(*(log(end[i] / end[0]) for end in ends)) for i in (1, 2))
    return Spread(nominal, nominal * exp(-down), min(nominal * exp(up), 1.0))


@dataclass(frozen=True, slots=True)
class Buying:
    """What to buy of one food.

    wanted_kg : cooked mass wanted, without bone [kg];  kept : where the weight goes
    bag_kg : raw mass into the bag [kg];  raw_kg : raw mass to buy [kg]; low and high stand for food that keeps more
        and less of its weight than usual
    pieces : how many, where the mass of one is known;  piece_kg : that mass, as it goes into the bag [kg]
    price : None when it was not told
    """

    food: Food
    party: Party
    wanted_kg: float
    kept: Kept
    bag_kg: Spread
    raw_kg: Spread
    pieces: int | None
    piece_kg: float | None
    price: Price | None

    @property
    def cost(self) -> Spread | None:
        """Of all of it, in the currency of the price."""
        price = self.price
        return None if price is None else self.raw_kg.map(lambda kg: kg * price.per_kg)

    @property
    def cost_each(self) -> Spread | None:
        """For each eater, in the currency of the price."""
        cost = self.cost
        return None if cost is None else cost.map(lambda money: money / self.party.count)


def kept_of(plan: Plan) -> Kept:
    """Where the weight of a planned food goes: juice by the plan's own outcome where it is known, else by table."""
    request = plan.request
    food, dry = request.food, pace_of(request.food.texture).finish == "sear" and not request.seared
    return Kept(
        trim=loss_share(food, Loss.TRIM),
        bone=loss_share(food, Loss.BONE),
        cook=_juice(plan),
        finish=_NOTHING if dry else loss_share(food, Loss.FINISH),
    )


def _juice(plan: Plan) -> Share:
    """Weight left in the bag: the outcome's figure, or the table's within what the outcome can still say [-]."""
    usual = loss_share(plan.request.food, Loss.COOK)
    read = next((e for e in plan.outcome if e.name == "juiciness"), None)
    if read is None:
        return usual
    if read.value is not None and read.low is not None and read.high is not None:
        return Share(read.value / 100, read.low / 100, read.high / 100, read.source, "computed", read.basis)
    least, most = (read.low or 0.0) / 100, 1.0 if read.high is None else read.high / 100
    low, middle, high = (min(max(x, least), most) for x in (usual.low, usual.nominal, usual.high))
    return Share(middle, low, high, usual.source, usual.how, usual.note)


def buy(plan: Plan, party: Party, price: Price | None = None) -> Buying:
    """What to buy for a planned food.

    Masses are rounded up to what a shop weighs out. Where the mass of one piece is known, whole pieces are bought,
    never fewer than it takes.
    """
    food, kept = plan.request.food, kept_of(plan)
    wanted_kg = party.wants_kg(food)
    needed_kg = kept.of_bought.map(lambda share: up_to(wanted_kg / share))
    bag_kg = kept.of_bag.map(lambda share: wanted_kg / share)
    piece_kg = plan.request.piece_mass_kg or buying_data()["piece_kg"].get(food.key)
    pieces = None
    if piece_kg is None:
        raw_kg = needed_kg.nominal
        into_kg = raw_kg * kept.bag_of_bought
    else:
        pieces = ceil(bag_kg.nominal / piece_kg - 1e-9)
        into_kg = pieces * piece_kg
        raw_kg = up_to(into_kg / kept.bag_of_bought)
    return Buying(
        food=food,
        party=party,
        wanted_kg=wanted_kg,
        kept=kept,
        bag_kg=Spread.of(into_kg, bag_kg.low, bag_kg.high),
        raw_kg=Spread.of(raw_kg, needed_kg.low, needed_kg.high),
        pieces=pieces,
        piece_kg=piece_kg,
        price=price,
    )


def serves(plan: Plan, bag_kg: float, appetite: Appetite = Appetite.USUAL) -> Spread:
    """How many portions a raw mass in the bag gives [-]. bag_kg : above 0 [kg]; else ValueError"""
    if not (isfinite(bag_kg) and bag_kg > 0):
        raise ValueError(f"the food must weigh more than 0 kg, got {bag_kg:g} kg")
    each_kg = portion_kg(plan.request.food, appetite)
    return kept_of(plan).of_bag.map(lambda share: share * bag_kg / each_kg)


def energy_kWh(plan: Plan) -> Spread | None:
    """Energy of the bath from the tap to the pull; None when nothing is known of it, endless when it never gets hot."""
    if plan.water is None:
        return None
    warm = plan.water.warm_up
    if not isfinite(warm.energy_kWh.high):
        return Spread(warm.energy_kWh.nominal, warm.energy_kWh.low, warm.energy_kWh.high)
    return warm.cost(plan.bath_s, 1.0)


def hands_s(plan: Plan) -> float:
    """Time a cook's hands are busy: preparing, looking in, drying, searing and serving [s]."""
    hands, pace = buying_data()["hands"], pace_of(plan.request.food.texture)
    looks = sum(task.key in ("check", "top-up") for task in plan.run_sheet)
    seared = pace.sear_s if plan.request.seared or pace.finish != "sear" else 0.0
    return float(hands["prepare_s"] + hands["look_s"] * looks + pace.dry_s + seared + pace.serve_s)


def up_to(mass_kg: float) -> float:
    """A mass rounded up to what a shop weighs out [kg]."""
    step = float(buying_data()["rounding"]["mass_kg"])
    return round(ceil(mass_kg / step - 1e-6) * step, 6)
