"""Why every number of a whole answer."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.buying import Buying
from corebath.plan.data import defaults
from corebath.plan.ends import Ends
from corebath.plan.plan import Plan
from corebath.plan.tell import pasteurised_by
from corebath.units import mark

from .answer import answer_whys
from .cold import PART as KEEP
from .cold import chill_whys, keep_whys, reheat_whys
from .ends import salt_whys, sear_whys
from .moments import moment_whys
from .outcome import outcome_whys
from .rules import rule_whys
from .water import bathed, water_whys
from .why import Input, Origin, Teller, Told, Why, reckoned, why

# What a plan's request holds an answer for; the rest of its ends is done the usual way.
_PLANNED = frozenset(
    ["shape", "thick", "wide", "long", "layers", "start", "want", "units", "altitude", "probe", "eat", "salt", "bath",
     "ice", "rules", "handling", "guests", "vessel", "heater", "cover", "tap", "hot_tap", "room", "humidity", "draught",
     "price", "litres", "mass", "pieces", "sealed", "weight", "pan", "hot", "surface", "fridge"]
)  # fmt: skip


def plan_whys(plan: Plan, told: Told | None = None) -> tuple[Why, ...]:
    """Why every number of a plan; told : whose word its answers are, None where nobody noted it."""
    tell = Teller(told, _PLANNED)
    wet = bathed(plan, defaults()["outage"]["seconds"])
    return (
        *answer_whys(plan, tell),
        *rule_whys(plan, tell),
        *(water_whys(wet, tell) if wet is not None else ()),
        *outcome_whys(plan, tell),
        *moment_whys(plan, tell),
    )


def ends_whys(plan: Plan, ends: Ends, told: Told | None = None) -> tuple[Why, ...]:
    """Why every number of both ends of a plan."""
    return tuple(_ends(plan, ends, Teller(told, _PLANNED)))


def _ends(plan: Plan, ends: Ends, tell: Teller) -> Iterator[Why]:
    request, body = plan.request, plan.request.body
    if ends.salted is not None:
        salted = ends.salted
        yield from salt_whys(
            salted.percent, request.salt_percent is None, salted.dose, salted.salting, body.thickness_m,
            salted.findings, tell,
        )  # fmt: skip
    if ends.seared is not None:
        seared = ends.seared
        chilled = next((said for said in seared.statements if said.startswith("Chilled in ice water")), "")
        yield from sear_whys(
            seared.setup, seared.sear, seared.sear.findings, tell, usual_pan=request.pan_C is None,
            more={"chill-first": chilled} if chilled else {},
        )  # fmt: skip
    kept, core_C = ends.kept, plan.nominal.core_at(plan.bath_s)
    start = reckoned("core at first", mark(round(core_C, 1), "C"), "core-curve")
    yield from chill_whys(kept.chill, kept.ice, body.thickness_m, start, tell, kept.chill.findings)
    yield from keep_whys(kept.keeping, _pasteurised(plan), None, tell)
    if kept.reheat is not None:
        warm_C = plan.set_point_C - defaults()["reheat"]["below_set_point_K"]
        bath = Input("bath, a little below the set point", mark(warm_C, "C"), Origin.USUAL)
        fridge = reckoned("kept at", mark(kept.keeping.fridge_C, "C"), "keeping")
        yield from reheat_whys(kept.reheat, body.thickness_m, fridge, bath, tell)


def _pasteurised(plan: Plan) -> Why:
    subject, authority = plan.request.subject, plan.request.authority
    rule = pasteurised_by(subject, authority, plan.cautious.until(plan.bath_s))
    value = "not pasteurised" if rule is None else rule.title
    counted = {*plan.timing.lethality, *(() if rule is None else (rule.key,))}
    met = [reckoned(f.title, f.verdict.value, f"rules-{f.rule}") for f in plan.findings if f.rule in counted]
    source = "" if rule is None else rule.source
    return why("pasteurised", KEEP, value, met, source=(source,))


def buying_whys(buying: Buying, told: Told | None = None) -> tuple[Why, ...]:
    """Why the amounts to buy."""
    tell, kept = Teller(told), buying.kept
    steps = (("trim", kept.trim), ("bone or shell", kept.bone), ("juice", kept.cook), ("pan", kept.finish))
    eaten = tell.asked("cooked, without bone", mark(round(buying.wanted_kg, 3), "kg"), "eaters")
    raw = buying.raw_kg
    return (
        why(
            "buy", "buy", mark(raw.nominal, "kg"),
            (eaten, *(reckoned(f"lost as {name}", f"{100 * share.nominal:.0f} %") for name, share in steps)),
            spread=f"{mark(raw.low, 'kg')} to {mark(raw.high, 'kg')}; the ranges of the steps count as independent.",
            source=tuple(share.source for _, share in steps),
        ),
    )  # fmt: skip
