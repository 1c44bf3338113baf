"""The cook as it happened: the heat engine run on the bath as measured, with every gap bounded by best and worst.

The best history is the piece as measured in the warmest bath that fits the readings; the worst is a slow piece (19 of
20 are ahead of it) in the coldest one. Rules are read off the worst, and off a quick piece in the same bath, since what
heats slowly also cools slowly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import isfinite, log, sqrt

import numpy as np

from corebath.bath.gear import Bath
from corebath.heat.engine import simulate
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.stage import Stage
from corebath.plan.data import spreads
from corebath.plan.piece import INPUTS, Piece, piece_of
from corebath.plan.request import Request
from corebath.plan.timing import time_piece
from corebath.plan.water import piece_volume_m3
from corebath.safety.rules import binding_lethality, reported_lethality
from corebath.units import mark

from .credited import ceiling_C, credited, of_water, too_hot_said
from .faults import Failed, Fault, faults_of, hot_faults
from .gaps import Gap, beat_of
from .known import known_bath
from .parts import Known, Stretch
from .settings import settings
from .texts import check_readings
from .unheated import Unheated

Pair = tuple[Array, Array]
_JUMP_s = 1.0
_LONGEST_s = 30 * 86_400.0
_NOISE_STEP = 0.954  # median step between two normal readings, in standard deviations of one
_NOISE_PEAKS = 4.0  # standard deviations that four means of noise alone hardly ever lie apart
_EMPTY: Pair = (np.zeros(0), np.zeros(0))


@dataclass(frozen=True, slots=True)
class AsCooked:
    """One cook as it happened; all times from drop-in.

    request, set_point_C : what was asked for, and where the bath should have stood [degC]
    until_s : the moment judged [s]
    piece, slow, quick : as measured, and at the ends of its spread
    best, worst, worst_quick : histories of the three in the warmest and the coldest bath
    best_bath, worst_bath : those baths, times [s] and temperatures [degC]
    known : what was measured, and the gaps;  core : core readings, times and temperatures
    faults : in order of time;  assumed : what the bounds rest on, one sentence each, quantities as marks
    only_core : the core alone was measured and stands for the whole piece
    """

    request: Request
    set_point_C: float
    until_s: float
    piece: Piece
    slow: Piece
    quick: Piece
    best: History
    worst: History
    worst_quick: History
    best_bath: Pair
    worst_bath: Pair
    known: Known
    core: Pair
    faults: tuple[Fault, ...]
    assumed: tuple[str, ...]
    only_core: bool

    @property
    def gaps(self) -> tuple[Gap, ...]:
        """Stretches in which nothing was measured."""
        return self.known.gaps

    @property
    def cold_faults(self) -> tuple[Fault, ...]:
        """The faults in which the bath was, or may have been, too cold."""
        return tuple(fault for fault in self.faults if fault.kind is not Failed.TOO_HOT)

    @property
    def bath_now_C(self) -> float:
        """The bath at the moment judged, in the worst case [degC]."""
        return float(self.worst_bath[1][-1])

    def lowest_core_C(self, time_s: Array) -> Array:
        """The colder core of the two worst histories at some times, shape (n,) [s], [degC]."""
        slow, quick = (np.interp(time_s, h.time_s, h.core_C) for h in (self.worst, self.worst_quick))
        return np.minimum(slow, quick)

    def going_on(self, bath_C: float, warm_up_s: float, hold_s: float) -> tuple[History, History]:
        """The worst histories, slow and quick piece, carried on in a bath that warms evenly to `bath_C` and holds it.

        bath_C : up to 100 [degC];  warm_up_s, hold_s : above 0 [s]
        """
        knots = np.array([0.0, warm_up_s, warm_up_s + hold_s])
        around = np.array([min(self.bath_now_C, bath_C), bath_C, bath_C])
        pieces = ((self.slow, self.worst), (self.quick, self.worst_quick))
        slow, quick = (self._carried_on(piece, so_far, knots, around) for piece, so_far in pieces)
        return slow, quick

    def _carried_on(self, piece: Piece, so_far: History, knots: Array, around: Array) -> History:
        off_K = piece.bath_C - self.piece.bath_C
        more = Stage.trace("finish", knots, around + off_K, piece.h_W_m2K)
        if self.only_core:
            start = float(so_far.core_C[-1])
            rest = simulate(piece.body, piece.thermal, start, [more]).history
            return _joined(so_far, rest)
        before = _stage("bath", self.worst_bath, piece, off_K)
        whole = simulate(piece.body, piece.thermal, piece.start_C, [before, more]).history
        # The core as far as it was judged may have been measured colder than computed.
        cores = np.where(
            whole.time_s <= self.until_s, np.interp(whole.time_s, so_far.time_s, so_far.core_C), whole.core_C
        )
        return replace(whole, core_C=np.minimum(whole.core_C, cores))


def as_cooked(
    request: Request,
    set_point_C: float,
    *,
    until_s: float,
    bath: Pair | None = None,
    core: Pair | None = None,
    off: Sequence[tuple[float, float | None]] = (),
    seen_fine_s: float | None = None,
    held_s: float | None = None,
    logged: bool | None = None,
    highest_set_C: float | None = None,
) -> AsCooked:
    """The cook as it happened.

    request : the piece, who eats, and whose rules hold; its wanted times are not looked at
    set_point_C : where the bath should have stood, by its own thermometer [degC]
    until_s : the moment judged, seconds from drop-in, above 0 and up to 30 days
    bath, core : readings, times from drop-in in rising order, before it too, and temperatures [s], [degC]
    off : when the bath was off, as the cook tells; an end that is not known is None, and one that is told counts once a
        reading shows it [s]
    seen_fine_s : last time the bath was seen at its set point [s]
    held_s : the last moment up to which the cook knows that the power had not failed, so that silence is the sensor's
        [s]
    logged : the readings of the bath are a logger's, whose silence is a gap; None to go by how frequent they are
    highest_set_C : the highest of several set points, by the bath's own thermometer [degC]

    Raises ValueError for times and temperatures that make no sense.
    """
    _check(until_s, bath, core)
    bath_pair, core_pair = bath or _EMPTY, core or _EMPTY
    bath_pair, said = of_water(bath_pair, request.altitude_m)
    core_pair = (core_pair[0][core_pair[0] <= until_s], core_pair[1][core_pair[0] <= until_s])
    only_core = bath_pair[0].size == 0 and core_pair[0].size >= 2
    piece = piece_of(request, set_point_C)
    if only_core and core_pair[0][0] <= 60 and core_pair[1][0] < 30:
        piece = replace(piece, start_C=float(core_pair[1][0]))
    slow, quick = _ends(request, piece)
    unheated = Unheated.of(_bath_of(request, piece))
    known = known_bath(
        *(core_pair if only_core else bath_pair), set_C=piece.bath_C, until_s=until_s, off=off,
        seen_fine_s=seen_fine_s, unheated=unheated, held_s=held_s, logged=only_core or logged,
    )  # fmt: skip
    highest_C = piece.bath_C + max(0.0, (highest_set_C or set_point_C) - set_point_C)
    counting = replace(known, parts=tuple(credited(part, ceiling_C(highest_C)) for part in known.parts))
    best_bath, worst_bath = _course(known, unheated, best=True), _course(counting, unheated, best=False)
    if only_core:
        histories = [_direct(pair) for pair in (best_bath, worst_bath, worst_bath)]
    else:
        histories = [
            _run(piece, best_bath, 0.0),
            *(_colder(_run(p, worst_bath, p.bath_C - piece.bath_C), core_pair) for p in (slow, quick)),
        ]
    faults = () if only_core else (*faults_of(known, worst_bath, piece.bath_C), *hot_faults(known, highest_C))
    faults = tuple(sorted(faults, key=lambda fault: fault.start_s))
    return AsCooked(
        request=request, set_point_C=set_point_C, until_s=until_s, piece=piece, slow=slow, quick=quick,
        best=histories[0], worst=histories[1], worst_quick=histories[2], best_bath=best_bath, worst_bath=worst_bath,
        known=known, core=core_pair, faults=faults, only_core=only_core,
        assumed=(*said, *too_hot_said(known, highest_C), *_assumed(request, known, unheated, core_pair, only_core)),
    )  # fmt: skip


def _check(until_s: float, *pairs: Pair | None) -> None:
    if not (isfinite(until_s) and 0 < until_s <= _LONGEST_s):
        raise ValueError(f"the moment judged must lie after drop-in, within {mark(_LONGEST_s, 's')} of it")
    for pair in pairs:
        if pair is None:
            continue
        t, y = pair
        if t.shape != y.shape or t.ndim != 1 or not (np.all(np.isfinite(t)) and np.all(np.isfinite(y))):
            raise ValueError("readings need a time and a temperature each")
        if np.any(np.diff(t) <= 0):
            raise ValueError("readings must come in rising time, one for each moment")
        if y.size:
            check_readings(float(y.min()), float(y.max()))


def _ends(request: Request, piece: Piece) -> tuple[Piece, Piece]:
    """A slow piece, 19 of 20 are ahead of it, and one as far on the other side."""
    rules = binding_lethality(request.subject, request.authority)
    slow = time_piece(piece, rules or reported_lethality(request.subject, request.authority)[:1]).cautious
    data = spreads()
    z = np.array([
        log(slow.body.thickness_m / piece.body.thickness_m) / data["thickness"]["relative"],
        log(slow.thermal.warm.k_W_mK / piece.thermal.warm.k_W_mK) / data["diffusivity"]["relative"],
        log(slow.h_W_m2K / piece.h_W_m2K) / data["surface"]["relative"],
        (slow.start_C - piece.start_C) / data["start"]["absolute_K"],
        (slow.bath_C - piece.bath_C) / data["set_point"]["absolute_K"],
    ])  # fmt: skip
    assert z.size == len(INPUTS)
    return slow, piece.deviated(-z)


def _bath_of(request: Request, piece: Piece) -> Bath | None:
    if request.equipment is None:
        return None
    volume = piece_volume_m3(request, piece)
    return request.equipment.filled(0.0 if volume is None else volume * request.pieces, piece.bath_C)


def _course(known: Known, unheated: Unheated, *, best: bool) -> Pair:
    """The bath from drop-in on as one polyline with rising knots."""
    times, values = [], []
    for part in known.parts:
        if isinstance(part, Stretch):
            t, y = averaged(part.time_s, part.value_C)
        else:
            t, y = unheated.best(part) if best else unheated.worst(part, known.beat.step_K)
        times.append(t)
        values.append(y)
    t, y = np.concatenate(times), np.concatenate(values)
    out_t, out_y = [float(t[0])], [float(y[0])]
    for at, value in zip(t[1:].tolist(), y[1:].tolist(), strict=True):
        if at <= out_t[-1] and value == out_y[-1]:
            continue
        # Two values of one moment are a jump, which takes a second.
        out_t.append(max(at, out_t[-1] + _JUMP_s) if at - out_t[-1] < 1e-6 else at)
        out_y.append(value)
    time_s, value_C = np.array(out_t), np.array(out_y)
    if time_s[0] < 0:
        # A gap that began before drop-in.
        at_drop_in, inside = float(np.interp(0.0, time_s, value_C)), time_s > 0
        return np.append(0.0, time_s[inside]), np.append(at_drop_in, value_C[inside])
    return time_s, value_C


def averaged(time_s: Array, value_C: Array) -> Pair:
    """Readings as few knots: averaged over stretches that agree but for their noise, halved where they do not."""
    rules = settings("trace")["knots"]
    most, within = int(rules["most"]), float(rules["within_K"])
    if time_s.size <= most // 4:
        return time_s, value_C
    total = np.append(0.0, np.cumsum(value_C))
    noise_K = float(np.median(np.abs(np.diff(value_C)))) / _NOISE_STEP

    def uneven(span: tuple[int, int]) -> float:
        """How far the means of a span's quarters lie apart, beyond what noise would do [K]."""
        a, b = span
        if b - a < 8:
            return float(np.ptp(value_C[a:b])) - _NOISE_PEAKS * noise_K if b - a > 1 else 0.0
        edges = np.linspace(a, b, 5).astype(np.intp)
        means = np.diff(total[edges]) / np.diff(edges)
        return float(np.ptp(means)) - _NOISE_PEAKS * noise_K / sqrt((b - a) / 4)

    spans = {
        s: uneven(s) for s in ((int(p[0]), int(p[-1]) + 1) for p in np.array_split(np.arange(time_s.size), most // 8))
    }
    while len(spans) < most:
        wide = sorted((s for s in spans if spans[s] > within), key=lambda s: -spans[s])[: most - len(spans)]
        if not wide:
            break
        for a, b in wide:
            del spans[a, b]
            middle = (a + b) // 2
            spans |= {half: uneven(half) for half in ((a, middle), (middle, b))}
    ordered = sorted(spans)
    t = np.array([time_s[a:b].mean() for a, b in ordered])
    y = np.array([value_C[a:b].mean() for a, b in ordered])
    t[0], y[0], t[-1], y[-1] = time_s[0], value_C[0], time_s[-1], value_C[-1]
    return t, y


def _stage(name: str, bath: Pair, piece: Piece, off_K: float) -> Stage:
    return Stage.trace(name, bath[0], bath[1] + off_K, piece.h_W_m2K)


def _run(piece: Piece, bath: Pair, off_K: float) -> History:
    return simulate(piece.body, piece.thermal, piece.start_C, [_stage("bath", bath, piece, off_K)]).history


def _direct(pair: Pair) -> History:
    """A history of the core alone: what is not measured is taken to be as the core."""
    t, y = pair
    return History(t, y, y, y, y, np.zeros(t.size, dtype=np.intp), ("bath",))


def _colder(history: History, core: Pair) -> History:
    """The history with its core no warmer than it was measured, where there are readings close by."""
    t, y = core
    if t.size == 0:
        return history
    longest = beat_of(t, y).gap_s
    i = np.clip(np.searchsorted(t, history.time_s), 1, max(t.size - 1, 1))
    if t.size == 1:
        near = np.abs(history.time_s - t[0]) <= 60.0
        return replace(history, core_C=np.where(near, np.minimum(history.core_C, y[0]), history.core_C))
    inside = (history.time_s >= t[0]) & (history.time_s <= t[-1]) & (t[i] - t[i - 1] <= longest)
    measured = np.interp(history.time_s, t, y)
    return replace(history, core_C=np.where(inside, np.minimum(history.core_C, measured), history.core_C))


def _joined(first: History, second: History) -> History:
    cat = np.concatenate
    return History(
        cat([first.time_s, first.duration_s + second.time_s]),
        cat([first.core_C, second.core_C]),
        cat([first.mean_C, second.mean_C]),
        cat([first.surface_C, second.surface_C]),
        cat([first.ambient_C, second.ambient_C]),
        cat([first.stage, second.stage + 1]),
        (*first.stage_names, *second.stage_names),
    )


def _assumed(request: Request, known: Known, unheated: Unheated, core: Pair, only_core: bool) -> list[str]:
    said = [
        f"The piece started at {mark(round(request.from_C, 1), 'C')} when it dropped in.",
        "The worst case is a piece slower than 19 of 20 in the coldest bath that fits the readings.",
        *known.assumed,
    ]
    if only_core:
        said[1] = "Only the core was measured: it stands for the whole piece, and gaps count as if it had no mass."
    elif core[0].size:
        said.append("Where the core was measured colder than computed, the reading counts.")
    if any(not gap.trusted for gap in known.gaps):
        said.append(unheated.words)
    if request.probe_offset_K and not only_core:
        said.append("Readings of the bath are taken as they are; only its set point is corrected by the offset.")
    return said
