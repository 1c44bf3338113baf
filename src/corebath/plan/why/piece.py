"""The piece behind most numbers: what it measures, what it is made of, and how uncertain that is."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.food.catalogue import Food
from corebath.food.files import sources
from corebath.heat.body import Body, Shape
from corebath.heat.material import Material
from corebath.plan.data import spreads
from corebath.plan.timing import Span
from corebath.units import mark

from .why import Input, Origin, Teller, percent

_ENDLESS = {Shape.SLAB: "other sides", Shape.BAR: "length", Shape.CYLINDER: "length"}


def body_inputs(tell: Teller, food: Food, body: Body, layers: int = 1) -> Iterator[Input]:
    """Shape and sizes of what heats."""
    said = tell.origin("shape")
    if said is Origin.USUAL:  # nobody said which: the usual one, or another where more sides were measured
        said = Origin.CATALOGUE if body.shape == food.usual_shape else Origin.RECKONED
    yield Input("shape", body.shape.value, said)
    yield tell.asked("thickness", mark(body.thickness_m, "m"), "thick")
    if layers > 1:
        yield tell.asked("pieces against each other", str(layers), "layers")
    if body.width_m is not None:
        yield tell.asked("second side", mark(body.width_m, "m"), "wide")
    if body.length_m is not None:
        yield tell.asked("third side", mark(body.length_m, "m"), "long")
    if body.shape in _ENDLESS:
        yield Input(_ENDLESS[body.shape], "endless, since not measured", Origin.USUAL)


def material_inputs(food: Food, material: Material) -> Iterator[Input]:
    """What the food is made of and how it conducts."""
    comp = food.composition
    made = f"{percent(comp.water)} water, {percent(comp.protein)} protein, {percent(comp.fat)} fat"
    yield Input("composition", f"{made} ({food.composition_note})", Origin.CATALOGUE)
    yield Input("diffusivity α", f"{material.alpha_m2_s * 1e7:.3f}e-7 m²/s", Origin.MODEL)
    yield Input("conductivity k", f"{material.k_W_mK:.3f} W/(m·K)", Origin.MODEL)


def composition_source(food: Food) -> str:
    """Whose figures the composition is."""
    return sources()[food.composition_source]


def contact_input() -> Input:
    """How well the bath touches the bag."""
    return Input("surface coefficient h", f"{spreads()['surface']['h_W_m2K']:.0f} W/(m²·K)", Origin.USUAL)


def spread_sources() -> Iterator[str]:
    """Where the standard deviations come from."""
    for name in ("thickness", "diffusivity", "surface", "start", "set_point"):
        yield spreads()[name]["source"]


def spread_words(*, frozen: bool) -> str:
    """The standard deviations of the inputs, and what is made of them."""
    data = spreads()
    sampled = data["sampling"]
    way = (
        "Each input is moved by one of them either way, and the log of the time counts as linear in all."
        if frozen
        else f"{sampled['pieces']} pieces are drawn from them."
    )
    return (
        f"Standard deviations: thickness {percent(data['thickness']['relative'])}, diffusivity "
        f"{percent(data['diffusivity']['relative'])}, surface coefficient {percent(data['surface']['relative'])}, "
        f"start {mark(data['start']['absolute_K'], 'K')}, set point {mark(data['set_point']['absolute_K'], 'K')}. "
        f"{way} "
        f"The cautious time is the one that {percent(sampled['cautious_share'])} of such pieces keep to."
    )


def span_words(span: Span) -> str:
    """A time as measured, with its cautious end."""
    return f"{minutes(span.nominal_s)}, up to {minutes(span.cautious_s)}"


def span_spread(span: Span) -> str:
    """The spread of a time in one sentence."""
    share = spreads()["sampling"]
    return (
        f"{percent(share['early_share'])} of such pieces are there after {minutes(span.early_s)}, one as measured "
        f"after {minutes(span.nominal_s)}, {percent(share['cautious_share'])} after {minutes(span.cautious_s)}."
    )


def minutes(seconds: float) -> str:
    """A time to the minute, or what stands for one that never comes."""
    return mark(60.0 * round(seconds / 60.0), "s") if abs(seconds) < 1e12 else "never"
