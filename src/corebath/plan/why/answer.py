"""Why the answer: set point, come-up, ready, latest, and what is drawn of them."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.bath.altitude import at_altitude
from corebath.outcome.parameters import number
from corebath.outcome.tenderness import is_tough
from corebath.outcome.vegetables import has_firmness
from corebath.plan.data import defaults, pace_of, spreads
from corebath.plan.piece import piece_of
from corebath.plan.plan import Governs, Plan
from corebath.units import mark

from .piece import (
    body_inputs,
    composition_source,
    contact_input,
    material_inputs,
    minutes,
    span_spread,
    span_words,
    spread_sources,
    spread_words,
)
from .why import Input, Origin, Teller, Why, citation, figures, reckoned, why

_SEA_LEVEL_M = 2.0  # lengths from here on are shown in metres and feet
PART, MAP, CORE = "answer", "map", "core"
_STARTS = {"fridge": "start, from the fridge", "frozen": "start, frozen", "room": "start, from the room"}


def answer_whys(plan: Plan, tell: Teller) -> Iterator[Why]:
    """Numbers of the answer, in the order of reasoning, and the two charts."""
    yield _set_point(plan, tell)
    yield _come_up(plan, tell)
    if plan.window.softening_s > 0:
        yield _softening(plan)
    yield _ready(plan)
    yield _latest(plan)
    yield _bath_time(plan, tell)
    yield why(
        "map", MAP, f"{mark(plan.set_point_C, 'C')} for {minutes(plan.bath_s)}",
        (reckoned("the piece", span_words(plan.timing.come_up), "come-up"), *_bath_inputs(plan, tell)),
    )  # fmt: skip
    core_C = plan.nominal.core_at(plan.bath_s)
    yield why(
        "core-curve", CORE, f"{mark(round(core_C, 1), 'C')} at the pull",
        (reckoned("the piece", span_words(plan.timing.come_up), "come-up"), *_bath_inputs(plan, tell)),
        spread=f"At the pull the cautious core is at {mark(round(plan.cautious.core_at(plan.bath_s), 1), 'C')}.",
    )  # fmt: skip


def _set_point(plan: Plan, tell: Teller) -> Why:
    request, result = plan.request, plan.result
    asked = request.set_point_C is not None
    sd_K = spreads()["set_point"]
    inputs = []
    if asked:
        inputs.append(tell.asked("set point", mark(plan.set_point_C, "C"), "want"))
    if result is not None:
        band = f"{mark(result.low_C, 'C')} to {mark(result.high_C, 'C')}"
        if not asked:
            inputs.append(tell.asked("wanted result", result.words, "want"))
        inputs.append(Input(f"band of {result.words}", band, Origin.USUAL))
        inputs.append(Input("usual set point of it", mark(result.set_point_C, "C"), Origin.USUAL))
    inputs.append(tell.asked("step of the heater", mark(round(request.step_K, 4), "K"), "units"))
    highest_C = mark(round(request.highest_set_point_C, 1), "C")
    boiling_C = mark(round(at_altitude(request.altitude_m).boiling_C.low, 1), "C")
    inputs.append(reckoned("highest set point clear of boiling", f"{highest_C}, under {boiling_C}"))
    inputs.append(tell.asked("altitude", _height(request.altitude_m), "altitude"))
    return why(
        "set-point-asked" if asked else "set-point", PART, mark(plan.set_point_C, "C"), inputs, key="set-point",
        spread=f"The bath itself lies within {mark(sd_K['absolute_K'], 'K')} of it (one standard deviation).",
        source=("" if result is None else result.source, sd_K["source"]),
    )  # fmt: skip


def _height(altitude_m: float) -> str:
    """A height in whole metres; one too low to matter is the sea's."""
    if abs(altitude_m) < _SEA_LEVEL_M:
        return "sea level"
    return f"{'−' if altitude_m < 0 else ''}{mark(float(round(abs(altitude_m))), 'm')}"


def _bath_inputs(plan: Plan, tell: Teller) -> Iterator[Input]:
    request = plan.request
    yield reckoned("set point", mark(plan.set_point_C, "C"), "set-point")
    if request.probe_offset_K:
        offset = mark(abs(request.probe_offset_K), "K")
        way = "high" if request.probe_offset_K > 0 else "low"
        yield tell.asked("thermometer", f"reads {offset} too {way}", "probe")


def _come_up(plan: Plan, tell: Teller) -> Why:
    request, food, span = plan.request, plan.request.food, plan.timing.come_up
    frozen = plan.timing.cautious.is_frozen
    usual = request.start_C is None
    inputs = [
        *body_inputs(tell, food, request.lying_together, request.layers),
        tell.asked(_STARTS[request.state.value], mark(request.from_C, "C"), "start", usual=usual),
        *_bath_inputs(plan, tell),
        *material_inputs(food, piece_of(request, plan.set_point_C).thermal.warm),
        contact_input(),
        Input("core below the bath by", mark(defaults()["come_up"]["within_K"], "K"), Origin.USUAL),
    ]
    sources = [composition_source(food), *spread_sources()]
    if usual:
        sources.append(citation("plan/defaults.toml#start_C"))
    if frozen:
        inputs.append(Input("first ice at", mark(food.initial_freezing_C, "C"), Origin.CATALOGUE))
        sources.append(citation(f"food/sources.toml#{food.freezing_source}"))
    if request.ice is not None:
        known = plan.water is not None and plan.water.ice is not None
        inputs.append(reckoned("wait in ice water", mark(request.ice.wait_s, "s"), "ice-wait" if known else ""))
    elif plan.water is not None and plan.water.dip is not None and plan.timing.cautious.dip_K is not None:
        lowest = mark(round(plan.water.dip.lowest_C.nominal, 1), "C")
        inputs.append(reckoned("bath falls to", lowest, "dip"))
    return why(
        "come-up-frozen" if frozen else "come-up", PART, span_words(span), inputs, key="come-up",
        spread=f"{span_spread(span)} {spread_words(frozen=frozen)}", source=sources,
    )  # fmt: skip


def _softening(plan: Plan) -> Why:
    texture, result, window = plan.request.food.texture, plan.result, plan.window
    assert result is not None
    pace = pace_of(texture).pace
    usual = f"{mark(result.hold_low_s, 's')} to {mark(result.hold_high_s, 's')}"
    inputs = [Input(f"usual window of {result.words}", usual, Origin.USUAL)]
    if pace == "window":
        kind, spread = "softening-recipe", "Practice: the window is how far cooks differ."
    elif is_tough(texture) or has_firmness(texture):
        tough = is_tough(texture)
        kind = "softening" if tough else "softening-vegetable"
        factor = number("tenderness.done", "factor") if tough else number("vegetable", "band")
        spread = f"Right within a factor of {factor:g} either way; no piece shows it before it is tried."
        inputs.append(reckoned("come-up", minutes(plan.timing.come_up.nominal_s), "come-up"))
        inputs.append(reckoned("set point", mark(plan.set_point_C, "C"), "set-point"))
        inputs += figures(kind)
    else:
        kind, spread = "softening-practice", "Practice: the window is how far cooks differ."
    source = (result.source, pace_of(texture).source)
    return why(kind, PART, minutes(window.softening_s), inputs, key="softening", spread=spread, source=source)


def _ready(plan: Plan) -> Why:
    window, timing = plan.window, plan.timing
    inputs = []
    if window.governs is not Governs.RECIPE:
        inputs.append(reckoned("come-up", minutes(timing.come_up.cautious_s), "come-up"))
    titles = {finding.rule: finding.title for finding in plan.findings}
    inputs += [
        reckoned(titles.get(rule, rule), minutes(span.cautious_s), f"rules-{rule}")
        for rule, span in timing.lethality.items()
    ]
    if window.softening_s > 0:
        inputs.append(reckoned("hours the texture asks for", minutes(window.softening_s), "softening"))
    spread = (
        f"{minutes(window.early_s)} at the soonest, {minutes(window.nominal_s)} for a piece as measured; the cautious "
        "piece of the findings may add to what the drawn pieces say."
    )
    return why("ready", PART, minutes(window.ready_s), inputs, spread=spread, source=(_governed_by(plan),))


def _governed_by(plan: Plan) -> str:
    """The source of what sets the time."""
    window, texture = plan.window, plan.request.food.texture
    if window.governs is Governs.HEAT:
        return citation("plan/defaults.toml#come_up")
    if window.governs is Governs.SAFETY:
        return "; ".join(dict.fromkeys(f.source for f in plan.findings if f.rule in plan.timing.lethality))
    return pace_of(texture).source


def _latest(plan: Plan) -> Why:
    window, result = plan.window, plan.result
    inputs = [reckoned("ready", minutes(window.ready_s), "ready")]
    if result is None:
        return why("latest-unnamed", PART, minutes(window.latest_s), inputs, key="latest")
    inputs.append(Input(f"end of the usual window of {result.words}", mark(result.hold_high_s, "s"), Origin.USUAL))
    return why("latest", PART, minutes(window.latest_s), inputs, source=(result.source,))


def _bath_time(plan: Plan, tell: Teller) -> Why:
    value = mark(plan.bath_s, "s")
    if plan.request.bath_s is not None:
        return why("bath-time-asked", PART, value, [tell.asked("time in the bath", value, "bath")], key="bath-time")
    step = Input("step of the clock", mark(defaults()["rounding"]["drop_in_s"], "s"), Origin.USUAL)
    return why("bath-time", PART, value, [reckoned("ready", minutes(plan.window.ready_s), "ready"), step])
