"""From a plan and a rating to what learning needs of a cook."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, tzinfo

from corebath.plan.data import defaults, pace_of
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import salt_share

from .cook import Rating
from .learn_drive import QUALITIES, Settings, figures
from .learn_taste import CookedOutcome
from .words import hear


def cooked_outcome(
    plan: Plan, rating: Rating, *, name: str, cooked_at: datetime, bath_s: float | None = None,
    last: Rating | None = None, timed: bool = True,
) -> CookedOutcome:  # fmt: skip
    """A rated cook as learning needs it.

    plan : the plan it followed;  bath_s : time in the bath as it happened, as planned by default [s]
    last : the rating of the cook before, which words such as "better" compare with
    timed : False when nobody told how long it was in the bath

    The note of the rating is read for the qualities its scales leave out. Raises ValueError when the food
    never came within a kelvin of the bath.
    """
    request, heard = plan.request, hear(rating.note, last, rating)
    exact = {}
    for quality in QUALITIES:
        given = getattr(rating, quality)
        exact[quality] = getattr(heard.rating, quality) if given is None else given
    return CookedOutcome(
        name=name,
        cooked_at=cooked_at,
        food=request.food.name,
        texture=request.food.texture,
        kind=request.food.kind,
        settings=settings_of(plan, plan.bath_s if bath_s is None else bath_s),
        thickness_m=request.lying_together.thickness_m,
        rating=Rating(**exact, note=rating.note),
        loose=tuple(x for x in heard.loose if exact[x.quality] is None),
        result=request.result,
        questions=heard.questions,
        timed=timed,
    )


def named_apart(cooks: Sequence[CookedOutcome], zone: tzinfo, numbers: Sequence[int]) -> list[CookedOutcome]:
    """The cooks in their order; those that share a name get their clock behind it, and then their number too."""
    names = [c.name for c in cooks]
    for more in ([f"{c.cooked_at.astimezone(zone):%H:%M}" for c in cooks], [f"number {n}" for n in numbers]):
        often = Counter(names)
        names = [f"{name}, {word}" if often[name] > 1 else name for name, word in zip(names, more, strict=True)]
    return [replace(c, name=name) for c, name in zip(cooks, names, strict=True)]


def settings_of(plan: Plan, bath_s: float) -> Settings:
    """What a plan sets, with so long in the bath [s].

    Raises ValueError when the food is not yet within a kelvin of the bath by then.
    """
    request = plan.request
    come_up_s = plan.nominal.first_core_above(plan.set_point_C - figures()["levers"]["within_K"])
    if come_up_s is None or come_up_s >= bath_s:
        raise ValueError("the food was pulled before it came up to the bath: from such a cook no taste can be learned")
    sear = defaults()["sear"]
    return Settings(
        set_point_C=plan.set_point_C,
        hours=(bath_s - come_up_s) / 3600.0,
        come_up_s=come_up_s,
        salt_percent=round(100 * salt_share(request, pace_of(request.food.texture)), 6) or None,
        pan=request.pan,
        pan_C=request.pan_C if request.pan_C is not None else sear["face_C"],
        surface=request.surface if request.subject.seared else None,
    )
