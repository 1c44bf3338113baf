"""Whys as data, as plan.schema.json has them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from corebath.plan.why.why import Why
from corebath.units import Preference, render


def whys_as_json(whys: Iterable[Why], preference: Preference) -> list[dict[str, Any]]:
    """Every number with its model, inputs, source and spread; sentences in the cook's units."""

    def say(text: str) -> str:
        return render(text, preference)

    return [
        {
            "key": why.key,
            "part": why.part,
            "of": say(why.of),
            "value": say(why.value),
            "model": say(why.model),
            "formula": why.formula,
            "inputs": [
                {"name": say(i.name), "value": say(i.value), "origin": i.origin.value, "see": i.see or None}
                for i in why.inputs
            ],
            "source": why.source,
            "spread": say(why.spread),
        }
        for why in whys
    ]
