"""Why the estimates of what the food will be like."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.outcome.estimate import Estimate
from corebath.outcome.hold import sustained_hold
from corebath.outcome.tenderness import is_tough
from corebath.plan.plan import Plan
from corebath.units import mark

from .why import Input, Origin, Teller, Why, citation, figures, percent, reckoned, why

PART = "outcome"
_ONE_TEMPERATURE = ("result", "doneness", "juiciness", "tenderness")
_SPREADS = {"juiciness": "juiciness.spread_source", "tenderness": "tenderness.spread_source"}


def outcome_whys(plan: Plan, tell: Teller) -> Iterator[Why]:
    """Every estimate of the plan, in its order."""
    hold = sustained_hold(plan.nominal.until(plan.bath_s))
    held = (
        reckoned("core kept up", mark(round(hold.core_C, 1), "C"), "core-curve"),
        reckoned("time near it", mark(round(3600 * hold.hours), "s"), "core-curve"),
    )
    for estimate in plan.outcome:
        yield _estimate_why(plan, estimate, held, tell)


def _estimate_why(plan: Plan, estimate: Estimate, held: tuple[Input, ...], tell: Teller) -> Why:
    name, texture, result = estimate.name, plan.request.food.texture, plan.result
    tough = name == "tenderness" and is_tough(texture)
    kind = f"outcome-{name}{'-tough' if tough else ''}"
    inputs = [Input("texture class", texture.value, Origin.CATALOGUE)]
    inputs += held if name in _ONE_TEMPERATURE and not tough else held[:1]
    if name == "result" and result is not None:
        band = f"{mark(result.low_C, 'C')} to {mark(result.high_C, 'C')}"
        window = f"{mark(result.hold_low_s, 's')} to {mark(result.hold_high_s, 's')}"
        inputs += [tell.asked(f"band of {result.words}", band, "want"), Input("usual window", window, Origin.USUAL)]
        inputs.append(reckoned("time in the bath", mark(plan.bath_s, "s"), "bath-time"))
    inputs += figures(kind)
    sources = [estimate.source]
    if name in _SPREADS and not tough:
        sources.append(citation(f"outcome/parameters.toml#{_SPREADS[name]}"))
    return why(
        kind, PART, _value(estimate), inputs, key=f"{PART}-{name}", of=name.capitalize(),
        spread="" if name in ("result", "pigment", "white") else _spread(estimate), source=sources,
    )  # fmt: skip


def _value(estimate: Estimate) -> str:
    return "not known" if estimate.value is None else _shown(estimate.value, estimate.unit)


def _spread(estimate: Estimate) -> str:
    low, high = estimate.low, estimate.high
    if low is not None and high is not None:
        return f"{_shown(low, estimate.unit)} to {_shown(high, estimate.unit)}. {estimate.basis}"
    ends = (("at least", low), ("at most", high))
    bounds = [f"{words} {_shown(end, estimate.unit)}" for words, end in ends if end is not None]
    return f"{' and '.join(bounds) or 'Not known'}. {estimate.basis}"


def _shown(value: float, unit: str) -> str:
    if unit == "C":
        return mark(round(value, 1), "C")
    if unit == "s":
        return mark(60.0 * round(value / 60.0), "s")
    return percent(value / 100) if unit == "%" else f"{value:.2f}"
