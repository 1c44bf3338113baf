"""Why the numbers of what is kept: chill, ice, days, freezing, reheating."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.chill.cool import Chill
from corebath.chill.freeze import Freeze
from corebath.chill.ice import IceNeed
from corebath.chill.keep import Keeping
from corebath.chill.reheat import Reheat
from corebath.chill.runs import Reach
from corebath.chill.tables import settings
from corebath.safety.finding import Finding
from corebath.units import mark

from .judged import judged_whys
from .why import Input, Origin, Teller, Why, percent, reckoned, why

PART = "keep"


def chill_whys(
    made: Chill, ice: IceNeed | None, thickness_m: float, start: Input, tell: Teller, findings: tuple[Finding, ...]
) -> Iterator[Why]:
    """Times of a chill, the ice it takes, and its findings. start : the core when it goes in"""
    medium = made.medium
    thick = tell.asked("thickness", mark(thickness_m, "m"), "thick")
    numbers = [why(
        "chill-time", PART, _reaches(made.runs.reaches),
        (thick, start,
         Input(medium.words, mark(medium.nominal_C, "C"), tell.origin("medium")),
         Input("surface coefficient h", f"{medium.h_nominal:g} W/(m²·K)", Origin.USUAL)),
        spread=f"{_spread()} Contact {medium.h_low:g} to {medium.h_high:g} W/(m²·K), the water "
        f"{mark(medium.cold_C, 'C')} to {mark(medium.warm_C, 'C')}. {_ends(made.runs.reaches[-1])}",
        source=(medium.source, settings()["spread"]["source"]),
    )]  # fmt: skip
    left = settings()["ice_left"]
    if ice is not None:
        numbers.append(why(
            "ice", PART, f"{mark(ice.plan_low_kg, 'kg')} to {mark(ice.plan_high_kg, 'kg')}",
            (reckoned("melted by the food", mark(ice.food_kg, "kg"), "chill-time"),
             reckoned("melted by the water", mark(ice.water_kg, "kg")),
             reckoned("melted by the room", f"{mark(ice.room_low_kg, 'kg')} to {mark(ice.room_high_kg, 'kg')}"),
             Input("still floating", " to ".join(percent(left[end]) for end in ("low", "high")), Origin.USUAL)),
            spread=f"At least {mark(ice.melts_kg, 'kg')} melts; the rest is the room and what should float.",
        ))  # fmt: skip
    yield from numbers
    yield from judged_whys(PART, findings, {"chill-ice": "ice", "": "chill-time"}, numbers)


def keep_whys(keeping: Keeping, pasteurised: Why | None, frozen: Freeze | None, tell: Teller) -> Iterator[Why]:
    """Days, freezing and findings. pasteurised : why it counts as that, None where the cook said so"""
    numbers = [] if pasteurised is None else [pasteurised]
    state = (
        tell.asked("pasteurised at the core", "as given", "pasteurised")
        if pasteurised is None
        else reckoned("pasteurised at the core", pasteurised.value, pasteurised.key)
    )
    fridge = tell.asked("fridge", mark(keeping.fridge_C, "C"), "fridge", usual=not keeping.measured)
    others = (Input(rule.title, _days(rule.days), Origin.RULE) for rule in keeping.others)
    numbers.append(why(
        "keeping", PART, _days(keeping.days), (state, fridge, *others),
        source=(keeping.rule.source if keeping.rule is not None else "all keeping rules held",),
    ))  # fmt: skip
    if frozen is not None:
        numbers.append(why(
            "freezing", PART, _reaches(frozen.runs.reaches),
            (reckoned("from", mark(keeping.fridge_C, "C"), "keeping"),),
            spread=f"{_spread()} {_ends(frozen.runs.reaches[-1])}", source=(settings()["spread"]["source"],),
        ))  # fmt: skip
    yield from numbers
    yield from judged_whys(PART, keeping.findings, {"keep-": "keeping"}, numbers)


def reheat_whys(made: Reheat, thickness_m: float, kept: Input, bath: Input, tell: Teller) -> Iterator[Why]:
    """Time to serve, and its findings. kept : how cold it was kept;  bath : the one it warms in"""
    water = settings()["bath_water"]
    number = why(
        "reheat", PART, _reaches([made.runs.reach(made.to_C)]),
        (tell.asked("thickness", mark(thickness_m, "m"), "thick"),
         kept, bath,
         Input("core to serve at", mark(made.to_C, "C"), tell.origin("serve")),
         Input("surface coefficient h", f"{water['nominal_h_W_m2K']:g} W/(m²·K)", Origin.USUAL)),
        spread=f"{_spread()} Contact {water['low_h_W_m2K']:g} to {water['high_h_W_m2K']:g} W/(m²·K). "
        f"{_ends(made.runs.reach(made.to_C))}",
        source=(water["source"], settings()["spread"]["source"]),
    )  # fmt: skip
    yield number
    yield from judged_whys(PART, made.findings, {"reheat-": "reheat"}, [number])


def _reaches(reaches: tuple[Reach, ...] | list[Reach]) -> str:
    return ", ".join(f"{mark(r.core_C, 'C')} after {_time(r.nominal_s)}" for r in reaches)


def _ends(reach: Reach) -> str:
    return f"To {mark(reach.core_C, 'C')}: {_time(reach.quick_s)} to {_time(reach.cautious_s)}."


def _time(seconds: float | None) -> str:
    return "no time that can be known" if seconds is None else mark(seconds, "s")


def _days(days: int) -> str:
    return f"{days} day{'' if days == 1 else 's'}"


def _spread() -> str:
    spread = settings()["spread"]
    return f"Thickness {percent(spread['thickness'])} and diffusivity {percent(spread['diffusivity'])} off, together."
