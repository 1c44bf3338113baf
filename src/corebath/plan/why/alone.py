"""Why the numbers of one end of a cook, or of the bath, asked for by itself."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from corebath.bath.say import ranged
from corebath.plan.alone.bath import BathAnswer
from corebath.plan.alone.chill import ChillAnswer
from corebath.plan.alone.keep import KeepAnswer
from corebath.plan.alone.reheat import ReheatAnswer
from corebath.plan.alone.salt import SaltAnswer
from corebath.plan.alone.sear import SearAnswer
from corebath.units import mark

from .cold import chill_whys, keep_whys, reheat_whys
from .ends import salt_whys, sear_whys
from .water import PART, Bathed, water_whys
from .why import Origin, Teller, Told, Why, reckoned, why


def salt_answer_whys(answer: SaltAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of a salting; told : whose word its answers are, as for all of these."""
    request, tell = answer.request, Teller(told)
    usual = tell.origin("salt") is Origin.USUAL
    return tuple(
        salt_whys(
            request.percent, usual, answer.dose, answer.salting, request.piece.body.thickness_m, answer.findings, tell,
            brine=answer.brine is not None,
        )
    )  # fmt: skip


def sear_answer_whys(answer: SearAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of a sear."""
    tell = Teller(told)
    more = {} if answer.preheat_s is None else {"pan-preheat": mark(round(answer.preheat_s), "s")}
    if answer.effects:
        more["effects"] = f"{len(answer.effects)} changes tried"
    usual = answer.request.hot.method == "pan" and tell.origin("hot") is Origin.USUAL
    return tuple(sear_whys(answer.setup, answer.sear, answer.findings, tell, usual_pan=usual, more=more))


def chill_answer_whys(answer: ChillAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of a chill."""
    request, tell = answer.request, Teller(told)
    start = tell.asked("core at first", mark(request.start_C, "C"), "start")
    thickness_m = request.piece.body.thickness_m
    return tuple(chill_whys(answer.chill, answer.ice, thickness_m, start, tell, answer.findings))


def keep_answer_whys(answer: KeepAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of the keeping."""
    return tuple(keep_whys(answer.keeping, None, answer.freeze, Teller(told)))


def reheat_answer_whys(answer: ReheatAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of a reheating."""
    request, tell = answer.request, Teller(told)
    kept = tell.asked("kept at", mark(request.start_C, "C"), "start")
    own = tell.origin("reheat") is not Origin.USUAL
    bath = tell.asked("bath", mark(request.bath_C, "C"), "reheat" if own else "cooked")
    return tuple(reheat_whys(answer.reheat, request.piece.body.thickness_m, kept, bath, tell))


def bath_answer_whys(answer: BathAnswer, told: Told | None) -> tuple[Why, ...]:
    """Why every number of a bath."""
    return tuple(_bath(answer, Teller(told)))


def _bath(answer: BathAnswer, tell: Teller) -> Iterator[Why]:
    request, food, piece = answer.request, answer.food, answer.request.piece
    set_point = tell.asked("bath", mark(request.set_point_C, "C"), "set")
    wet = Bathed(
        equipment=request.equipment,
        set_point=set_point,
        hold=tell.asked("time it is held", mark(request.hold_s, "s"), "bath"),
        set_point_C=request.set_point_C,
        filled=answer.filled,
        bath=answer.bath,
        warm_up=answer.warm_up,
        fit=None if food is None else food.fit,
        dip=None if food is None else food.dip,
        ice=answer.ice,
        floating=None if food is None else food.floating,
        night=answer.night,
        schedule=answer.schedule,
        outage=answer.outage,
        outage_s=request.off_s,
        cost=answer.cost,
        food_kg=None if piece is None else piece.food_kg,
        pieces=1 if piece is None else piece.pieces,
        start_C=request.start_C,
        findings=answer.findings,
    )
    yield from water_whys(wet, tell)
    own = next((limit for limit in answer.limits if limit.cover == request.equipment.cover), answer.limits[0])
    power = tell.asked("heater", f"{request.equipment.heater.power_W:.0f} W", "heater")
    lost = reckoned("losses", f"{answer.losses.total_W.nominal:.0f} W at the set point", "holds")
    yield why(
        "highest", PART, mark(round(own.set_point_C.nominal, 1), "C"), (power, lost),
        spread=f"{ranged(own.set_point_C, 'C')}, from the range of the losses.",
    )  # fmt: skip
    if answer.keeping:
        lasts = next(
            (k.lasts_s for k in answer.keeping if k.cover == request.equipment.cover), answer.keeping[0].lasts_s
        )
        above = tell.asked("to stay above", mark(request.above_C, "C"), "above")
        value = "three days or more" if lasts.nominal == inf else mark(round(lasts.nominal), "s")
        yield why("outage-keeping", PART, value, (set_point, above), spread=f"{ranged(lasts, 's')}.")
    if food is not None and food.crowding is not None:
        alone = reckoned("a bag that hangs free", mark(round(food.crowding.alone_s), "s"))
        yield why("crowding", PART, mark(round(food.crowding.together_s), "s"), (alone,))
    if food is not None and food.most is not None:
        dip = tell.asked("dip allowed", mark(request.dip_K, "K"), "dip")
        yield why("most", PART, f"{food.most.count} pieces, {mark(food.most.mass_kg, 'kg')}", (dip, power))
    if answer.swap is not None and request.swap_C is not None and request.swap_with_C is not None:
        to = tell.asked("changed to", mark(request.swap_C, "C"), "swap_to")
        with_ = tell.asked("new water", mark(request.swap_with_C, "C"), "swap_with")
        yield why("swap", PART, mark(round(answer.swap.swap_L, 2), "L"), (set_point, to, with_))
