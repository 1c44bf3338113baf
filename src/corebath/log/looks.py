"""What is known of a bath that the cook looked at now and then, or not at all (docs/decisions/0010-verdict.md).

While nobody recorded anything wrong the bath counts as the plan has it, on trust. Once something was wrong it counts
as having held only between two looks that found it at its set point and lie close together, or until the moment at
which the cook says that it went off; every other silence is a gap, that after the last look too.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf

import numpy as np

from corebath.heat.grid import Array
from corebath.units import mark

from .gaps import Beat, Gap, Silence, gaps
from .parts import POWER_HELD, Known, Stretch, from_drop_in, tail
from .settings import settings
from .unheated import Unheated

_SAME_s = 1e-3


def known_looks(
    t: Array, y: Array, *, beat: Beat, set_C: float, until_s: float, off: Sequence[tuple[float, float | None]],
    seen_fine_s: float | None, unheated: Unheated, trust_s: float,
) -> Known:  # fmt: skip
    """What looks and the cook's word come to; arguments as for `known_bath`, readings up to the end.

    trust_s : the moment up to which the cook knows that the power had not failed, endless for all of it [s]
    """
    looks = dict(zip(t.tolist(), y.tolist(), strict=True))
    fine_C = set_C - settings("trace")["fine"]["below_K"]
    begins_off = any(start <= 0 for start, _ in off)
    if not begins_off and not any(s <= 0 for s in looks):
        looks[0.0] = set_C
    if seen_fine_s is not None and seen_fine_s <= until_s and not any(abs(s - seen_fine_s) < 60 for s in looks):
        looks[seen_fine_s] = set_C
    last_s = max((s for s in looks if s <= trust_s), default=None)
    if last_s is not None and trust_s < until_s and looks[last_s] >= fine_C and not any(s >= last_s for s, _ in off):
        looks.setdefault(trust_s, looks[last_s])
    times = sorted(s for s in looks if s <= until_s)
    if not off and all(looks[s] >= fine_C for s in times):
        said = (
            f"Nothing wrong was recorded, so the bath counts as having held its {mark(round(set_C, 1), 'C')}; no "
            "readings show that it did.",
        )
        course = Stretch(np.array(times), np.array([looks[s] for s in times]))
        return Known(from_drop_in([course], until_s), beat, said, on_trust=True)
    parts: list[Stretch | Gap] = []
    if not times:
        parts.append(_off_gap(0.0, until_s, None, None))
    elif times[0] > 0:
        parts.append(_off_gap(0.0, times[0], None, looks[times[0]]))
    for start, end in zip(times, [*times[1:], None] if times else [], strict=True):
        after = None if end is None else looks[end]
        failed = next((s for s, _ in off if start - _SAME_s <= s < (until_s if end is None else end)), None)
        parts += _between(
            (start, looks[start]), (end, after), failed, until_s=until_s, set_C=set_C, unheated=unheated, beat=beat,
            trust=(until_s if end is None else end) <= trust_s,
        )  # fmt: skip
    longest = mark(float(settings("trace")["look"]["trusted_s"]), "s")
    assumed = [
        f"Between two looks that found it there and lie no more than {longest} apart, and until the moment at which "
        f"you say that it went off, the bath counts as having held its {mark(round(set_C, 1), 'C')}."
    ]
    if trust_s > -inf:
        assumed.append(POWER_HELD)
    if any(end is not None and not any(s >= end for s in looks) for _, end in off):
        assumed.append("That the bath is on again counts only once a reading shows it: read it, and enter the reading.")
    return Known(from_drop_in(parts, until_s), beat, tuple(assumed))


def _between(
    first: tuple[float, float], second: tuple[float | None, float | None], failed: float | None, *, until_s: float,
    set_C: float, unheated: Unheated, beat: Beat, trust: bool,
) -> list[Stretch | Gap]:  # fmt: skip
    """The parts from one look to the next, or to the end when there is no next."""
    rules = settings("trace")
    fine_C = set_C - rules["fine"]["below_K"]
    (start, before), (end, after) = first, second
    stop = until_s if end is None else end
    if failed is not None or (before < fine_C and end is None):
        begins = start if failed is None else max(failed, start)
        known = Stretch(np.unique([start, begins]), np.full(2 if begins > start else 1, before))
        return [known, _off_gap(begins, stop, before, after)] if stop > begins else [known]
    if end is None or after is None:
        if stop - start <= rules["gap"]["longest_drawn_s"]:
            return [Stretch(np.array([start, stop]), np.array([before, before]))] if stop > start else [_look(first)]
        why = f"The bath was last looked at {mark(round(stop - start), 's')} before the moment judged."
        return [_look(first), tail(start, stop, before, set_C, why, trust=trust)]
    if min(before, after) >= fine_C and stop - start <= rules["look"]["trusted_s"]:
        return [Stretch(np.array([start, stop]), np.array([before, after]))]
    fall_K = None if unheated.bath is None else unheated.fall_K
    found = gaps(np.array([start, stop]), np.array([before, after]), beat=replace(beat, gap_s=0.0), fall_K=fall_K)
    return [_look(first), *(replace(gap, trusted=trust and gap.kind is Silence.SENSOR) for gap in found)]


def _look(at: tuple[float, float]) -> Stretch:
    return Stretch(np.array([at[0]]), np.array([at[1]]))


def _off_gap(start: float, stop: float, before: float | None, after: float | None) -> Gap:
    why = f"For {mark(round(stop - start), 's')} the bath was off, or nobody knows better."
    return Gap(start, stop, before, after, Silence.OUTAGE, False, why)
