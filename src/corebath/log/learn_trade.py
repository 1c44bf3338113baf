"""What a proposed change gains and what it costs, and why it is proposed though a note may speak against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from .learn_say import NAMES, Effect, rating_words, steps_said
from .learn_taste import CookedOutcome


def trade_said(effects: Sequence[Effect], cook: CookedOutcome | None) -> tuple[str, ...]:
    """Gain and cost of a change in the figures of its effects, one sentence each; none where no figure gains.

    effects : of the change;  cook : the one it starts from, whose note or rating may speak against a cost
    """
    gains = [e for e in effects if abs(_shown(e.after)) < abs(_shown(e.before))]
    costs = [e for e in effects if abs(_shown(e.after)) > abs(_shown(e.before))]
    return tuple(_said(gains, costs, cook)) if gains else ()


def _said(gains: list[Effect], costs: list[Effect], cook: CookedOutcome | None) -> Iterator[str]:
    for e in gains:
        before, after = steps_said(e.before), steps_said(e.after)
        yield f"What the change gains: {NAMES[e.quality]}, from {before} to {after} steps off just right."
        if cook is not None and cook.told(e.quality) is None:
            yield (
                f"For {NAMES[e.quality]} {cook.name} is not rated: these figures come from other cooks, "
                "the outcome models and common practice."
            )
    for e in costs:
        before, after = steps_said(e.before), steps_said(e.after)
        yield f"What it costs: {NAMES[e.quality]}, from {before} to {after} steps off just right."
    if costs:
        yield "The model counts the gain as larger than the cost."
    for e in costs:
        off = _off(e, cook)
        if cook is not None and off:
            if getattr(cook.rating, e.quality) is not None:
                yield f"{cook.name} was already rated {rating_words(e.quality, off)}."
            else:
                yield f"By its note {cook.name} may already have been {rating_words(e.quality, off)}."
            yield "If that matters more to you than the gain, do not make this change."


def _off(effect: Effect, cook: CookedOutcome | None) -> int:
    """How far off the cook was said to be, on the side that the change moves to; 0 where it was not."""
    said = None if cook is None else cook.told(effect.quality)
    if said is None:
        return 0
    return min(said[0], 0) if effect.after < effect.before else max(said[1], 0)


def _shown(value: float) -> float:
    """As printed, so that a figure that does not change in print is not called a change."""
    return round(value, 1)
