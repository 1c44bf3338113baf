"""The shopping list: what several planned foods take, from the meat to the ice, each thing once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import ceil

from corebath.bath.spread import Spread
from corebath.chill.cool import chill
from corebath.chill.ice import ice_needed
from corebath.food.kinds import Kind
from corebath.sear.oil import oils_for
from corebath.units import mark

from .buying import Buying, buying_data, up_to
from .data import defaults, pace_of
from .plan import Plan
from .run_sheet import salt_share

_COLD_C = 5.0
_ICE_WATER = "ice-water-still"


@dataclass(frozen=True, slots=True)
class ShoppingItem:
    """One dish to shop for.

    name : as the cook calls it;  plan, buying : made for it
    chilled : it is chilled in ice water after the bath, so ice is bought for that
    """

    name: str
    plan: Plan
    buying: Buying
    chilled: bool = False


@dataclass(frozen=True, slots=True)
class ShoppingLine:
    """One thing to buy.

    key : food, salt, ice, bags or oil;  what : name of the thing
    mass_kg : how much, with the range that would be right; None for things counted or measured by volume [kg]
    count : how many, None for things weighed or measured;  volume_L : likewise [L]
    dishes : names of what it is for;  note : one sentence or empty, quantities as marks
    cost : of the whole line in `currency`, None when no price was told
    """

    key: str
    what: str
    mass_kg: Spread | None
    count: int | None
    volume_L: float | None
    dishes: tuple[str, ...]
    note: str
    cost: float | None
    currency: str


def shopping_list(items: Iterable[ShoppingItem]) -> tuple[ShoppingLine, ...]:
    """What to buy for several dishes: foods first, each once, then salt, bags, ice and oil.

    Raises ValueError when there is nothing to shop for.
    """
    every = tuple(items)
    if not every:
        raise ValueError("a shopping list needs at least one dish")
    return (*_foods(every), *_salt(every), *_bags(every), *_ice(every), *_oil(every))


def _foods(items: tuple[ShoppingItem, ...]) -> Iterator[ShoppingLine]:
    grouped: dict[tuple[object, ...], list[ShoppingItem]] = {}
    for item in items:
        grouped.setdefault((item.buying.food.key, item.buying.price), []).append(item)
    for alike in grouped.values():
        first = alike[0].buying
        masses = [item.buying.raw_kg for item in alike]
        pieces = [item.buying.pieces for item in alike]
        mass = Spread(sum(m.nominal for m in masses), sum(m.low for m in masses), sum(m.high for m in masses))
        known = [n for n in pieces if n is not None]
        yield ShoppingLine(
            key="food",
            what=first.food.name,
            mass_kg=mass,
            count=sum(known) if len(known) == len(pieces) else None,
            volume_L=None,
            dishes=tuple(item.name for item in alike),
            note=" ".join(_piece_notes(alike)),
            cost=None if first.price is None else mass.nominal * first.price.per_kg,
            currency="" if first.price is None else first.price.currency,
        )


def _piece_notes(items: list[ShoppingItem]) -> Iterator[str]:
    for item in items:
        thick = mark(item.plan.request.body.thickness_m, "m")
        across = "across" if item.plan.request.body.is_round else "thick"
        pieces, each = item.buying.pieces, item.buying.piece_kg
        count = "" if pieces is None or each is None else f"{pieces} of {mark(each, 'kg')}, "
        yield f"For {item.name}: {count}each {thick} {across}."


def _salt(items: tuple[ShoppingItem, ...]) -> Iterator[ShoppingLine]:
    salted = []
    for item in items:
        share = salt_share(item.plan.request, pace_of(item.plan.request.food.texture))
        if share > 0:
            salted.append((item, share, share * item.buying.bag_kg.nominal))
    if not salted:
        return
    total = sum(kg for _, _, kg in salted)
    notes = [f"{item.name}: {mark(round(kg, 4), 'kg')}, {100 * share:g} % of the weight." for item, share, kg in salted]
    yield _line(
        "salt", "salt", tuple(item.name for item, _, _ in salted), " ".join(notes), mass_kg=Spread(total, total, total)
    )


def _bags(items: tuple[ShoppingItem, ...]) -> Iterator[ShoppingLine]:
    bagged = [item for item in items if item.plan.request.food.kind is not Kind.EGG]
    if not bagged:
        return
    holds_kg, own_kg = (float(buying_data()["bags"][key]) for key in ("holds_kg", "own_from_kg"))
    count = 0
    for item in bagged:
        pieces, each_kg = item.buying.pieces, item.buying.piece_kg
        shared = max(ceil(item.buying.bag_kg.nominal / holds_kg - 1e-9), 1)
        count += shared if pieces is None or each_kg is None or each_kg < own_kg else pieces
    note = f"One for each piece of {mark(own_kg, 'kg')} or more; the rest share, {mark(holds_kg, 'kg')} to a bag."
    yield _line("bags", "bags", tuple(item.name for item in bagged), note, count=count)


def _ice(items: tuple[ShoppingItem, ...]) -> Iterator[ShoppingLine]:
    needs = []
    for item in items:
        wait = item.plan.request.ice
        if wait is not None and wait.ice_kg > 0:
            needs.append((item, Spread(wait.ice_kg, wait.ice_kg, wait.ice_kg), "to wait in"))
        if item.chilled and (need := _chill_ice(item)) is not None:
            needs.append((item, need, "to chill it"))
    if not needs:
        return
    ends = [sum(_three(kg)[i] for _, kg, _ in needs) for i in range(3)]
    notes = [f"{item.name}: {mark(up_to(kg.nominal), 'kg')} {why}." for item, kg, why in needs]
    names = tuple(dict.fromkeys(item.name for item, _, _ in needs))
    yield _line("ice", "ice", names, " ".join(notes), mass_kg=Spread(*(up_to(x) for x in ends)))


def _chill_ice(item: ShoppingItem) -> Spread | None:
    """Ice that chills a dish in as much water as it weighs; None when it does not get cold in time [kg]."""
    plan, request = item.plan, item.plan.request
    thermal, core_C = plan.timing.cautious.thermal, plan.nominal.core_at(plan.bath_s)
    chilled = chill(request.body, thermal, core_C, _ICE_WATER, request.subject, request.authority)
    cold_s = chilled.runs.reach(_COLD_C).cautious_s
    if cold_s is None:
        return None
    mass_kg = item.buying.bag_kg.nominal
    gear = request.equipment
    need = ice_needed(
        food_kg=mass_kg,
        food_cp_J_kgK=thermal.warm.cp_J_kgK,
        from_C=core_C,
        to_C=_COLD_C,
        water_kg=mass_kg,
        water_C=15.0 if gear is None else gear.fill_C,
        chill_s=cold_s,
    )
    return Spread(need.plan_high_kg, need.plan_low_kg, need.plan_high_kg)


def _oil(items: tuple[ShoppingItem, ...]) -> Iterator[ShoppingLine]:
    hot, each_L = [], float(buying_data()["oil"]["piece_L"])
    volume_L, face_C = 0.0, 0.0
    for item in items:
        request, finish = item.plan.request, pace_of(item.plan.request.food.texture).finish
        if finish == "peel" or (finish == "sear" and not request.seared):
            continue
        hot.append(item.name)
        volume_L += each_L * (item.buying.pieces or item.buying.party.count)
        if finish == "sear":
            face_C = max(face_C, request.pan_C or float(defaults()["sear"]["face_C"]))
    if not hot:
        return
    note = "Any fat will do: nothing is seared."
    if face_C:
        smoke = ", ".join(oil.name for oil in oils_for(face_C)[:3])
        note = (
            f"For a pan at {mark(face_C, 'C')}: {smoke}, or one that smokes no sooner."
            if smoke
            else f"No oil held here smokes only above {mark(face_C, 'C')} by every source: take one that smokes late."
        )
    yield _line("oil", "oil or fat for the pan", tuple(hot), note, volume_L=volume_L)


def _line(
    key: str,
    what: str,
    dishes: tuple[str, ...],
    note: str,
    *,
    mass_kg: Spread | None = None,
    count: int | None = None,
    volume_L: float | None = None,
) -> ShoppingLine:
    return ShoppingLine(key, what, mass_kg, count, volume_L, dishes, note, None, "")


def _three(spread: Spread) -> tuple[float, float, float]:
    return spread.nominal, spread.low, spread.high
