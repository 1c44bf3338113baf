"""Comparing cuts: foods of one kind that can reach the same result, each planned, bought and reckoned."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cache

from corebath.bath.spread import Spread
from corebath.data_files import read_rows
from corebath.food.catalogue import Food, catalogue
from corebath.heat.body import Body, Shape
from corebath.outcome.estimate import Estimate
from corebath.outcome.results import Result, UnknownResult, find_result, results_for

from .buying import Buying, Party, Price, buy, buying_data, energy_kWh, hands_s
from .clock import after, elapsed_s
from .data import pace_of
from .make import make_plan
from .plan import Plan
from .request import Request


@dataclass(frozen=True, slots=True)
class Offer:
    """A food to compare with, and its price where one was told."""

    food: Food
    price: Price | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """One food of a comparison.

    result : what stands for the wanted result with this food, None for a plain set point
    stands_in : it has no result of that name, so the likest one was taken
    plan : with time enough; its failures are of other kinds;  in_time : it would also be ready by the table asked for
    energy_kWh, energy_cost : of the bath, None when not known;  hands_s : hands at work [s]
    """

    result: Result | None
    stands_in: bool
    plan: Plan
    buying: Buying
    in_time: bool
    energy_kWh: Spread | None
    energy_cost: Spread | None
    hands_s: float

    @property
    def food(self) -> Food:
        """What it is."""
        return self.buying.food

    @property
    def hours(self) -> float:
        """Time in the bath [h]."""
        return self.plan.bath_s / 3600

    @property
    def cost_each(self) -> Spread | None:
        """Food and, where its price is known in the same currency, energy for each eater; None without a price."""
        each, price = self.buying.cost_each, self.buying.price
        if each is None or price is None:
            return None
        energy, gear = self.energy_cost, self.plan.request.equipment
        if energy is None or gear is None or gear.currency != price.currency:
            return each
        count = self.buying.party.count
        return Spread(
            each.nominal + energy.nominal / count, each.low + energy.low / count, each.high + energy.high / count
        )

    def estimate(self, name: str) -> Estimate | None:
        """One quality of the plan's outcome, such as "tenderness"."""
        return next((e for e in self.plan.outcome if e.name == name), None)


def usual_body(food: Food) -> Body:
    """A piece as it is usually cut, for a food nobody measured."""
    sizes = _sizes()
    row = next(sizes[key] for key in (food.key, food.texture.value, food.usual_shape) if key in sizes)
    thick, wide, long = (float(row[f"{side}_mm"]) / 1000 if row[f"{side}_mm"] else None for side in _SIDES)
    assert thick is not None
    return Body(Shape(food.usual_shape), thick, wide, long)


_SIDES = ("thick", "wide", "long")


@cache
def _sizes() -> dict[str, dict[str, str]]:
    return {row["of"]: row for row in read_rows("corebath.plan", "usual_sizes.csv")}


def result_like(food: Food, wanted: Result) -> tuple[Result, bool] | None:
    """What stands for a wanted result with a food, and whether it only stands in; None when nothing does.

    A food that offers the result by name gives that. Else common practice says which results are alike, such as
    medium rare for a tender steak and steak-like for a tough cut held for a day or two.
    """
    try:
        return find_result(food.texture, wanted.key), False
    except UnknownResult:
        pass
    rows = read_rows("corebath.plan", "alike.csv")
    groups = {row["group"] for row in rows if (row["texture"], row["result"]) == (wanted.texture, wanted.key)}
    for row in rows:
        if row["group"] in groups and row["texture"] == food.texture:
            return next(r for r in results_for(food.texture) if r.key == row["result"]), True
    return None


def foods_like(food: Food, wanted: Result) -> tuple[Food, ...]:
    """Foods of the same kind that can reach a result or its like, the food itself left out; minced never stands in."""
    return tuple(
        other
        for other in catalogue().values()
        if other.kind == food.kind
        and other.key != food.key
        and (other.default_handling == "minced") == (food.default_handling == "minced")
        and result_like(other, wanted) is not None
    )


def cut_of(plan: Plan, party: Party, price: Price | None, *, stands_in: bool = False, in_time: bool = True) -> Cut:
    """A planned food as one of a comparison."""
    cost = None if plan.water is None else plan.water.cost
    return Cut(
        result=plan.result,
        stands_in=stands_in,
        plan=plan,
        buying=buy(plan, party, price),
        in_time=in_time,
        energy_kWh=energy_kWh(plan),
        energy_cost=cost,
        hands_s=hands_s(plan),
    )


def compare(request: Request, party: Party, price: Price | None, offers: Iterable[Offer]) -> tuple[Cut, ...]:
    """The food of a request beside others, cheapest for each eater first, then the shorter in the bath.

    Others are planned in their usual size, for one piece, in the same bath and with time enough: `Cut.in_time` says
    which would be ready by the table time asked for. Foods that cannot reach the wanted result are left out, those
    without a price stand behind the others, and plans that fail last. A fixed time in the bath holds for the food
    asked about alone.
    """
    first = make_plan(_with_time(request), offer=False)
    cuts = [cut_of(first, party, price, in_time=_in_time(request, first))]
    for offer in offers:
        other, stands_in = _request_for(request, offer.food)
        if other is None:
            continue
        plan = make_plan(other, offer=False)
        in_time = _in_time(request, plan)
        cuts.append(cut_of(plan, party, offer.price, stands_in=stands_in, in_time=in_time))
    return tuple(sorted(cuts, key=_rank))


def _rank(cut: Cut) -> tuple[bool, bool, float, float]:
    each = cut.cost_each
    return not cut.plan.works, each is None, 0.0 if each is None else each.nominal, cut.plan.bath_s


def _request_for(request: Request, food: Food) -> tuple[Request | None, bool]:
    result, stands_in = request.result, False
    if result is not None:
        like = result_like(food, result)
        if like is None:
            return None, False
        result, stands_in = like
    other = replace(
        _with_time(request),
        food=food,
        body=usual_body(food),
        result=result,
        bath_s=None,
        handling=None,
        pieces=1,
        piece_mass_kg=None,
        layers=1,
        salt_percent=None,
        ice=None,
    )
    return other, stands_in


def _with_time(request: Request) -> Request:
    """The request with a table far enough ahead for the longest cook."""
    ahead = timedelta(seconds=buying_data()["ahead"]["table_s"])
    return replace(request, table_time=max(request.table_time, request.now + ahead))


def _in_time(request: Request, plan: Plan) -> bool:
    """Whether the plan would be ready by the table time of the request."""
    start = after(request.table_time, -(pace_of(plan.request.food.texture).finishing_s + plan.bath_s), request.zone)
    return elapsed_s(request.now, start) >= plan.preheat_s
