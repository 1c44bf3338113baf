"""What to do next time, said to somebody who looks at one of the cooks."""

from __future__ import annotations

from corebath.units import mark

from .learn import Moved, Suggestion, alike, faultless
from .learn_drive import Settings, figures
from .learn_taste import CookedOutcome


def advice(found: Suggestion, asked: CookedOutcome | None) -> str:
    """The proposal in a sentence or two, quantities as marks.

    asked : the cook it is told beside, None when nothing is learned from that one. Where the proposal starts from
    another cook, that one is named with what was set; a cook with a fault is never said to be right as it was.
    """
    if not found.stands:
        return "A rule of the plan is not met as it was cooked, and no single change mends that: plan it anew."
    if found.cook is None:
        start = "Nothing is rated yet that would speak for a change"
        return f"{start}: plan it as practice has it." if found.change is None else found.change.words
    if asked is not None and (found.cook.name, found.cook.cooked_at) == (asked.name, asked.cooked_at):
        if found.change is not None:
            return found.change.words
        if faultless(asked):
            return "Nothing to change: cook it the same again."
        return (
            f"It was rated off, yet no single change promises enough to be worth it: cook it at {said(found.to)} once "
            "more and rate it again, since part of that rating is the animal's."
        )
    apart = "" if asked is not None and alike(asked.settings, found.cook.settings) else ", not as this one"
    if found.change is None:
        return f"Cook it as {found.cook.name}: {said(found.to)}{apart}."
    return f"Start from {found.cook.name}, {said(found.base)}{apart}. {found.change.words}"


def moved_words(moved: Moved) -> str:
    """How the proposal stood after one cook, one sentence."""
    found = moved.suggestion
    if found.change is not None:
        return found.change.words
    return "Nothing to propose." if found.cook is None else f"As {found.cook.name}, unchanged."


def said(settings: Settings) -> str:
    """Set point and time in the bath, in marks."""
    grain_s = float(figures()["levers"]["said_to_s"])
    return f"{mark(settings.set_point_C, 'C')}, {mark(grain_s * round(settings.bath_s / grain_s), 's')} in the bath"
