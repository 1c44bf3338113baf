"""What to buy, in sentences: amounts, where the weight goes, what it costs; quantities as marks."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.bath.spread import Spread
from corebath.food.yields import Appetite, Share, portion_source
from corebath.units import mark

from .buying import Buying, Kept, energy_kWh, serves, up_to
from .plan import Plan


def buying_statements(buying: Buying, plan: Plan) -> tuple[str, ...]:
    """What to buy for a plan and what it costs, one sentence each."""
    return (*_amounts(buying), weight_goes(buying.kept), *_costs(buying, plan))


def _amounts(buying: Buying) -> Iterator[str]:
    name, raw = buying.food.name, buying.raw_kg
    yield f"{party_words(buying)}: {mark(round(buying.wanted_kg, 3), 'kg')} cooked, without bone or shell."
    bag = mark(up_to(buying.bag_kg.nominal), "kg")
    whole = ""
    if buying.pieces is not None and buying.piece_kg is not None:
        each = mark(buying.piece_kg, "kg")
        whole = f", {buying.pieces} of {each} each" if buying.pieces > 1 else f", one of {each}"
    yield (
        f"Buy {mark(raw.nominal, 'kg')} of {name}; {bag} of it goes into the bath{whole}. "
        f"Such food keeps more or less of its weight: between {mark(raw.low, 'kg')} and "
        f"{mark(raw.high, 'kg')} would be right."
    )


def weight_goes(kept: Kept) -> str:
    """Where the weight of what is bought goes, in one sentence."""
    steps = (
        ("trimmed", kept.trim),
        ("bone or shell", kept.bone),
        ("juice", kept.cook),
        ("lost in the pan", kept.finish),
    )
    left, gone = 1.0, []
    for words, share in steps:
        lost = left * share.nominal
        left -= lost
        if lost >= 0.005:
            gone.append(f"{100 * lost:.0f} % {words}")
    of_bought = kept.of_bought
    lost_words = f": {', '.join(gone)}" if gone else ""
    return (
        f"About {100 * of_bought.nominal:.0f} % of what is bought is eaten "
        f"({100 * of_bought.low:.0f} to {100 * of_bought.high:.0f} %){lost_words}."
    )


def _costs(buying: Buying, plan: Plan) -> Iterator[str]:
    cost, each, price = buying.cost, buying.cost_each, buying.price
    if cost is not None and each is not None and price is not None:
        yield (
            f"At {money(price.per_kg * price.for_kg)} {price.currency} for {mark(price.for_kg, 'kg')} that is "
            f"{money(cost.nominal)} {price.currency}: "
            f"{money(each.nominal)} for each eater ({money(each.low)} to {money(each.high)})."
        )
    if plan.water is None:
        return
    energy, used = plan.water.cost, energy_kWh(plan)
    if energy is not None and plan.request.equipment is not None:
        currency = plan.request.equipment.currency
        yield (
            f"The bath's energy adds about {money(energy.nominal / buying.party.count)} {currency} for each eater "
            f"({money(energy.low)} to {money(energy.high)} in all)."
        )
    elif used is not None:
        yield f"The bath takes {ranged_kWh(used)}; with its price under the gear, its cost is computed too."


def party_words(buying: Buying) -> str:
    """Who eats: "6 usual portions", "4 usual and 2 small portions"."""
    parts = [f"{number} {appetite}" for appetite, number in buying.party.by_appetite.items()]
    return f"{' and '.join(parts)} portion{'s' if buying.party.count > 1 else ''}"


def money(amount: float) -> str:
    """An amount of money to the hundredth, large ones whole."""
    return f"{amount:.2f}" if amount < 1000 else f"{amount:.0f}"


def ranged_kWh(used: Spread) -> str:
    """Energy with its range in words."""
    return f"about {used.nominal:.2g} kWh of energy ({used.low:.2g} to {used.high:.2g} kWh)"


def buying_basis(buying: Buying) -> tuple[str, ...]:
    """What the amounts rest on, one sentence each."""
    kept = buying.kept
    lines = [
        _rests("Trim", kept.trim),
        _rests("Bone or shell", kept.bone),
        _rests("Juice", kept.cook),
        _rests("Pan", kept.finish),
    ]
    lines += [
        f"A {appetite} portion: {portion_source(buying.food, appetite)}." for appetite in buying.party.by_appetite
    ]
    lines.append("The ranges of the steps count as independent. Weigh what you trim once, and go by that.")
    return tuple(lines)


def _rests(what: str, share: Share) -> str:
    note = f" {share.note.rstrip('.')};" if share.note else ""
    return (
        f"{what}: {100 * share.nominal:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f} %) of the mass before;"
        f"{note} {share.source} ({share.how})."
    )


def serves_statement(plan: Plan, bag_kg: float) -> str:
    """For how many a mass in the bag will do, in one sentence."""
    portions = serves(plan, bag_kg)
    enough = max(int(portions.nominal + 0.1), 0)
    usual = "one usual portion" if enough == 1 else f"{enough or 'less than one'} usual portions"
    if not enough:
        usual = "less than one usual portion"
    large = serves(plan, bag_kg, Appetite.LARGE)
    return (
        f"{mark(bag_kg, 'kg')} into the bath gives {usual} ({portions.low:.1f} to {portions.high:.1f}; "
        f"{large.nominal:.1f} large ones)."
    )
