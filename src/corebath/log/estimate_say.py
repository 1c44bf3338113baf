"""What core readings say of the piece, in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from math import ceil, isfinite
from zoneinfo import ZoneInfo

from corebath.plan.clock import after
from corebath.units import mark

from .estimate import Estimate, Interval

_MINUTE_s = 60.0
_WEEK_DAYS = 7


def ready_words(
    found: Estimate, drop_in: datetime, zone: ZoneInfo, *, now: datetime, soft_s: float = 0.0,
    fixed_s: float | None = None,
) -> str:  # fmt: skip
    """When it is ready, by the cook's clock: "hot through, and its heat rule met, by 18:42, give or take 6 min".

    now : when this is read, with a zone: a moment of another day is named with its day
    soft_s : hours the wanted texture usually asks for, 0 when it asks for none [s]
    fixed_s : time in the bath that the cook chose, which then stands in place of those hours [s]

    Heat and rules have a spread; hours taken from practice or chosen have none, so they stand apart and without one.
    No quantities but the clock's.
    """
    told = _Clock(drop_in, zone, now.astimezone(zone).date())
    said = _heated(found.ready_s, told, ruled=bool(found.rules_s))
    if fixed_s is not None:
        return f"{said}; its {_span(fixed_s)} in the bath, as you chose, are over {told.at(fixed_s)}"
    if soft_s > 0:
        return f"{said}; soft {told.at(soft_s)}, after the {_span(soft_s)} that are usual"
    return said


def statements(found: Estimate) -> tuple[str, ...]:
    """What was learnt, one sentence each, quantities as marks."""
    if not found.readings:
        return ("There are no core readings yet: this is the plan's own spread.",)
    if found.doubtful:
        return (
            "The core readings do not fit such a piece in such a bath, so nothing is concluded from them: check where "
            "the probe's tip sits, the thickness and the bath's temperature.",
        )
    factor = found.thickness_factor
    measured_m = found.piece.body.thickness_m / factor.middle
    low, middle, high = (mark(round(measured_m * f, 4), "m") for f in (factor.low, factor.middle, factor.high))
    said: tuple[str, ...] = (
        f"The core behaves like a piece {middle} thick ({low} to {high}); {mark(round(measured_m, 4), 'm')} was "
        "measured.",
    )
    bias = found.probe_bias_K
    if bias.low > 0 or bias.high < 0:
        way = "high" if bias.middle > 0 else "low"
        said += (f"The probe seems to read about {mark(round(abs(bias.middle), 1), 'K')} too {way}.",)
    return said


@dataclass(frozen=True, slots=True)
class _Clock:
    """The cook's clock. today : the day on which it is read"""

    drop_in: datetime
    zone: ZoneInfo
    today: date

    def at(self, since_s: float) -> str:
        """A time since drop-in [s] as a moment, with its day where that is not today."""
        at = after(self.drop_in, _MINUTE_s * ceil(since_s / _MINUTE_s), self.zone)
        if at.date() == self.today:
            return f"{at:%H:%M}"
        if abs((at.date() - self.today).days) < _WEEK_DAYS:
            return f"{at:%A} {at:%H:%M}"
        return f"{at:%Y-%m-%d} {at:%H:%M}"


def _heated(ready: Interval, clock: _Clock, *, ruled: bool) -> str:
    """When it is hot. ruled : a heat treatment is waited for as well. Whole sentences, so that they translate."""
    if not isfinite(ready.middle):
        return "hot through, and its heat rule met: not known" if ruled else "hot through: not known"
    at = clock.at(ready.middle)
    if not isfinite(ready.high):
        if ruled:
            return f"hot through, and its heat rule met, at {at} at the earliest, perhaps much later"
        return f"hot through at {at} at the earliest, perhaps much later"
    apart = _span(max(ready.high - ready.middle, ready.middle - ready.low, _MINUTE_s))
    if ruled:
        return f"hot through, and its heat rule met, by {at}, give or take {apart}"
    return f"hot through by {at}, give or take {apart}"


def _span(seconds: float) -> str:
    hours, minutes = divmod(ceil(seconds / _MINUTE_s), 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes} min" if minutes else f"{hours} h"
