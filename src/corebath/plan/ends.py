"""Both ends of a plan: the salt before the bath, and the sear, the chill, the keeping and the reheating after it.

They are readings of the same piece and the same history. They cost as much as the plan itself, so they are
made apart from it, for those who ask.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, isfinite

from corebath.chill.cool import Chill, chill
from corebath.chill.ice import IceNeed, ice_needed
from corebath.chill.keep import Keeping, Label, label
from corebath.chill.reheat import Reheat, reheat
from corebath.heat.stage import Stage
from corebath.safety.finding import Finding
from corebath.safety.lethality import LethalityRule
from corebath.salt.brine import Salting, about, dry_brine
from corebath.salt.dose import Dose, dose, dose_findings
from corebath.sear.hot import pan
from corebath.sear.oil import SearCaution, oils_for, sear_cautions
from corebath.sear.run import Setup, THICKEST_m, THINNEST_m, chilled_start
from corebath.sear.sear import Sear, chill_first, crust_range_s, sear
from corebath.sear.tables import settings as sear_settings
from corebath.units import mark

from .clock import elapsed_s
from .data import defaults, pace_of
from .plan import Plan
from .run_sheet import Task, salt_share
from .tell import keep_cooked, pasteurised_by
from .water import piece_volume_m3

_CHILL_IN = "ice-water-still"
_COLD_C = 5.0


@dataclass(frozen=True, slots=True)
class Salted:
    """The salt. percent : of the meat [%];  dose : None when the piece was not weighed"""

    percent: float
    wait_s: float
    dose: Dose | None
    salting: Salting
    findings: tuple[Finding, ...]
    statements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Seared:
    """The sear, as the pan and the surface stand, and with the piece chilled first where that helps."""

    pan: str
    setup: Setup
    sear: Sear
    oils: tuple[str, ...]
    cautions: tuple[SearCaution, ...]
    statements: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """Chilled, kept and warmed again. ice : None when the mass of the food is not known"""

    chill: Chill
    ice: IceNeed | None
    pasteurised: bool
    keeping: Keeping
    label: Label
    reheat: Reheat | None
    statements: tuple[str, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All rules from the ice water to the plate."""
        return (*self.chill.findings, *self.keeping.findings, *(self.reheat.findings if self.reheat else ()))


@dataclass(frozen=True, slots=True)
class Ends:
    """What comes before and after the bath; None where it does not apply to this food.

    run_sheet : the plan's, with what is known here
    """

    salted: Salted | None
    seared: Seared | None
    kept: Kept
    run_sheet: tuple[Task, ...]


def make_ends(plan: Plan) -> Ends:
    """Salt, sear, chill, keeping and reheating of a plan, each on the plan's own piece and history."""
    salted, seared, kept = _salted(plan), _seared(plan), _kept(plan)
    return Ends(salted, seared, kept, tuple(_told(task, plan, salted, seared, kept) for task in plan.run_sheet))


def _told(task: Task, plan: Plan, salted: Salted | None, seared: Seared | None, kept: Kept) -> Task:
    """A task of the run sheet with what is known of the salt, the sear and the chill."""
    if task.key == "salt" and salted is not None and salted.salting.nominal is not None:
        half = about(salted.salting.nominal.half_s)
        return replace(
            task, what=f"{task.what} At this thickness the core has half of its final salt after about {half}."
        )
    if task.key == "finish" and seared is not None:
        nominal_s, quick_s, slow_s = crust_range_s(seared.sear)
        if isfinite(nominal_s):
            ends = f"{mark(quick_s, 's')} at the soonest, perhaps no crust comes"
            if isfinite(slow_s):
                ends = f"{mark(quick_s, 's')} to {mark(slow_s, 's')}"
            return replace(
                task,
                what=(
                    f"Sear in a {seared.pan} pan at {mark(seared.setup.hot.face_C, 'C')}: about "
                    f"{mark(nominal_s, 's')} a side ({ends}), the rim too. "
                    "Hot fat spits: dry food, long tongs, air on."
                ),
            )
    if task.key == "leftovers" and not plan.never_hot:
        cold = kept.chill.runs.reach(_COLD_C).cautious_s
        if cold is not None:
            took = mark(60.0 * ceil(cold / 60), "s")
            return replace(task, what=f"{task.what} In ice water a whole piece is cold through after up to {took}.")
    return task


def _salted(plan: Plan) -> Salted | None:
    request, food = plan.request, plan.request.food
    pace = pace_of(food.texture)
    percent = 100 * salt_share(request, pace)
    if percent == 0 or food.kind in ("vegetable", "egg"):
        return None
    salt = next((task for task in plan.run_sheet if task.key == "salt"), None)
    wait_s = elapsed_s(salt.at, plan.drop_in) if salt is not None else 0.0
    # Two hours is the shortest wait that practice calls a dry brine; the planned one is told beside it.
    hours = sorted({2.0, max(round(wait_s / 3600, 2), 0.25)})
    salting = dry_brine(
        request.body,
        food.kind,
        percent,
        meat_water=food.composition.water,
        frozen_before=request.state.value == "frozen",
        hours=hours,
    )
    weighed = None if request.piece_mass_kg is None else dose(request.piece_mass_kg, percent)
    findings = dose_findings(percent, cook_s=plan.bath_s)
    said = (
        [weighed.statement] if weighed is not None else [f"{percent:g} % of salt: weigh the piece to know the grams."]
    )
    return Salted(percent, wait_s, weighed, salting, findings, (*said, *salting.statements))


def _seared(plan: Plan) -> Seared | None:
    request, pace = plan.request, pace_of(plan.request.food.texture)
    thickness_m = request.body.thickness_m
    if not request.subject.seared or not THINNEST_m <= thickness_m <= THICKEST_m:
        return None
    usual = defaults()["sear"]
    material = plan.timing.cautious.thermal.warm
    core_C = plan.nominal.core_at(plan.bath_s)
    room_C = 20.0 if request.equipment is None else request.equipment.room.air_C
    drying = Stage.constant("drying", max(pace.dry_s, 1.0), room_C, sear_settings()["room_air"]["h_W_m2K"])
    hot = pan(request.pan, face_C=request.pan_C or usual["face_C"], food_area_m2=_area_m2(plan, usual["food_area_m2"]))
    setup = Setup(
        thickness_m=thickness_m,
        material=material,
        meat_water=min(max(request.food.composition.water, 0.3), 0.9),
        start_C=chilled_start(thickness_m, material, core_C, drying),
        core_result_C=plan.bath_C,
        hot=hot,
        film_kg_m2=sear_settings()["film"][f"{request.surface}_kg_m2"],
        boiling_C=100.0 if request.equipment is None else request.equipment.room.boiling_C,
        room_C=room_C,
    )
    answer = sear(setup)
    oils = tuple(oil.name for oil in oils_for(hot.face_C))
    said = list(answer.statements)
    chill_s, cooled = chill_first(setup)
    if chill_s > 0 and answer.nominal.core_rise_K > usual["worth_chilling_K"]:
        rise_K = sear(cooled).nominal.core_rise_K
        said.append(
            f"Chilled in ice water for {mark(60.0 * round(chill_s / 60), 's')} before the pan, in its bag, "
            f"the core would rise {mark(round(max(rise_K, 0.0), 1), 'K')} "
            f"instead of {mark(round(answer.nominal.core_rise_K, 1), 'K')}."
        )
    said.append(
        f"Oils whose smoke point is above {mark(hot.face_C, 'C')} in every source we have: {', '.join(oils)}."
        if oils
        else f"No oil held here smokes only above {mark(hot.face_C, 'C')} by every source: expect smoke, use little."
    )
    return Seared(request.pan.replace("-", " "), setup, answer, oils, sear_cautions("pan", hot.face_C), tuple(said))


def _kept(plan: Plan) -> Kept:
    request, subject = plan.request, plan.request.subject
    thermal, body = plan.timing.cautious.thermal, request.body
    core_C = plan.nominal.core_at(plan.bath_s)
    chilled = chill(body, thermal, core_C, _CHILL_IN, subject, request.authority)
    volume_m3 = piece_volume_m3(request, plan.timing.cautious)
    cold_s = chilled.runs.reach(_COLD_C).cautious_s
    ice = None
    if volume_m3 is not None and cold_s is not None:
        mass_kg = volume_m3 * thermal.warm.rho_kg_m3 * request.pieces
        ice = ice_needed(
            food_kg=mass_kg,
            food_cp_J_kgK=thermal.warm.cp_J_kgK,
            from_C=plan.nominal.core_at(plan.bath_s),
            to_C=_COLD_C,
            water_kg=mass_kg,
            water_C=15.0 if request.equipment is None else request.equipment.fill_C,
            chill_s=cold_s,
        )
    treated = plan.cautious.until(plan.bath_s)
    rule = pasteurised_by(subject, request.authority, treated)

    def kept(reheat_s: float) -> Keeping:
        return keep_cooked(
            subject, request.authority, treated, chilled, fridge_C=request.fridge_C, pasteurised=rule is not None,
            reheat_s=reheat_s,
        )  # fmt: skip

    keeping = kept(0.0)
    warm_C = plan.set_point_C - defaults()["reheat"]["below_set_point_K"]
    again = None
    cold_C = keeping.fridge_C
    if warm_C >= 40.0 and core_C > cold_C and not keeping.refused:
        again = reheat(
            body, thermal, cold_C, warm_C, subject, request.authority, cooked_C=plan.set_point_C,
            pasteurised=rule is not None, offset_K=request.probe_offset_K,
        )  # fmt: skip
        keeping = kept(again.runs.reach(again.to_C).cautious_s or 0.0)
    tag = label(
        request.food.name, cooked_C=plan.set_point_C, cooked_s=plan.bath_s, cooked=plan.pull.date(), keeping=keeping,
        treatment="" if rule is None else rule.title,
    )  # fmt: skip
    return Kept(
        chilled, ice, rule is not None, keeping, tag, again, tuple(_kept_said(rule, chilled, ice, keeping, again))
    )


def _kept_said(
    rule: LethalityRule | None, chilled: Chill, ice: IceNeed | None, keeping: Keeping, again: Reheat | None
) -> Iterator[str]:
    yield (
        f"Pasteurised at the core by this plan: {rule.title}."
        if rule is not None
        else "Not pasteurised at the core by this plan: it was heated, no more."
    )
    yield from chilled.statements
    if ice is not None:
        yield from ice.statements
    yield from keeping.statements
    if again is not None:
        yield from again.statements


def _area_m2(plan: Plan, usual_m2: float) -> float:
    """Face of one piece in the pan [m2]."""
    volume_m3 = piece_volume_m3(plan.request, plan.timing.cautious)
    return usual_m2 if volume_m3 is None else min(max(volume_m3 / plan.request.body.thickness_m, 0.001), 0.05)
