"""What to buy as data, by the schema buying.schema.json."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from corebath.data_files import read_json
from corebath.food.yields import Share
from corebath.outcome.estimate import Estimate
from corebath.plan.buying import Buying, Price
from corebath.plan.buying_answer import BuyAnswer
from corebath.plan.buying_compare import Cut
from corebath.plan.buying_list import ShoppingLine
from corebath.units import Preference, render

from .json_parts import estimate_as_json, spread_as_json

SCHEMA = "corebath.buying/1"
SHOPPING_SCHEMA = "corebath.shopping/1"


def buying_schema() -> dict[str, Any]:
    """The JSON Schema every `buying_as_json` and `shopping_as_json` follows."""
    return read_json("corebath.show", "buying.schema.json")


def buying_as_json(answer: BuyAnswer, preference: Preference) -> dict[str, Any]:
    """What to buy, ready for `json.dumps`; what is not known is null."""
    return {
        "schema": SCHEMA,
        "works": answer.asked.plan.works,
        "asked": _cut(answer.asked, preference),
        "cuts": [_cut(cut, preference) for cut in answer.cuts],
        "left_out": list(answer.left_out),
        "statements": [render(line, preference) for line in answer.statements],
        "assumed": [render(line, preference) for line in answer.request.assumed],
        "basis": [render(line, preference) for line in answer.basis],
        "shopping": [line_as_json(line, preference) for line in answer.shopping],
    }


def shopping_as_json(lines: Iterable[ShoppingLine], preference: Preference) -> dict[str, Any]:
    """A shopping list by itself, ready for `json.dumps`."""
    return {"schema": SHOPPING_SCHEMA, "shopping": [line_as_json(line, preference) for line in lines]}


def line_as_json(line: ShoppingLine, preference: Preference) -> dict[str, Any]:
    """One line of a shopping list."""
    return {
        "key": line.key,
        "what": line.what,
        "mass_kg": spread_as_json(line.mass_kg),
        "count": line.count,
        "volume_L": line.volume_L,
        "dishes": list(line.dishes),
        "note": render(line.note, preference),
        "cost": line.cost,
        "currency": line.currency,
    }


def _cut(cut: Cut, preference: Preference) -> dict[str, Any]:
    result, plan = cut.result, cut.plan
    return {
        "food": {"key": cut.food.key, "name": cut.food.name, "kind": cut.food.kind.value},
        "result": None
        if result is None
        else {"key": result.key, "words": result.words, "low_C": result.low_C, "high_C": result.high_C},
        "stands_in": cut.stands_in,
        "works": plan.works,
        "in_time": cut.in_time,
        "set_point_C": plan.set_point_C,
        "bath_s": plan.bath_s,
        "hands_s": cut.hands_s,
        "buying": _buying(cut.buying),
        "cost_each": spread_as_json(cut.cost_each),
        "energy_kWh": spread_as_json(cut.energy_kWh),
        "energy_cost": spread_as_json(cut.energy_cost),
        "tenderness": _estimate(cut.estimate("tenderness"), preference),
        "juiciness": _estimate(cut.estimate("juiciness"), preference),
        "failures": [{"part": f.part.value, "why": render(f.why, preference)} for f in plan.failures],
    }


def _buying(buying: Buying) -> dict[str, Any]:
    kept, party = buying.kept, buying.party
    steps = {"trim": kept.trim, "bone": kept.bone, "cook": kept.cook, "finish": kept.finish}
    return {
        "eaters": {"small": party.small, "usual": party.usual, "large": party.large},
        "wanted_kg": buying.wanted_kg,
        "raw_kg": spread_as_json(buying.raw_kg),
        "bag_kg": spread_as_json(buying.bag_kg),
        "pieces": buying.pieces,
        "piece_kg": buying.piece_kg,
        "losses": {name: _share(share) for name, share in steps.items()},
        "eaten_of_bought": spread_as_json(kept.of_bought),
        "price": _price(buying.price),
        "cost": spread_as_json(buying.cost),
    }


def _share(share: Share) -> dict[str, Any]:
    return {
        "value": share.nominal,
        "low": share.low,
        "high": share.high,
        "source": share.source,
        "how": share.how,
        "note": share.note,
    }


def _price(price: Price | None) -> dict[str, Any] | None:
    return None if price is None else {"per_kg": price.per_kg, "currency": price.currency}


def _estimate(estimate: Estimate | None, preference: Preference) -> dict[str, Any] | None:
    return None if estimate is None else estimate_as_json(estimate, preference)
