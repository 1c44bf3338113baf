"""What a plan's numbers rest on, in sentences."""

from __future__ import annotations

from corebath.food.files import sources
from corebath.heat.body import Shape
from corebath.units import mark

from .data import pace_of, spreads
from .plan import Plan

_ENDLESS = {
    Shape.SLAB: "Its other sides were not measured and count as endless, which never makes it ready too early.",
    Shape.BAR: "Its length was not measured and counts as endless, which never makes it ready too early.",
    Shape.CYLINDER: "Its length was not measured and counts as endless, which never makes it ready too early.",
}


def basis(plan: Plan) -> tuple[str, ...]:
    """Sentences on the piece, its material, the spreads, the rules and the practice behind a plan; marks inside."""
    request, food, data = plan.request, plan.request.food, spreads()
    body = request.lying_together
    start_K, bath_K = mark(data["start"]["absolute_K"], "K"), mark(data["set_point"]["absolute_K"], "K")
    warm = plan.timing.cautious.thermal.warm
    shares = data["sampling"]
    lines = [
        f"Body: a {body.shape.value}, {mark(body.thickness_m, 'm')} thick, starting at {mark(request.from_C, 'C')} "
        f"in a stirred bath of {mark(plan.bath_C, 'C')}. {_ENDLESS.get(body.shape, '')}".rstrip(),
        f"Material: {100 * food.composition.water:.0f} % water, {100 * food.composition.fat:.0f} % fat "
        f"({food.composition_note}; {sources().get(food.composition_source, food.composition_source)}); "
        "conduction by component properties of Choi and Okos 1986.",
        f"Spread: thickness {100 * data['thickness']['relative']:.0f} %, diffusivity "
        f"{100 * data['diffusivity']['relative']:.0f} %, surface coefficient "
        f"{data['surface']['h_W_m2K']:.0f} W/m²K within {100 * data['surface']['relative']:.0f} %, start {start_K}, "
        f"set point {bath_K} (each one standard deviation); the plan goes by the time by which "
        f"{100 * shares['cautious_share']:.0f} % of such pieces are ready.",
        f"The cautious piece behind the findings has a diffusivity of {warm.alpha_m2_s * 1e7:.2f}e-7 m²/s, "
        f"is {mark(plan.timing.cautious.body.thickness_m, 'm')} thick and lies in water of "
        f"{mark(round(plan.timing.cautious.bath_C, 2), 'C')}.",
        f"Rules: the {request.authority.value} profile; each finding names its own source. "
        "Lethality is credited at the core only, and only while the food is in the bath.",
        f"Drying, searing, resting and salting times: {pace_of(food.texture).source}.",
    ]
    if request.probe_offset_K:
        lines.insert(
            1,
            f"The bath is set to {mark(plan.set_point_C, 'C')}; by the offset of its thermometer it is in truth at "
            f"{mark(plan.bath_C, 'C')}.",
        )
    if plan.result is not None:
        lines.append(
            f"{plan.result.words.capitalize()} stands for a core of {mark(plan.result.low_C, 'C')} to "
            f"{mark(plan.result.high_C, 'C')}: {plan.result.source}."
        )
    return tuple(lines)
