"""The parts a bath falls into: stretches that were measured, and the gaps between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from corebath.heat.grid import Array

from .gaps import Beat, Gap, Silence
from .settings import settings

POWER_HELD = "As you say that the power never failed, a silent sensor counts as an unchanged bath."


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch in which the bath is known; times from drop-in, rising, shape (n,), n >= 1 [s], [degC]."""

    time_s: Array
    value_C: Array


@dataclass(frozen=True, slots=True)
class Known:
    """The bath from drop-in to the end, in order.

    parts : stretches and gaps in turn;  beat : of the readings;  assumed : one sentence each
    on_trust : nothing bounds it, as nobody recorded anything wrong: then there is no worst case of the bath
    """

    parts: tuple[Stretch | Gap, ...]
    beat: Beat
    assumed: tuple[str, ...]
    on_trust: bool = False

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """The gaps alone."""
        return tuple(part for part in self.parts if isinstance(part, Gap))


def tail(start_s: float, until_s: float, last_C: float, set_C: float, why: str, *, trust: bool) -> Gap:
    """The silence after the last reading; the bath counts as unchanged only by the cook's word that the power held."""
    fine = last_C >= set_C - settings("trace")["fine"]["below_K"]
    return Gap(start_s, until_s, last_C, None, Silence.UNKNOWN, trust and fine, why)


def from_drop_in(parts: Sequence[Stretch | Gap], until_s: float) -> tuple[Stretch | Gap, ...]:
    """The parts cut off at drop-in and at the end; a reading shortly after drop-in holds from it on."""
    out: list[Stretch | Gap] = []
    for part in parts:
        if isinstance(part, Gap):
            # One that begins before drop-in cools from there on: its course is cut off later.
            if part.end_s > 0:
                out.append(part)
            continue
        t, y = part.time_s, part.value_C
        if t[-1] < 0 and part is not parts[-1]:
            continue
        if t[0] < 0:
            at = float(np.interp(0.0, t, y))
            t, y = np.append(0.0, t[t > 0]), np.append(at, y[t > 0])
        out.append(Stretch(t, y))
    first, last = out[0], out[-1]
    if isinstance(first, Stretch) and first.time_s[0] > 0:
        out[0] = first = Stretch(np.append(0.0, first.time_s), np.append(first.value_C[0], first.value_C))
        last = out[-1]
    if isinstance(last, Stretch) and last.time_s[-1] < until_s:
        out[-1] = Stretch(np.append(last.time_s, until_s), np.append(last.value_C, last.value_C[-1]))
    return tuple(out)
