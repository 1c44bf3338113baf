"""What a history makes of the food: every quality that applies, each with its band and its basis."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.heat.history import History
from corebath.outcome import doneness, egg, juiciness, tenderness, vegetables
from corebath.outcome.estimate import Estimate, not_known
from corebath.outcome.grids import juiciness_grid, tenderness_grid
from corebath.outcome.hold import Hold, sustained_hold
from corebath.outcome.parameters import number, numbers, source, words
from corebath.outcome.results import Result
from corebath.units import mark

__all__ = ["Estimate", "juiciness_grid", "read_outcome", "tenderness_grid"]

_VEGETABLES = ("root-vegetable", "potato", "green-vegetable", "bulb-vegetable")
_EGG = "egg-in-shell"


def read_outcome(
    history: History,
    texture: str,
    kind: str,
    result: Result | None = None,
    scale: doneness.Scale = doneness.Scale.TRADE,
) -> tuple[Estimate, ...]:
    """The qualities that apply to a food, read at its core; those that do not apply are absent.

    Models of one temperature and one time (doneness, juiciness, tenderness of tender cuts) are given the
    highest sustained core temperature and the hours near it (`sustained_hold`); rates (pigment, tough cuts,
    vegetables, yolk) are integrated along the whole history.

    texture, kind : as in the catalogue
    result : the wanted result, to be compared with what was reached.
    Raises ValueError for a kind that is not in the catalogue.
    """
    hold = sustained_hold(history)
    readings: list[Estimate] = []
    if result is not None:
        readings.append(_wanted(history, hold, result))
    if texture in _VEGETABLES:
        readings.append(_firmness(history, texture))
    elif texture == _EGG:
        readings.extend(_egg(history))
    else:
        readings.extend(_doneness(history, hold, texture, scale))
        readings.extend(_juiciness(hold, kind))
        readings.extend(_tenderness(history, hold, texture, kind))
    return tuple(readings)


def _wanted(history: History, hold: Hold, result: Result) -> Estimate:
    band = f"{_C(result.low_C)} to {_C(result.high_C)}"
    # Eggs are named by their water: the short ones leave it long before the yolk gets there.
    what, reached_C = "core", hold.core_C
    if result.texture == _EGG:
        what, reached_C = "water", float(np.max(history.ambient_C))
    place = "inside"
    if reached_C < result.low_C - number("hold", "reached_K"):
        place = "below"
    elif reached_C < result.low_C:
        place = "just below"
    elif reached_C > result.high_C:
        place = "above"
    near = history.time_s[history.ambient_C >= reached_C - number("hold", "within_K")]
    bath_s = float(near[-1] - near[0]) if near.size else 0.0
    window = f"{_s(result.hold_low_s)} to {_s(result.hold_high_s)}"
    timing = "inside"
    if bath_s < result.hold_low_s:
        timing = "shorter than"
    elif bath_s > result.hold_high_s:
        timing = "longer than"
    return Estimate(
        name="result",
        value=reached_C,
        low=reached_C,
        high=reached_C,
        unit="C",
        words=f"The {what} held {_C(reached_C)}, {place} the band of {result.words} ({band}); "
        f"{_s(bath_s)} in the bath is {timing} its usual texture window of {window}.",
        known=True,
        basis="Bands and windows of cooks, without a study behind them.",
        source=result.source,
    )


def _doneness(history: History, hold: Hold, texture: str, scale: doneness.Scale) -> Iterator[Estimate]:
    if not doneness.doneness_bands(texture, scale):
        return
    shifts = [number("doneness", f"shift_{end}_K_per_decade") for end in ("low", "high")]
    value = float(doneness.looks_like_C(hold.core_C, hold.hours))
    ends = sorted(float(doneness.looks_like_C(hold.core_C, hold.hours, b)) for b in shifts)
    band = doneness.name_doneness(texture, value, scale)
    basis = "Names of cooks; how far hours shift them is common practice without a study."
    cited = source("doneness.grill" if scale is doneness.Scale.GRILL else "doneness")
    if band is None:
        said = f"No doneness name of the {scale} scale fits {_C(hold.core_C)} held for {_s(hold.hours * 3600)}."
        yield not_known("doneness", "C", said, basis, cited)
    else:
        said = f"Looks {_named(band)}, as {_C(value)} after an hour."
        others = [doneness.name_doneness(texture, end, scale) for end in ends]
        also = [_named(other) for other in dict.fromkeys(others) if other and other != band]
        if also:
            said += f" Could pass for {' or '.join(also)}."
        yield Estimate("doneness", value, ends[0], ends[1], "C", said, True, basis, cited)
    if doneness.is_red(texture):
        browned = 100.0 * doneness.pigment_browned_along(history)
        said = f"Pigment kinetics of short heating call it {browned:.0f} % browned; sealed meat stays redder."
        well = 100.0 * number("pigment", "well_done")
        yield Estimate(
            name="pigment",
            value=browned,
            low=0.0,
            high=browned,
            unit="%",
            words=said,
            known=True,
            basis=f"A pessimistic bound, quoted at second hand; a well-done look begins near {well:.0f} %.",
            source=source("pigment"),
        )


def _juiciness(hold: Hold, kind: str) -> Iterator[Estimate]:
    spread = juiciness.loss_spread_pct(kind)
    if spread is None:
        return
    loss = float(juiciness.cook_loss_pct(hold.core_C, hold.hours, kind))
    basis = "Three studies of pork, beef and chicken, twelve points; two new cuts in three lie within 7 points."
    cited = source("juiciness")
    if kind in words("juiciness", "scaled"):
        basis = "The meat curve at a lower ceiling chosen for fish; two salmon points, missed by 2 to 5 points."
        cited = source("juiciness", "fish_source")
    elif juiciness.is_borrowed(kind):
        basis = f"Taken over from pork, beef and chicken, no {kind} measured; the band is twice theirs."
    if np.isfinite(loss):
        low, high = max(loss - spread, 0.0), loss + spread
        said = f"Loses about {loss:.0f} % of its weight as juice ({low:.0f} to {high:.0f} %)."
        yield Estimate("juiciness", loss, low, high, "%", said, True, basis, cited)
        return
    at_least, at_most = juiciness.loss_bounds_pct(hold.core_C, hold.hours, kind)
    said = f"Juice loss at {_C(hold.core_C)} for {_s(hold.hours * 3600)} is not known"
    if at_least is not None:
        said += f"; at least {at_least:.0f} % of the weight, the figure at the edge of what was measured"
    if at_most is not None:
        said += f"; at most {at_most:.0f} % of the weight, the figure at the edge of what was measured"
    yield Estimate("juiciness", None, at_least, at_most, "%", said + ".", False, basis, cited)


def _tenderness(history: History, hold: Hold, texture: str, kind: str) -> Iterator[Estimate]:
    if tenderness.is_tough(texture):
        yield _done(history)
        return
    spread = tenderness.shear_spread(texture, kind)
    basis = "Three studies that disagree with each other; across studies it hardly predicts."
    cited = source("tenderness")
    if spread is None:
        said = "Tenderness is not known for this food: no measurement stands behind it."
        yield not_known("tenderness", "-", said, "No study of this food with numbers was found.", cited)
        return
    value = float(tenderness.tenderness_index(texture, hold.core_C, hold.hours))
    if not np.isfinite(value):
        said = f"Tenderness at {_C(hold.core_C)} for {_s(hold.hours * 3600)} is not known."
        yield not_known("tenderness", "-", said, basis, cited)
        return
    low = float(tenderness.tenderness_index(texture, hold.core_C, hold.hours, off=1.0 + spread))
    high = float(tenderness.tenderness_index(texture, hold.core_C, hold.hours, off=1.0 - spread))
    names = [_step("tenderness.words", "words", x) for x in (value, low, high)]
    said = f"{names[0].capitalize()}; the data allow {names[1]} to {names[2]}."
    yield Estimate("tenderness", value, low, high, "-", said, True, basis, cited)


def _done(history: History) -> Estimate:
    share = tenderness.done_share(history)
    basis = "Common practice for tough beef, right within a factor of 1.5; no study gives a series."
    cited = source("tenderness.done")
    if not np.isfinite(share) or share == 0.0:
        low, high = number("tenderness.done", "low_C"), number("tenderness.done", "high_C")
        said = f"How far a tough cut comes is known only between {_C(low)} and {_C(high)}."
        return not_known("tenderness", "-", said, basis, cited)
    factor = number("tenderness.done", "factor")
    value, low, high = (min(x, 1.0) for x in (share, share / factor, share * factor))
    name = _step("tenderness.words", "done_words", value)
    said = f"{name.capitalize()}: about {100 * share:.0f} % of the usual time to done."
    if share > factor:
        said += " Longer than usual; meat held on may turn mushy, which no model here foresees."
    return Estimate("tenderness", value, low, high, "-", said, True, basis, cited)


def _firmness(history: History, texture: str) -> Estimate:
    cited = source("vegetable")
    if not vegetables.has_firmness(texture):
        said = "Firmness is not known for this vegetable: no softening rate was found."
        return not_known("firmness", "-", said, "No rate in the sources.", cited)
    band = number("vegetable", "band")
    basis = "Carrot's rate and a factor per vegetable; three carrot studies differ by over a factor of two."
    value = vegetables.firmness_along(history, texture)
    if not np.isfinite(value):
        ends = f"{_C(number('vegetable', 'low_C'))} to {_C(number('vegetable', 'high_C'))}"
        said = f"Softening is known only from {ends}; cooler water leaves vegetables firm."
        return not_known("firmness", "-", said, basis, cited)
    low = vegetables.firmness_along(history, texture, speed=band)
    high = vegetables.firmness_along(history, texture, speed=1.0 / band)
    names = [_firm(x) for x in (value, low, high)]
    said = f"{names[0].capitalize()}: about {100 * value:.0f} % of its raw firmness left"
    said += f"; the data allow {names[1]} to {names[2]}."
    return Estimate("firmness", value, low, high, "-", said, True, basis, cited)


def _egg(history: History) -> Iterator[Estimate]:
    minutes = egg.yolk_minutes_along(history)
    basis = "One study's figure, read at second hand; time right to perhaps a fifth."
    low_C, high_C = _C(number("yolk", "low_C")), _C(number("yolk", "high_C"))
    if np.isfinite(minutes):
        band = number("yolk", "band")
        name = egg.name_yolk(minutes)
        like = f"like {name}" if name else f"thinner than {egg.yolk_textures()[0]}"
        said = f"Yolk {like}: worth {_s(minutes * 60)} at {_C(number('yolk', 'reference_C'))}."
        worth_s = 60.0 * minutes
        low_s, high_s = worth_s * (1.0 - band), worth_s * (1.0 + band)
        yield Estimate("yolk", worth_s, low_s, high_s, "s", said, True, basis, source("yolk"))
    else:
        shortest = _s(number("yolk", "shortest_min") * 60)
        said = f"The yolk is known only for water of {low_C} to {high_C} and {shortest} or more."
        yield not_known("yolk", "s", said, basis, source("yolk"))
    begins = " and ".join(_C(x) for x in numbers("white", "begins_C"))
    firm = " and ".join(_C(x) for x in numbers("white", "firm_C"))
    said = f"The white begins to set between {begins}, and firms only between {firm}; how fast is not known."
    yield not_known("white", "-", said, "Setting temperatures only, no rate.", source("white"))


def _step(name: str, key: str, value: float) -> str:
    edges = numbers(name, "at_least")
    return words(name, key)[int(np.searchsorted(edges, value, side="right")) - 1]


def _firm(value: float) -> str:
    return words("vegetable.words", "words")[
        int(np.searchsorted(numbers("vegetable.words", "at_most"), value, side="left"))
    ]


def _named(band: doneness.Band) -> str:
    return f"{band.words} ({_C(band.low_C)} to {_C(band.high_C)})"


def _C(value: float) -> str:
    return mark(round(value, 1), "C")


def _s(value: float) -> str:
    return mark(60.0 * round(value / 60.0), "s")
