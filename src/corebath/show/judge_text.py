"""A verdict as plain text."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from corebath.ask.judge import Answered
from corebath.log.credited import measured
from corebath.log.settings import settings
from corebath.safety.authority import profile
from corebath.units import Preference, mark, render, show_duration

from .plain import judged, rendered, sections
from .words import body_words, capital, food_words

# Hours are rounded up to the minute, except those in the hot band: neither may look better than it was.
_MINUTE = 60.0


def judge_text(answer: Answered, preference: Preference) -> str:
    """The verdict first, then why, and what it was read from; long lines are left for the reader's window to break."""
    told, cooked = answer.judged, answer.cooked
    return sections(
        [
            ("The verdict", rendered([told.sentence, told.pasteurised_said], preference)),
            ("Why", (capital(line) for line in rendered(told.why, preference))),
            ("Time at the core in each band", band_lines(answer, preference)),
            ("The bath", bath_lines(answer, preference)),
            ("What it is about", [_about(answer, preference)]),
            ("What was read", rendered((*answer.understood.sentences, *answer.taken), preference)),
            ("Assumed", rendered(cooked.assumed, preference)),
            *judged(told.findings, preference),
        ]
    )


def band_lines(answer: Answered, preference: Preference, *, both: bool = True) -> Iterator[str]:
    """Each band with its time, the worst case beside it where it differs; both : temperatures in both units."""
    for band in answer.judged.bands:
        best, worst = show_duration(_rounded(band.best_s)), show_duration(_rounded(band.worst_s))
        worse = "" if best == worst else f", in the worst case {worst}"
        yield f"{capital(render(band.words, preference, both=both))}: {best}{worse}."


def bath_lines(answer: Answered, preference: Preference) -> Iterator[str]:
    """Faults and gaps in the order of time, each with when it began."""
    found = [(f.start_s, f"{capital(f.kind)}: {f.why}") for f in answer.cooked.faults]
    # The gaps of a slow logger are all told alike: once is enough.
    told = {gap.why: gap.start_s for gap in reversed(answer.cooked.gaps)}
    found += [(start_s, why) for why, start_s in told.items()]
    if answer.cooked.only_core:
        yield "The bath was not measured."
    elif not found:
        yield render(_held(answer), preference)
    for start_s, text in sorted(found):
        yield f"{show_duration(_rounded(max(start_s, 0.0)))} after drop-in: {render(text, preference)}"


def _held(answer: Answered) -> str:
    """What the readings of a bath without a fault show."""
    rules, (times, values) = settings("trace"), measured(answer.cooked.known)
    off_K = np.abs(values[times >= 0] - answer.cooked.piece.bath_C)
    if off_K.max(initial=0.0) <= rules["fine"]["below_K"]:
        return f"Every reading found it within {mark(rules['fine']['below_K'], 'K')} of its set point."
    return f"No reading shows it too cold or too hot for {mark(rules['fine']['for_s'], 's')} or longer."


def _about(answer: Answered, preference: Preference) -> str:
    request = answer.cooked.request
    rules = profile(request.authority).name
    risk = ", a guest at higher risk is at the table" if request.guests_at_risk else ""
    return f"{capital(food_words(request))}, {body_words(request, preference)}; rules of {rules}{risk}."


def _rounded(seconds: float) -> float:
    return _MINUTE * round(seconds / _MINUTE)
