"""What was learned and what is proposed, in sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from corebath.units import mark

from .learn_drive import Settings, figures
from .learn_levers import Change, Lever
from .learn_taste import Learned

_WORDS = {
    "tender": ("far too firm", "too firm", "just right", "too soft", "far too soft"),
    "juicy": ("far too dry", "too dry", "just right", "too wet", "far too wet"),
    "done": ("far too pink", "too pink", "just right", "too grey", "far too grey"),
    "crust": ("far too little crust", "too little crust", "just right", "too much crust", "far too much crust"),
    "salt": ("far too little salt", "too little salt", "just right", "too much salt", "far too much salt"),
}
NAMES = {"tender": "tenderness", "juicy": "juiciness", "done": "doneness", "crust": "the crust", "salt": "the salt"}
_MORE = {"tender": "softer", "juicy": "juicier", "done": "further done", "crust": "more crusted", "salt": "saltier"}
_LESS = {"tender": "firmer", "juicy": "drier", "done": "pinker", "crust": "less crusted", "salt": "less salty"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


class Sureness(StrEnum):
    """How sure a proposal is, in a word."""

    LOW = "low"
    FAIR = "fair"
    GOOD = "good"


@dataclass(frozen=True, slots=True)
class Effect:
    """What is expected of one rating.

    before, after : middle expectation at the base and with the change, in steps from just right (-2 to 2 and past)
    low, high : where nine in ten of such cooks would lie with the change, one animal's and one meal's chance in it
    moves_low, moves_high : nine in ten of the change itself [steps];  known : False beyond what was measured
    words : one sentence
    """

    quality: str
    before: float
    after: float
    low: float
    high: float
    moves_low: float
    moves_high: float
    known: bool
    words: str


def rating_words(quality: str, steps: float) -> str:
    """The words of a rating nearest to a figure in steps."""
    return _WORDS[quality][min(max(round(steps), -2), 2) + 2]


def sureness_of(better: float | None, cooks: int) -> Sureness:
    """How sure a change is, by its probability and the number of cooks of this food; few cooks are never sure."""
    f = figures()["advice"]
    if better is None or cooks < f["few_cooks"] or better < f["fair"]:
        return Sureness.LOW
    return Sureness.GOOD if better >= f["good"] else Sureness.FAIR


def confidence_said(better: float | None, sureness: Sureness, cooks: int, food: str) -> str:
    """One sentence on how sure the proposal is and what it rests on."""
    count = _NUMBERS[cooks] if cooks < len(_NUMBERS) else str(cooks)
    rests = f"{count} rated cook{'' if cooks == 1 else 's'} of {food}"
    if cooks > 1:
        rests += ", different animals"
    if better is None:
        return f"Nothing better is known on {rests}; common practice and the outcome models fill in the rest."
    tenths = min(max(round(10 * better), 1), 9)
    odds = "less than 1 in 10" if better < figures()["advice"]["least_odds"] else f"about {tenths} in 10"
    said = [
        f"{sureness.capitalize()} confidence: it rests on {rests}.",
        f"By the model's own chance, which is unproved, {odds} that it comes nearer to just right.",
    ]
    if sureness is Sureness.LOW:
        said.append("Take it as a trial, not as a correction.")
    return " ".join(said)


def effects_said(learned: Mapping[str, Learned], base: Settings, to: Settings) -> tuple[Effect, ...]:
    """What is expected of every rating the models cover, at the base and at the new settings."""
    return tuple(_effects(learned, base, to))


def _effects(learned: Mapping[str, Learned], base: Settings, to: Settings) -> Iterator[Effect]:
    z = figures()["advice"]["interval_z"]
    for quality, one in learned.items():
        seen = one.foresee([base, to])
        if not np.all(np.isfinite(seen.mean)):
            continue
        beyond = bool(seen.beyond[1])
        sd = float(np.sqrt(seen.sd[1] ** 2 + one.measure.noise**2 + beyond * one.measure.beyond**2))
        before, after = float(seen.mean[0]), float(seen.mean[1])
        low, high = after - z * sd, after + z * sd
        name = NAMES[quality].removeprefix("the ").capitalize()
        said = f"{name}, as expected of the next: {rating_words(quality, after)}"
        if rating_words(quality, before) != rating_words(quality, after):
            said += f" instead of {rating_words(quality, before)}"
        said += f" ({steps_said(after)}"
        if steps_said(after) != steps_said(before):
            said += f", {steps_said(before)} without the change"
        said += f"; {steps_said(low)} to {steps_said(high)} nine times in ten)."
        if one.count == 0:
            said += " Never rated for this food: taken from common practice."
        if beyond:
            said += " Beyond what was measured: read off the edge of it, with more doubt."
        yield Effect(
            quality,
            before,
            after,
            low,
            high,
            float(seen.moved[1] - z * seen.moved_sd[1]),
            float(seen.moved[1] + z * seen.moved_sd[1]),
            not beyond,
            said,
        )


def steps_said(value: float, digits: int = 1) -> str:
    """Steps from just right with their sign, nothing as plain nothing."""
    shown = f"{abs(value):.{digits}f}"
    return shown if float(shown) == 0 else ("+" if value > 0 else "\N{MINUS SIGN}") + shown


def exchange_said(learned: Mapping[str, Learned], base: Settings) -> tuple[str, ...]:
    """Hours and temperature apart: what a degree and what a tenth more hours each do to the ratings told."""
    z, said = figures()["advice"]["interval_z"], []
    for quality in ("tender", "juicy", "done"):
        one = learned.get(quality)
        if one is None or one.count == 0:
            continue
        hotter = replace(base, set_point_C=base.set_point_C + 1.0)
        seen = one.foresee([base, hotter, replace(base, hours=1.1 * base.hours)])
        if not np.all(np.isfinite(seen.mean)):
            continue
        parts = []
        for i in (1, 2):
            middle, half = seen.moved[i], z * seen.moved_sd[i]
            known = f" ({steps_said(middle - half, 2)} to {steps_said(middle + half, 2)})" if half >= 0.005 else ""
            parts.append(f"{steps_said(middle, 2)} steps{known}")
        said.append(f"For {NAMES[quality]}, {mark(1.0, 'K')} more is worth {parts[0]}, a tenth more hours {parts[1]}.")
    return tuple(said)


def lean_said(learned: Mapping[str, Learned]) -> tuple[str, ...]:
    """Where just right lies for this cook and this food against common practice, and where that is not known."""
    z = figures()["advice"]["interval_z"]
    said, open_ = [], []
    for quality, one in learned.items():
        if one.count == 0:
            continue
        mean = float(one.theta[0] + one.theta[1])
        sd = float(np.sqrt(one.covariance[:2, :2].sum()))
        if abs(mean) < z * sd:
            open_.append(NAMES[quality])
            continue
        way = _MORE if mean > 0 else _LESS
        said.append(
            f"Just right lies {abs(mean):.1f} steps {way[quality]} than the models and common practice have it "
            f"({steps_said(mean - z * sd)} to {steps_said(mean + z * sd)})."
        )
    if open_:
        names = open_[0] if len(open_) == 1 else f"{', '.join(open_[:-1])} and {open_[-1]}"
        said.append(f"For {names} these cooks do not yet tell this taste from common practice.")
    return tuple(said)


def stop_if(change: Change, base: Settings) -> str:
    """When to stop following a change, one sentence."""
    match change.lever:
        case Lever.SET_POINT:
            seen = "greyer or drier" if change.more else "firmer or rawer"
            return (
                f"Stop if the first slice is {seen} than you like: go back to {mark(base.set_point_C, 'C')} "
                "and change the hours instead."
            )
        case Lever.HOURS:
            grain_s = float(figures()["levers"]["said_to_s"])
            old = mark(grain_s * round(base.bath_s / grain_s), "s")
            if change.more:
                return (
                    f"Stop if at {old} it already gives as you like when pressed through the bag: pull it then; "
                    "held on it may turn mushy, which no model here foresees."
                )
            return f"Stop if it still feels firm through the bag at the new time: leave it until {old}."
        case Lever.SALT:
            edge = "salty at the edge" if change.more else "flat"
            return f"Stop if it tastes {edge}: go back to {change.before:g} %."
        case Lever.PAN:
            seen = "the fat smokes hard or the grey band widens" if change.more else "the face stays pale"
            return f"Stop if {seen}: go back to {mark(base.pan_C, 'C')}."
        case Lever.SURFACE:
            seen = (
                "the crust comes sooner than the time you sear for" if change.more else "the face steams and stays pale"
            )
            return f"Stop if {seen}: go back to a {change.before} surface, or mind the clock."
