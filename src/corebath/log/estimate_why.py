"""Why the numbers that core readings give while a cook goes on."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from corebath.plan.data import defaults
from corebath.plan.why.piece import spread_sources, spread_words
from corebath.plan.why.why import Input, Origin, Why, percent, reckoned, why
from corebath.units import mark

from .estimate import Estimate, Interval
from .settings import settings

PART = "kitchen"


def estimate_whys(found: Estimate) -> tuple[Why, ...]:
    """The core now, when it is hot through and treated, and the thickness as its core shows it."""
    return tuple(_whys(found))


def _whys(found: Estimate) -> Iterator[Why]:
    data = settings("estimate")
    probe, kept, share = data["probe"], data["readings"], data["interval"]
    held = f"holds {percent(share['share'])} of the time in simulated cooks"
    caveat = (
        f"On {share['measured_series']} measured cooling joints with coarse readings such an interval held "
        f"{share['measured_held']}; no measured core in a warm bath is held."
    )
    core = found.core_now_C
    sources = (probe["source"], kept["source"], share["source"], share["measured_source"], *spread_sources())
    measured_m = found.piece.body.thickness_m / found.thickness_factor.middle
    readings = Input("core readings", str(found.readings), Origin.TYPED)
    inputs = (
        readings,
        Input("probe, one reading off by", mark(probe["noise_sd_K"], "K"), Origin.USUAL),
        Input("probe, all readings off by", mark(probe["bias_sd_K"], "K"), Origin.USUAL),
        Input("thickness", mark(round(measured_m, 4), "m"), Origin.ASKED),
        reckoned("surface coefficient h", _plain(found.h_W_m2K, " W/(m²·K)")),
        reckoned("diffusivity, over the table's", _plain(found.diffusivity_factor, "")),
        reckoned("scatter, over the usual", f"{found.misfit:.2g}"),
    )
    yield why(
        "core-now", PART, mark(round(core.middle, 1), "C"), inputs, source=sources,
        spread=f"{mark(round(core.low, 1), 'C')} to {mark(round(core.high, 1), 'C')} {held}. {caveat} "
        f"Before any reading: {spread_words(frozen=found.piece.is_frozen)}",
    )  # fmt: skip
    rules = (reckoned(key, _time(when)) for key, when in found.rules_s.items())
    within = Input("core below the bath by", mark(defaults()["come_up"]["within_K"], "K"), Origin.USUAL)
    hot = reckoned("hot through", _time(found.hot_s), "core-now")
    yield why(
        "ready-now", PART, _time(found.ready_s), (hot, *rules, within),
        spread=f"{_ends(found.ready_s)} {held}. {caveat}",
    )  # fmt: skip
    factor = found.thickness_factor
    low, middle, high = (mark(round(measured_m * f, 4), "m") for f in (factor.low, factor.middle, factor.high))
    now = reckoned("the core now", mark(round(core.middle, 1), "C"), "core-now")
    yield why(
        "thickness-now", PART, middle, (readings, now), spread=f"{low} to {high} {held}.",
    )  # fmt: skip


def _time(when: Interval) -> str:
    return f"{mark(60.0 * round(when.middle / 60.0), 's')} after drop-in" if isfinite(when.middle) else "not known"


def _ends(when: Interval) -> str:
    return " to ".join(
        mark(60.0 * round(end / 60.0), "s") if isfinite(end) else "no end that can be known"
        for end in (when.low, when.high)
    )


def _plain(found: Interval, unit: str) -> str:
    return f"{found.middle:.3g} ({found.low:.3g} to {found.high:.3g}){unit}"
