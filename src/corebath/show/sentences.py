"""The answer: what to do, then what sets the time, and more where a met rule might be read as more than it says."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from corebath.food.kinds import Handling
from corebath.plan.clock import after
from corebath.plan.plan import Failure, Governs, Part, Plan
from corebath.plan.request import Request
from corebath.plan.tell import pasteurised_by
from corebath.safety.finding import Verdict
from corebath.units import Preference, render, show_duration, show_temperature

from .words import capital, day_and_time, food_words

_GOVERNS = {
    Governs.HEAT: "Heating through sets the time",
    Governs.SAFETY: "A binding heat rule sets the time",
    Governs.TENDERNESS: "Softening sets the time, by common practice",
    Governs.RECIPE: "The time is the usual one for this result",
}

_REASONS = {"result": "the wanted result would not be reached", "water": "the bath as it is does not suit it"}


_WARM = "If it came out of the cold more than an hour ago, or nobody knows when, do not cook it."
_GARLIC = "Raw garlic, herbs or oil in the bag: the rule on spores is not met, so eat it at once."
_SPORES = ("garlic-or-oil-spores",)
_FISH = "For the guest at higher risk, lightly cooked fish is better left out: a met rule does not end the risk."
# By the kind of food, and by its handling where it is minced.
_LEAVE_OUT = {
    "minced": "For the guest at higher risk, lightly cooked minced meat is better left out: "
    "a met rule does not end the risk.",
    "egg": "For the guest at higher risk, a runny egg is better left out: a met rule does not end the risk.",
    "fish": _FISH,
    "shellfish": _FISH,
}


def answer(plan: Plan, preference: Preference) -> str:
    """What to do, by the clock and in elapsed time, what governs it and how sure it is; or what fails.

    A sentence for each, and one more for each thing that a met rule must not hide: what a guest at higher risk had
    better leave out stands first, the rest last.
    """
    return " ".join(part for part in (*_begun(plan, preference), time_set(plan), *_hidden(plan)) if part)


def to_do(plan: Plan, preference: Preference) -> str:
    """The answer without what sets the time, for a page that says it below in smaller letters."""
    return " ".join((*_begun(plan, preference), *_hidden(plan)))


def time_set(plan: Plan) -> str:
    """What sets the time, and how sure that is, in a sentence of its own; empty where the plan fails."""
    if not plan.works:
        return ""
    governs, window = plan.window.governs, plan.window
    if plan.request.bath_s is not None:
        return f"The time in the bath is the one you gave: {_sure(plan)}."
    if governs in (Governs.HEAT, Governs.SAFETY) and isfinite(window.ready_s):
        measured, slow = _minutes(window.nominal_s), _minutes(window.ready_s)
        return f"{_GOVERNS[governs]}: {measured} as measured, {slow} for the slowest in twenty."
    return f"{_GOVERNS[governs]}: {_sure(plan)}."


def _begun(plan: Plan, preference: Preference) -> tuple[str, ...]:
    said = _works(plan, preference) if plan.works else _fails(plan, preference)
    caution = _guests(plan.request)
    return (caution, said) if caution else (said,)


def _hidden(plan: Plan) -> Iterator[str]:
    """What stands behind the answer: a doubtful start, and spores where the plan works."""
    if plan.out_before:
        yield _WARM
    spores = any(f.rule in _SPORES and f.verdict is not Verdict.MET for f in plan.findings)
    if plan.works and plan.request.garlic_or_oil and spores:
        yield _GARLIC


def _guests(request: Request) -> str:
    """The caution on guests at higher risk where a met rule might be read as leave to eat it; empty elsewhere."""
    if not request.guests_at_risk:
        return ""
    if request.treated_as is Handling.MINCED:
        return _LEAVE_OUT["minced"]
    return _LEAVE_OUT.get(request.food.kind, "")


def _works(plan: Plan, preference: Preference) -> str:
    request, zone = plan.request, plan.request.zone
    pull = f"{plan.pull:%H:%M}" if plan.pull.date() == plan.drop_in.date() else day_and_time(plan.pull)
    serve = f"{plan.serve:%H:%M}" if plan.serve.date() == plan.pull.date() else day_and_time(plan.serve)
    set_point, drop_in = show_temperature(plan.set_point_C, preference), plan.drop_in.astimezone(zone)
    begin = f"set the bath to {set_point}, drop in by {day_and_time(drop_in)}"
    if request.bath_s is not None:
        begin = f"set the bath to {set_point}, drop in at {day_and_time(drop_in)}"
    by = "at" if request.bath_s is not None else "by"
    if request.ice is not None:
        into_ice = after(drop_in, -request.ice.wait_s, zone)
        begin = (
            f"lay it in ice water {by} {day_and_time(into_ice)}, let the heater start at {day_and_time(drop_in)} "
            f"with the bath set to {set_point}"
        )
    food, stay = capital(food_words(request)), _minutes(plan.bath_s)
    if only_warmed(plan):
        return (
            f"{food}: {begin}, pull {stay} later, at {pull}, and serve at {serve}; "
            "the core is warmed, not pasteurised: not for guests at higher risk."
        )
    return f"{food}: {begin}, pull {stay} later, at {pull}, and serve at {serve}."


def only_warmed(plan: Plan) -> bool:
    """No heat rule that names a reduction of bacteria is met at the core; plants have none to meet."""
    request = plan.request
    treated = pasteurised_by(request.subject, request.authority, plan.cautious.until(plan.bath_s))
    return treated is None and request.food.kind != "vegetable"


def _sure(plan: Plan) -> str:
    window = plan.window
    if not isfinite(window.ready_s):
        return "no binding rule is broken, but when such a piece is ready is not known"
    if plan.bath_s < window.ready_s:
        return f"no binding rule is broken, but this result is usually said to take {_usual(window.ready_s)}"
    if plan.bath_s > window.latest_s:
        return f"no binding rule is broken, but this result is usually said to bear {_usual(window.latest_s)} at most"
    if window.governs in (Governs.RECIPE, Governs.TENDERNESS):
        return "no binding rule is broken, but how the food turns out varies from piece to piece"
    return f"19 of 20 such pieces are ready by then, a piece as measured after {_minutes(window.nominal_s)}"


def _fails(plan: Plan, preference: Preference) -> str:
    reasons = " and ".join(dict.fromkeys(_reason(plan, f, preference) for f in plan.failures))
    if plan.alternatives:
        nearest = plan.alternatives[0]
        change = render(nearest.change, preference).rstrip(".")
        offer = (
            f"the nearest plan that works is this: {change[0].lower()}{change[1:]}, "
            f"and drop in by {day_and_time(nearest.drop_in)}"
        )
    else:
        offer = "no plan near it was found that works"
    asked = f"{show_temperature(plan.set_point_C, preference)} for {_minutes(plan.bath_s)}"
    return f"{capital(food_words(plan.request))} at {asked} does not work as asked, because {reasons}; {offer}."


def _reason(plan: Plan, failure: Failure, preference: Preference) -> str:
    if failure.part is Part.SAFETY:
        said = ", ".join(f"“{render(f.title, preference, both=False)}” is {f.verdict}" for f in plan.broken)
        return f"the binding rule {said}" if len(plan.broken) == 1 else f"of the binding rules {said}"
    if failure.part is Part.TIME:
        return f"there is not enough time (the food would have to drop in by {day_and_time(plan.drop_in)})"
    return _REASONS[failure.part.value]


def _usual(seconds: float) -> str:
    """A time that practice gives: no finer than a quarter of an hour, from half a day on than an hour."""
    step_s = 3600.0 if seconds >= 43200.0 else 900.0 if seconds >= 3600.0 else 60.0
    return show_duration(step_s * round(seconds / step_s))


def _minutes(seconds: float) -> str:
    return show_duration(60.0 * round(seconds / 60.0))
