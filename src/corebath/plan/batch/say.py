"""A batch in sentences, quantities as marks."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from datetime import datetime
from itertools import groupby
from math import isfinite

from corebath.chill.ice import SHORT
from corebath.plan.clock import elapsed_s
from corebath.plan.plan import Plan
from corebath.safety.authority import profile
from corebath.safety.cautions import cautions_for
from corebath.safety.cooling import COLD_C
from corebath.safety.finding import Verdict
from corebath.units import mark

from .answer import BatchPlan, Cooked, Run, Stored, Way
from .bags import Bag
from .labels import day_words

_RISK = "It is not for guests at higher risk."


def bag_name(bag: Bag) -> str:
    """A bag with what is in it: "Bag 3 (2 × chicken breast)"."""
    held = bag.lot.name if bag.count == 1 else f"{bag.count} × {bag.lot.name}"
    return f"Bag {bag.number} ({held})"


def bag_list(numbers: Iterable[int]) -> str:
    """Bags by their numbers: "Bag 3", "Bags 1 to 5", "Bags 1, 2 and 6"."""
    parts: list[str] = []
    ordered = sorted(set(numbers))
    for _, run in groupby(enumerate(ordered), key=lambda pair: pair[1] - pair[0]):
        found = [number for _, number in run]
        parts += [f"{found[0]} to {found[-1]}"] if len(found) > 2 else [str(n) for n in found]
    whole = parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
    return f"Bag {whole}" if len(ordered) == 1 else f"Bags {whole}"


def run_statements(run: Run) -> Iterator[str]:
    """What one bath does, from its water to its last pull."""
    governing = next(cooked for cooked in run.bags if cooked.bag.number == run.governing)
    if run.change is not None:
        yield run.change.what
    yield f"{bag_list(c.bag.number for c in run.bags)} at {mark(run.set_point_C, 'C')}, each bag apart, under water."
    if len({cooked.bag.lies_m for cooked in run.bags}) > 1:
        pieces = [m for cooked in run.bags for m in cooked.bag.thicknesses_m]
        yield (
            f"Bag {run.governing} sets the time, by what is {mark(governing.bag.lies_m, 'm')} thick in it; the average "
            f"piece of {mark(sum(pieces) / len(pieces), 'm')} does not."
        )
    for alike in _grouped(run.bags, lambda c: (c.bag.kind, c.bath_s)):
        yield from _kind(alike)
    for alike in _grouped(run.bags, lambda c: (c.bag.lot.name, c.pasteurised_by)):
        yield _treated(alike)
    yield from _water(run, governing.plan)


def _water(run: Run, plan: Plan) -> Iterator[str]:
    """What is said of the water; after a change it is in the vessel already."""
    water = plan.water
    if water is None:
        return
    if run.change is None:
        yield from water.statements
        return
    known = [part.statements for part in (water.fit, water.dip) if part is not None]
    yield from (line for said in (*known, water.night.statements[-1:]) for line in said if line in water.statements)
    if water.schedule.top_ups or not water.schedule.possible:
        yield from water.schedule.statements


def _grouped(bags: Sequence[Cooked], key: Callable[[Cooked], Hashable]) -> Iterator[list[Cooked]]:
    found: dict[Hashable, list[Cooked]] = {}
    for cooked in bags:
        found.setdefault(key(cooked), []).append(cooked)
    yield from found.values()


def _kind(alike: list[Cooked]) -> Iterator[str]:
    """Bags of one kind: when they are ready, and what they do until all come out."""
    first = alike[0]
    bag, plan = first.bag, first.plan
    window, name = plan.window, bag_list(cooked.bag.number for cooked in alike)
    what = f"{name}, {bag.lot.name}, {mark(bag.lies_m, 'm')}"
    spans = plan.timing.lethality.values()
    treated = max(spans, key=lambda span: span.cautious_s, default=None)
    if treated is not None and isfinite(treated.cautious_s):
        nominal, cautious = (mark(_minutes(s), "s") for s in (treated.nominal_s, treated.cautious_s))
        yield f"{what}: the core has met the binding heat treatment after {nominal} ({cautious}, cautious)."
    if bag.lot.request.bath_s is not None:
        yield f"{what}: {mark(first.bath_s, 's')} in the bath, as you gave."
    elif isfinite(window.ready_s):
        ready = (
            f"{what}: ready after {mark(_minutes(window.ready_s), 's')} "
            f"({mark(_minutes(window.nominal_s), 's')} for a piece as measured)"
        )
        late = mark(_minutes(window.latest_s), "s")
        one = "it" if len(alike) == 1 else "they"
        if first.waits:
            yield f"{ready}; {one} may wait for the rest until {mark(first.bath_s, 's')}, inside a window of {late}."
        elif plan.drop_in > first.enters or first.bath_s < window.latest_s:
            yield f"{ready}; given {mark(first.bath_s, 's')}, inside a window of {late}."
        else:
            yield f"{ready}; given {mark(first.bath_s, 's')}."
    if first.flat_ready_s is not None:
        saved_s = first.bath_s - first.flat_ready_s
        sooner = f", {mark(saved_s, 's')} sooner" if saved_s > 0 else ""
        yield (
            f"{name}: {bag.layers} pieces lie on each other and heat as one {mark(bag.lies_m, 'm')} thick. Bag them "
            f"again flat and apart, and they are ready after {mark(first.flat_ready_s, 's')}{sooner}."
        )


def _treated(alike: list[Cooked]) -> str:
    """One sentence that can be handed to a guest: the rule that is met, and whose it is."""
    first, name = alike[0], bag_list(cooked.bag.number for cooked in alike)
    rule, request = first.pasteurised_by, first.plan.request
    if rule is not None:
        return (
            f"{name}: the core of the slowest in twenty such pieces meets “{rule.title}” ({rule.authority}; "
            f"{rule.source}) by the pull."
        )
    said = f"{name}: heated, not pasteurised at the core under the {request.authority.value} profile"
    risk = "" if request.food.kind == "vegetable" else f" {_RISK}"
    if first.pasteurised_s is None:
        return f"{said}, and not in any time looked at at this set point.{risk}"
    return f"{said}; that would take {mark(_minutes(first.pasteurised_s), 's')} in the bath.{risk}"


def stored_statements(stored: Stored) -> Iterator[str]:
    """What becomes of one bag after its bath."""
    chill, keeping = stored.chill, stored.keeping
    assert chill is not None
    assert keeping is not None
    yield from chill.statements
    if stored.way is Way.FRIDGE:
        yield from keeping.statements[:-1] if keeping.rule is not None and keeping.rule.note else keeping.statements
    else:
        assert stored.use_by is not None
        if keeping.rule is None:
            yield from keeping.statements
        else:
            yield (
                f"In the fridge at {mark(keeping.fridge_C, 'C')} it would keep until {day_words(stored.use_by)} "
                f"({keeping.rule.title}), so it is frozen on the day it is cooked."
            )
        if stored.freeze is not None:
            yield stored.freeze.statements[0]
    warmed = stored.warmed
    if warmed is None:
        return
    if warmed.thaw_from is not None and warmed.thaw is not None and warmed.thaw.cautious_s is not None:
        yield (
            f"It thaws in the fridge in up to {mark(_minutes(warmed.thaw.cautious_s), 's')}: move it there on "
            f"{day_words(warmed.thaw_from.date())} at {warmed.thaw_from:%H:%M}."
        )
    if warmed.shared:
        yield f"It shares its bath at {mark(warmed.bath_C, 'C')} with what else is eaten that day."
    yield from warmed.reheat.statements
    if stored.cooked.plan.request.guests_at_risk:
        yield (
            f"A guest at higher risk eats of it, so it is warmed at {mark(warmed.bath_C, 'C')} until the rule for hot "
            "holding is met, although that goes past its result."
        )


def batch_statements(plan: BatchPlan) -> Iterator[str]:
    """The answer in cooking order: the afternoon, the ice, the days."""
    zone = plan.batch.zone
    begin, end = plan.starts.astimezone(zone), plan.ends.astimezone(zone)
    long = mark(_minutes(elapsed_s(plan.starts, plan.ends)), "s")
    yield from _too_warm(plan)
    if any(finding.verdict is Verdict.NOT_MET for finding in plan.ice_findings):
        yield SHORT
    for run in plan.runs:
        enters = sorted({cooked.enters for cooked in run.bags})
        into = [
            f"{_in(bag_list(c.bag.number for c in run.bags if c.enters == at), len(enters) > 1)}{_when(at, begin)}"
            for at in enters
        ]
        yield (
            f"{bag_list(c.bag.number for c in run.bags)}: bath at {mark(run.set_point_C, 'C')}, {', '.join(into)}, "
            f"out at {_when(run.ends, begin)}."
        )
    yield f"Begin at {begin:%H:%M} on {day_words(begin.date())}; all is done by {_when(end, begin)}, {long} later."
    if plan.ice is not None:
        yield from plan.ice.statements
    elif any(stored.chill for stored in plan.bags):
        yield "Weigh the food to have the ice computed."
        if plan.batch.ice_kg is not None:
            yield "Whether the ice at hand lasts is not known without it."
    frozen = [stored for stored in plan.bags if stored.way is Way.FREEZER]
    kept = [s for s in plan.bags if s.way is Way.FRIDGE and s.use_by is not None and s.may_wait]
    for stored in _by_use(kept):
        numbers = [s.bag.number for s in kept if _use(s) == _use(stored)]
        assert stored.use_by is not None
        rule = None if stored.keeping is None else stored.keeping.rule
        assert rule is not None
        yield f"{bag_list(numbers)} in the fridge: use by {day_words(stored.use_by)} ({rule.title})."
    lost = [stored.bag.number for stored in plan.bags if not stored.may_wait]
    if lost:
        yield f"{bag_list(lost)}: not to be kept; see why below."
    if frozen:
        days = sorted(s.bag.eat_on for s in frozen if s.bag.eat_on is not None)
        since = f": what is eaten from {day_words(days[0])} on" if days else ""
        yield f"{bag_list(s.bag.number for s in frozen)} in the freezer on the day of cooking{since}."
    for stored in plan.bags:
        if stored.cooked.pasteurised_by is None and stored.way is not Way.TABLE and stored.may_wait:
            assert stored.use_by is not None
            yield f"{bag_name(stored.bag)} was not pasteurised: next day only, by {day_words(stored.use_by)}."
    yield from _clashes(plan)


def _clashes(plan: BatchPlan) -> Iterator[str]:
    """Days on which one bath cannot warm everything at once."""
    for day in plan.days:
        warmed = [s.warmed for s in plan.bags if s.bag.eat_on == day.on and s.warmed is not None]
        baths = sorted({w.bath_C for w in warmed})
        if len(baths) > 1:
            yield (
                f"{day_words(day.on)} asks for reheating at {' and '.join(mark(c, 'C') for c in baths)} at the same "
                "time: use a second vessel, or name one reheating bath for all of that day."
            )


def _when(at: datetime, begin: datetime) -> str:
    """A time of day, with its day where it is another one than that of the beginning."""
    here = at.astimezone(begin.tzinfo)
    return f"{here:%H:%M}" if here.date() == begin.date() else f"{here:%H:%M} on {day_words(here.date())}"


def _in(bags: str, apart: bool) -> str:
    return f"{bags[:1].lower()}{bags[1:]} in at " if apart else "in at "


def notes_of(plan: BatchPlan) -> Iterator[str]:
    """What else to know, and what the numbers rest on."""
    if plan.batch.equipment is None:
        yield (
            "Nothing is known of the bath: the warm-up is a usual one, and whether the bags fit and how far they cool "
            "the water is not computed."
        )
    elif len(plan.bags) > 1:
        yield "The fall of the water is computed as if every piece in the bath were like those of the bag looked at."
    chilled = [stored for stored in plan.bags if stored.chill is not None]
    if chilled:
        yield "Every bag goes from the bath into ice water at once, hangs apart there, and goes on when cold."
        yield (
            f"Cold means a core of {mark(COLD_C, 'C')} on cautious figures: 5 % thicker, 7 % slower to conduct, the "
            "poorest contact and the warmest ice water together."
        )
    if any(s.warmed is not None for s in plan.bags):
        yield "A bag is opened on its day and eaten then; what is left of it is not kept again."
    authorities = {lot.request.authority for lot in plan.batch.lots}
    for authority in sorted(authorities):
        about = profile(authority)
        yield f"Rules of {about.name}: {about.bodies}. Your local food code comes first."
    yield from dict.fromkeys(c for lot in plan.batch.lots for c in lot.request.food.cautions)
    cautions = (c for lot in plan.batch.lots for c in cautions_for(lot.request.subject, lot.request.authority))
    yield from dict.fromkeys(c.text for c in cautions if c.key in ("guests", "garlic-oil"))


def _too_warm(plan: BatchPlan) -> Iterator[str]:
    """The fridge comes first where it is too warm, or was not measured."""
    firsts = [s.keeping.statements for s in plan.bags if s.keeping is not None]
    yield from dict.fromkeys(line for said in firsts for line in said if line.startswith(("This fridge", "Measure")))


def _by_use(kept: list[Stored]) -> Iterator[Stored]:
    seen = set()
    for stored in kept:
        if _use(stored) not in seen:
            seen.add(_use(stored))
            yield stored


def _use(stored: Stored) -> tuple[object, str]:
    return stored.use_by, stored.label.rule


def _minutes(seconds: float) -> float:
    return 60.0 * round(seconds / 60.0)
