"""Two cooks beside each other: what differed, and which of it is more than chance."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite, sqrt

import numpy as np

from corebath.outcome.juiciness import loss_spread_pct
from corebath.plan.data import spreads
from corebath.units import MarkUnit, mark

from .learn_drive import QUALITIES, drive, figures, measure
from .learn_say import rating_words
from .learn_taste import CookedOutcome

_NAMES = {"tender": "tenderness", "juicy": "juiciness", "done": "doneness", "crust": "crust", "salt": "salt"}


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that two cooks differ in.

    name : what;  first, second : of the two cooks, None where not known or not told
    unit : C, s, m, %, "steps" or "" for words
    noise : difference that nine in ten pairs of cooks stay within when nothing was changed, None for words
    real : whether the difference is past that;  words : one clause, marks inside;  chosen : by the cook
    """

    name: str
    first: float | str | None
    second: float | str | None
    unit: str
    noise: float | None
    real: bool
    words: str
    chosen: bool = False

    @property
    def standing(self) -> str:
        """What may be said of it: chance has no part in what the cook chose."""
        if not self.real:
            return "within chance"
        return "chosen" if self.chosen else "more than chance"


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two cooks compared.

    sentence : which is the first and which the second, and the differences, marks inside
    short : only those differences that are more than chance
    differences : each by itself;  left_out : what could not be compared, a sentence or nothing
    """

    sentence: str
    short: str
    differences: tuple[Difference, ...]
    left_out: str = ""


def compare(first: CookedOutcome, second: CookedOutcome) -> Comparison:
    """The second cook against the first: settings, piece, what the models make of them, and ratings.

    A difference counts as one only past what nine in ten pairs differ by when nothing was changed: the plan's
    spreads for set point and thickness, animal and table for the rest. Outcomes are compared within one food
    class only; between two, no common measure is known.
    """
    all_ = tuple(d for d in _differences(first, second) if d.first != d.second)
    real = [d.words for d in all_ if d.real]
    chance = [d.words for d in all_ if not d.real]
    named = f"The first is {first.name}, the second is {second.name}."
    untimed = [which for which, c in (("the first", first), ("the second", second)) if not c.timed]
    left_out = (
        f"How long {_listed(untimed)} stayed in the bath is not recorded, so hours, and what follows from them, are "
        "not compared; a curve without a pull is drawn as planned."
        if untimed
        else ""
    )
    if not all_:
        same = f"{named} The second was the same in all that is known."
        return Comparison(same, same, (), left_out)
    said = f"{named} The second {_listed(real) if real else 'was the same within what chance does'}"
    noise = f"; within the noise: {_listed(chance)}" if chance else ""
    return Comparison(f"{said}{noise}.", f"{said}.", all_, left_out)


def _differences(a: CookedOutcome, b: CookedOutcome) -> Iterator[Difference]:
    if a.food != b.food:
        yield Difference("food", a.food, b.food, "", None, True, f"was {b.food} instead of {a.food}", chosen=True)
    spread, s, t = spreads(), a.settings, b.settings
    yield _number(
        "set point", s.set_point_C, t.set_point_C, "C", _pair(spread["set_point"]["absolute_K"]),
        f"was set {{by}} {'higher' if t.set_point_C > s.set_point_C else 'lower'} ({{second}} instead of {{first}})",
        chosen=True,
    )  # fmt: skip
    timed = a.timed and b.timed
    if timed:
        yield _number(
            "hours at temperature", 3600 * s.hours, 3600 * t.hours, "s",
            _pair(figures()["noise"]["hours_share"]) * 1800 * (s.hours + t.hours),
            "was hot through for {second} instead of {first} ({by} more)"
            if t.hours > s.hours
            else "was hot through for {second} instead of {first} ({by} less)",
            chosen=True,
        )  # fmt: skip
    yield _number(
        "thickness", a.thickness_m, b.thickness_m, "m",
        _pair(spread["thickness"]["relative"]) * (a.thickness_m + b.thickness_m) / 2,
        f"was {{by}} {'thicker' if b.thickness_m > a.thickness_m else 'thinner'}",
    )  # fmt: skip
    yield from _handled(a, b)
    if timed and (a.texture, a.kind) == (b.texture, b.kind):
        yield from _outcomes(a, b)
    yield from _ratings(a, b)


def _handled(a: CookedOutcome, b: CookedOutcome) -> Iterator[Difference]:
    s, t = a.settings, b.settings
    if s.salt_percent is not None and t.salt_percent is not None and s.salt_percent != t.salt_percent:
        words = f"had {t.salt_percent:g} % of salt instead of {s.salt_percent:g} %"
        yield Difference("salt", s.salt_percent, t.salt_percent, "%", 0.0, True, words, chosen=True)
    if s.surface != t.surface:
        ways = [f"seared {x}" if x is not None else "not seared" for x in (s.surface, t.surface)]
        yield Difference(
            "surface", s.surface, t.surface, "", None, True, f"was {ways[1]} instead of {ways[0]}", chosen=True
        )
    elif s.surface is not None and (s.pan, s.pan_C) != (t.pan, t.pan_C):
        pans = [f"{x.pan} at {mark(x.pan_C, 'C')}" for x in (s, t)]
        yield Difference(
            "pan", pans[0], pans[1], "", None, True, f"was seared in {pans[1]} instead of {pans[0]}", chosen=True
        )


def _outcomes(a: CookedOutcome, b: CookedOutcome) -> Iterator[Difference]:
    """What the models make of the two: their common error cancels, the animals' scatter does not."""
    for quality in ("tender", "juicy", "done"):
        scale = measure(quality, a.texture, a.kind)
        value, beyond = drive(quality, a.texture, a.kind, [a.settings, b.settings])
        if scale is None or not np.all(np.isfinite(value)):
            continue
        noise = _pair(scale.animal * scale.step)
        x, y = float(value[0]), float(value[1])
        real = abs(y - x) > noise
        if quality == "juicy":
            spread = loss_spread_pct(a.kind)
            at = " at least" if beyond.any() else ""
            doubt = f", each good to within {spread:.0f} percentage points" if spread is not None else ""
            words = f"should have lost{at} {-y:.0f} % of its weight as juice instead of {-x:.0f} %{doubt}"
            yield Difference("juice lost", round(-x, 1), round(-y, 1), "%", noise, real, words)
        elif quality == "done":
            words = f"should look as after an hour at {mark(round(y, 1), 'C')} instead of {mark(round(x, 1), 'C')}"
            yield Difference("look", round(x, 1), round(y, 1), "C", noise, real, words)
        else:
            # Every tenderness drive is a logarithm, so a difference is a factor.
            factor = 100 * (float(np.exp(y - x)) - 1)
            share = f"{abs(factor):.0f} %"
            words = f"should be {share} more softened" if factor > 0 else f"should be {share} less softened"
            yield Difference("softening", 0.0, round(y - x, 3), "", noise, real, words)


def _ratings(a: CookedOutcome, b: CookedOutcome) -> Iterator[Difference]:
    noise = _pair(figures()["noise"]["rating_steps"])
    for quality in QUALITIES:
        x, y = getattr(a.rating, quality), getattr(b.rating, quality)
        if x is None or y is None:
            continue
        of = f" in {_NAMES[quality]}" if y == 0 else ""
        words = f"was rated {rating_words(quality, y)}{of} instead of {rating_words(quality, x)}"
        yield Difference(f"rating of {_NAMES[quality]}", x, y, "steps", noise, abs(y - x) > noise, words)


def _number(
    name: str, first: float, second: float, unit: MarkUnit, noise: float, words: str, *, chosen: bool = False
) -> Difference:  # fmt: skip
    by = abs(second - first)
    real = isfinite(by) and by > noise
    # Rounded first, so that the difference printed is that of the two figures printed.
    from_, to = _round(first, unit), _round(second, unit)
    shown = _round(abs(to - from_), unit)
    marks = {"by": mark(shown, "K" if unit == "C" else unit), "first": mark(from_, unit), "second": mark(to, unit)}
    same = shown == 0
    return Difference(name, first, first if same else second, unit, noise, real, words.format(**marks), chosen)


def _round(value: float, unit: MarkUnit) -> float:
    grain_s = float(figures()["levers"]["compared_to_s"])
    return {"s": grain_s * round(value / grain_s), "m": round(value, 4)}.get(unit, round(value, 2))


def _pair(sd: float) -> float:
    """What nine in ten pairs of two such values stay within."""
    return float(figures()["advice"]["interval_z"]) * sqrt(2.0) * sd


def _listed(clauses: list[str]) -> str:
    return clauses[0] if len(clauses) == 1 else f"{', '.join(clauses[:-1])} and {clauses[-1]}"
