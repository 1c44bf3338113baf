"""After the bath: where each bag goes, how it is chilled, kept, frozen, thawed and warmed again."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from math import ceil
from typing import Any, TypeVar, cast

from corebath.chill.cool import Chill, chill
from corebath.chill.freeze import Freeze, freeze
from corebath.chill.ice import short_of_ice
from corebath.chill.keep import Keeping
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.runs import Around, Reach, layered, runs
from corebath.chill.tables import medium
from corebath.chill.tables import settings as chill_settings
from corebath.plan.clock import after, elapsed_s, floor_to
from corebath.plan.data import defaults, pace_of
from corebath.plan.plan import Failure, Part
from corebath.plan.tell import keep_cooked
from corebath.safety.cooling import COLD_C
from corebath.safety.finding import Finding, Verdict
from corebath.units import mark

from .answer import Cooked, Stored, Warmed, Way
from .bags import Bag
from .batch import Batch, settings
from .labels import Label, day_words, moment_words
from .say import bag_name, stored_statements

T = TypeVar("T")
_STEP_s = 300.0


class After:
    """What comes after the bath, for bag after bag; bags of one kind are reckoned once."""

    def __init__(self, batch: Batch) -> None:
        self._batch = batch
        self._known: dict[Hashable, Any] = {}
        self._shared_C: dict[date, float] = {}
        self._short_of_ice = False

    def lack_ice(self) -> None:
        """From now on the ice at hand does not last, so that no chill is known to keep its limits."""
        self._short_of_ice = True

    def share_baths(self, bags: Iterable[tuple[Bag, float]]) -> None:
        """Let what is eaten on one day warm in one bath, at the lowest of its set points.

        bags : with the set points they are cooked at [degC]; what has a bath or a core to serve at of its own, or
            guests at higher risk, does not share
        """
        for bag, set_point_C in bags:
            if bag.eat_on is not None and not _alone(bag):
                own_C = _usual_C(bag, set_point_C)
                self._shared_C[bag.eat_on] = min(self._shared_C.get(bag.eat_on, own_C), own_C)

    def chilled(self, bag: Bag, set_point_C: float) -> Chill:
        """The chill of a bag straight from its bath."""
        piece, where = bag.piece(), medium(settings()["chill"]["medium"])

        def reckoned() -> Chill:
            thermal = piece.thermal((set_point_C + where.nominal_C) / 2)
            return chill(piece.body, thermal, set_point_C, where, piece.subject, piece.authority, layers=piece.layers)

        made: Chill = self._once(("chill", bag.kind, set_point_C), reckoned)
        return replace(made, findings=short_of_ice(made.findings)) if self._short_of_ice else made

    def cold_s(self, bag: Bag, set_point_C: float) -> float:
        """From the pull until the core is cold, cautious; what the reckoning can look at when it never is [s]."""
        reach = self.chilled(bag, set_point_C).runs
        return reach.reach(COLD_C).cautious_s or reach.cautious.duration_s

    def stored(self, cooked: Cooked, set_point_C: float) -> Stored:
        """A bag from its pull to its plate."""
        bag, batch = cooked.bag, self._batch
        day = cooked.pulled.astimezone(batch.zone).date()
        if bag.eat_on == day:
            tag = Label(
                str(bag.number), _title(bag), (_done(cooked, set_point_C), "Eat it today, straight from the bath"),
                cooked.pulled, day, "eaten on the day it is cooked",
            )  # fmt: skip
            return Stored(cooked, Way.TABLE, None, None, None, None, None, None, tag, (), ())
        cold = self.chilled(bag, set_point_C)
        cold_at = after(cooked.pulled, self.cold_s(bag, set_point_C), batch.zone)
        kept = self._kept(cooked, cold)
        use_by = kept.use_by(day)
        in_time = kept.rule is not None and (bag.eat_on is None or bag.eat_on <= use_by)
        failures = [*_too_early(bag, day), *_not_kept(cooked, kept, use_by, in_time=in_time)]
        way = Way.FRIDGE if in_time or failures else Way.FREEZER
        frozen = self._frozen(bag) if way is Way.FREEZER else None
        warmed = None
        if bag.eat_on is not None and not failures:
            warmed = self._warmed(cooked, set_point_C, way, kept, bag.eat_on)
            failures += _not_warmed(bag, warmed, cold_at)
            again = self._kept(cooked, cold, warmed.ready_s or 0.0)
            if again.refused:
                kept, use_by = again, again.use_by(day)
                failures += _not_kept(cooked, kept, use_by, in_time=False)
        tag = _label(batch, cooked, set_point_C, way, kept, use_by, None if failures else warmed)
        stored = Stored(cooked, way, cold, cold_at, kept, use_by, frozen, warmed, tag, tuple(failures), ())
        return _with_statements(stored)

    def _kept(self, cooked: Cooked, chilled: Chill, reheat_s: float = 0.0) -> Keeping:
        """How long a bag keeps, by its own history."""
        request = cooked.plan.request
        return keep_cooked(
            request.subject, request.authority, cooked.plan.cautious.until(cooked.bath_s), chilled,
            fridge_C=self._batch.fridge_C, pasteurised=cooked.pasteurised_by is not None, reheat_s=reheat_s,
        )  # fmt: skip

    def _warmed(self, cooked: Cooked, set_point_C: float, way: Way, kept: Keeping, on: date) -> Warmed:
        bag, batch = cooked.bag, self._batch
        request = cooked.plan.request
        hot_C = float(chill_settings()["hot_holding"][request.authority.value]["temperature_C"])
        figures = settings()["reheat"]
        bath_C, serve_C = bag.lot.reheat_C, bag.lot.serve_C
        if bath_C is None:
            own_C = _usual_C(bag, set_point_C)
            bath_C = own_C if _alone(bag) else self._shared_C.get(on, own_C)
            if request.guests_at_risk:
                # What a rule asks for the guests goes before the result.
                hot_bath_C = hot_C + figures["guests_above_K"] + request.probe_offset_K
                bath_C = max(own_C, request.on_step(hot_bath_C))
                serve_C = hot_C if serve_C is None else serve_C
        served = at_clock(on, batch.at, batch)
        thaw = self._thaw(bag) if way is Way.FREEZER else None
        moved = None
        if thaw is not None and thaw.cautious_s is not None:
            moved = _moved(batch, kept, on, served, thaw.cautious_s)
        frozen = way is Way.FREEZER and moved is None
        made = self._reheated(cooked, batch.freezer_C if frozen else self._fridge_C, bath_C, set_point_C, serve_C)
        ready_s = made.runs.reach(made.to_C).cautious_s
        if request.guests_at_risk and ready_s is not None:
            hot = next(f for f in made.findings if f.rule == "reheat-hot-holding")
            ready_s = max(ready_s, hot.met_at_s or 0.0)
        finishing_s = pace_of(request.food.texture).finishing_s
        out = floor_to(after(served, -finishing_s, batch.zone), _STEP_s, batch.zone)
        into = after(out, -_STEP_s * ceil((ready_s or 0.0) / _STEP_s), batch.zone)
        state, shared = (
            "frozen" if frozen else "fridge",
            bath_C < _usual_C(bag, set_point_C) and bag.lot.reheat_C is None,
        )
        return Warmed(state, bath_C, shared, made, ready_s, moved, thaw, into, out, served)

    def _reheated(
        self, cooked: Cooked, start_C: float, bath_C: float, set_point_C: float, serve_C: float | None
    ) -> Reheat:
        piece, pasteurised = cooked.bag.piece(), cooked.pasteurised_by is not None

        def reckoned() -> Reheat:
            return reheat(
                piece.body, piece.thermal((start_C + bath_C) / 2), start_C, bath_C, piece.subject, piece.authority,
                cooked_C=set_point_C, pasteurised=pasteurised, to_C=serve_C, layers=piece.layers,
                offset_K=cooked.plan.request.probe_offset_K,
            )  # fmt: skip

        return self._once(("reheat", cooked.bag.kind, start_C, bath_C, set_point_C, serve_C, pasteurised), reckoned)

    def _frozen(self, bag: Bag) -> Freeze:
        piece = bag.piece()
        return self._once(
            ("freeze", bag.kind), lambda: freeze(piece.body, piece.thermal(1.0), COLD_C, layers=piece.layers)
        )

    def _thaw(self, bag: Bag) -> Reach | None:
        """From the freezer until its core holds no more ice in the fridge; None in a fridge that does not thaw."""
        fridge, piece = medium("fridge").measured(self._fridge_C), bag.piece()
        if self._fridge_C <= 0.5:
            return None
        at_C = self._fridge_C
        cases = (Around(at_C, fridge.h_high), Around(at_C, fridge.h_nominal), Around(at_C, fridge.h_low))

        def reckoned() -> Reach:
            whole = layered(piece.body, piece.layers)
            made = runs(whole, piece.thermal(1.0), self._batch.freezer_C, fridge.words, cases, (0.0,))
            return made.reach(0.0)

        return self._once(("thaw", bag.kind), reckoned)

    @property
    def _fridge_C(self) -> float:
        """What a bag comes out at: as measured, or as fridges usually are, since a colder start is slower [degC]."""
        measured = self._batch.fridge_C
        return float(defaults()["start_C"]["fridge"]) if measured is None else measured

    def _once(self, key: Hashable, reckon: Callable[[], T]) -> T:
        if key not in self._known:
            self._known[key] = reckon()
        return cast(T, self._known[key])


def at_clock(day: date, clock: time, batch: Batch) -> datetime:
    """A time of day by the cook's clock; one that the zone skips is the moment it would have been."""
    return datetime.combine(day, clock, batch.zone).astimezone(UTC).astimezone(batch.zone)


def _alone(bag: Bag) -> bool:
    """It does not share a bath with what else is eaten on its day."""
    return bag.lot.reheat_C is not None or bag.lot.serve_C is not None or bag.lot.request.guests_at_risk


def _usual_C(bag: Bag, set_point_C: float) -> float:
    """A little below the set point, so that the result is not passed [degC]."""
    below_C = bag.lot.request.on_step(set_point_C - defaults()["reheat"]["below_set_point_K"])
    return float(max(below_C, settings()["reheat"]["coldest_C"]))


def _moved(batch: Batch, kept: Keeping, on: date, served: datetime, thaw_s: float) -> datetime | None:
    """When a bag goes from the freezer to the fridge; None when it would then lie there for too many days."""
    if kept.rule is None:
        return None
    latest = after(served, -thaw_s, batch.zone)
    clocks = [time.fromisoformat(text) for text in settings()["thaw"]["at"]]
    moments = (
        at_clock(on - timedelta(days=back), clock, batch) for back in range(1, kept.days + 1) for clock in clocks
    )
    return next((m for m in moments if m <= latest and kept.use_by(m.date()) >= on), None)


def _too_early(bag: Bag, pulled: date) -> Iterator[Failure]:
    """A bag that is to be eaten on a day before it leaves the bath."""
    if bag.eat_on is not None and bag.eat_on < pulled:
        why = f"{bag_name(bag)} leaves the bath on {day_words(pulled)} and cannot be eaten on {day_words(bag.eat_on)}."
        yield Failure(Part.TIME, why)


def _not_kept(cooked: Cooked, kept: Keeping, use_by: date, *, in_time: bool) -> Iterator[Failure]:
    """A bag that no rule lets wait for its day; what was pasteurised may be frozen where the fridge is too warm."""
    if kept.refused:
        yield Failure(Part.SAFETY, f"{bag_name(cooked.bag)}: {kept.refused}")
    elif not in_time and cooked.pasteurised_by is None:
        yield _too_late(cooked, use_by, kept)


def _not_warmed(bag: Bag, warmed: Warmed, cold_at: datetime) -> Iterator[Failure]:
    """A bag that is not warm for its meal, or not by the rules."""
    if warmed.ready_s is None:
        why = f"{bag_name(bag)}: a bath at {mark(warmed.bath_C, 'C')} never warms it to {_served(warmed)}."
        yield Failure(Part.RESULT, why)
        return
    if warmed.into < cold_at:
        why = (
            f"{bag_name(bag)} is to be warmed from {moment_words(warmed.into)} on, and it is cold only at "
            f"{moment_words(cold_at)}: begin earlier, or name a later day."
        )
        yield Failure(Part.TIME, why)
    for finding in warmed.reheat.findings:
        if finding.binding and finding.verdict is Verdict.NOT_MET:
            yield Failure(Part.SAFETY, f"{bag_name(bag)}: {_broken(finding)}")


def _broken(finding: Finding) -> str:
    return f"not met: {finding.title}. {finding.why}"


def _too_late(cooked: Cooked, use_by: date, kept: Keeping) -> Failure:
    """A bag that was not pasteurised and is to be kept past the next day."""
    bag = cooked.bag
    assert bag.eat_on is not None or kept.rule is None
    if kept.rule is None:
        why = f"{bag_name(bag)} is heated and not pasteurised, and no rule held here allows keeping it in this fridge"
    else:
        why = (
            f"{bag_name(bag)} is heated and not pasteurised: next day only, by {day_words(use_by)}, and it is to be "
            f"eaten on {day_words(cast(date, bag.eat_on))}"
        )
    treated_s = cooked.pasteurised_s
    if treated_s is None:
        return Failure(Part.SAFETY, f"{why}; at this set point the core is not pasteurised in any time looked at.")
    held = mark(60.0 * ceil(treated_s / 60), "s")
    return Failure(Part.SAFETY, f"{why}; {held} in the bath would pasteurise it.")


def _served(warmed: Warmed) -> str:
    return mark(warmed.reheat.to_C, "C")


def _title(bag: Bag) -> str:
    return bag.lot.name if bag.count == 1 else f"{bag.count} × {bag.lot.name}"


def _done(cooked: Cooked, set_point_C: float) -> str:
    """What was done to a bag, for its label."""
    rule = cooked.pasteurised_by
    treated = "heated, not pasteurised" if rule is None else f"met: {rule.title}"
    return f"Cooked at {mark(set_point_C, 'C')} for {mark(60.0 * round(cooked.bath_s / 60), 's')}; {treated}"


def _label(
    batch: Batch, cooked: Cooked, set_point_C: float, way: Way, kept: Keeping, use_by: date, warmed: Warmed | None
) -> Label:
    bag, lines = cooked.bag, [_done(cooked, set_point_C)]
    cold = mark(kept.fridge_C, "C")
    last: date | None = use_by
    titled = None if kept.rule is None else f"{kept.rule.title}; sealed, at {mark(kept.hold_C, 'C')} or below"
    rule = titled or "no rule held here allows keeping it"
    if way is Way.FREEZER:
        last = bag.eat_on
        rule = f"frozen on its day; in the fridge: {rule}"
        moved = None if warmed is None else warmed.thaw_from
        thaw = "" if moved is None else f"; into the fridge {day_words(moved.date())}, {moved:%H:%M}"
        lines.append(f"Freeze once cold{thaw}")
    elif kept.rule is None:
        lines.append(f"Eat it today: not kept at {cold}")
    if warmed is not None and warmed.ready_s is not None:
        long = mark(elapsed_s(warmed.into, warmed.out), "s")
        start = " from frozen" if warmed.state == "frozen" else ""
        on = "" if bag.eat_on is None else f"For {day_words(bag.eat_on)}: "
        lines.append(f"{on}warm{start} at {mark(warmed.bath_C, 'C')} for {long}")
    return Label(
        str(bag.number), _title(bag), tuple(lines), cooked.pulled.astimezone(batch.zone), last, rule,
        frozen=way is Way.FREEZER,
    )  # fmt: skip


def _with_statements(stored: Stored) -> Stored:
    return replace(stored, statements=tuple(stored_statements(stored)))
