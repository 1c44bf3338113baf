"""From one set point of a bath to the next: the water to swap, the time it takes and the reading to wait for."""

from __future__ import annotations

from corebath.bath.mixing import swap
from corebath.plan.equipment import Equipment
from corebath.units import mark

from .answer import Change
from .figures import figures
from .laid_out import LaidOut
from .problem import Run, Schedule


def changes_of(laid: LaidOut, schedule: Schedule, equipment: tuple[Equipment, ...]) -> tuple[Change, ...]:
    """Every change of a schedule in time order."""
    before: dict[int, Run] = {}
    found = []
    for run in sorted(schedule.runs, key=lambda r: (r.bath, r.number)):
        if run.bath in before:
            found.append(_change(laid, before[run.bath], run, equipment[run.bath], _first_in(laid, schedule, run)))
        before[run.bath] = run
    return tuple(sorted(found, key=lambda c: c.start.timestamp()))


def ready_minute(laid: LaidOut, run: Run, before: Run | None) -> int:
    """When a bath is ready for its run at the latest [min]."""
    works, tub = laid.problem.works, laid.problem.tubs[run.bath]
    if run.how == "swap":
        return run.begin + works.swap + works.settle
    if run.how == "turn" and before is not None:
        return run.begin + works.turn + tub.rises[run.point] - tub.rises[before.point]
    work = works.fill if run.how == "fill" else works.fresh
    return run.begin + work + int(tub.heats[run.point] or 0)


def _first_in(laid: LaidOut, schedule: Schedule, run: Run) -> str:
    """The dish that goes in first."""
    found = []
    for dish in schedule.placed:
        if (dish.bath, dish.run) == (run.bath, run.number):
            found.append((dish.drop_in, dish.item))
        if (dish.reheat_bath, dish.reheat_run) == (run.bath, run.number) and dish.reheat_in is not None:
            found.append((dish.reheat_in, dish.item))
    return laid.menu.dishes[min(found)[1]].name


def _change(laid: LaidOut, before: Run, run: Run, equipment: Equipment, first: str) -> Change:
    from_C, to_C = laid.points_C[before.point], laid.points_C[run.point]
    near_K = figures("change")["confirm_K"]
    bath = equipment.filled(0.0, max(from_C, to_C))
    cold_C, litres = equipment.fill_C, 0.0
    if run.how == "turn":
        what = (
            f"Set the bath from {mark(from_C, 'C')} to {mark(to_C, 'C')}. "
            f"Put in the {first} when it reads {mark(to_C - near_K, 'C')} or more."
        )
    elif run.how == "swap":
        litres = round(swap(bath, from_C, to_C, cold_C).swap_L, 1)
        what = (
            f"Switch the heater off. Take out {mark(litres, 'L')} of the hot water, pour in the same mass of tap water "
            f"at {mark(cold_C, 'C')}, stir, set {mark(to_C, 'C')} and start it again. Put in the {first} only when "
            f"the bath reads below {mark(to_C + near_K, 'C')}; if it reads more, swap a little again. Hot water "
            "scalds: carry it in small jugs."
        )
    else:
        litres = round(bath.volume_m3(cold_C) * 1000, 1)
        what = (
            f"Switch the heater off, empty the bath with care and fill it with {mark(litres, 'L')} of water at "
            f"{mark(cold_C, 'C')}, then set {mark(to_C, 'C')} and start it. Put in the {first} when it reads "
            f"{mark(to_C - near_K, 'C')} to {mark(to_C + near_K, 'C')}."
        )
    return Change(
        bath=laid.menu.baths[run.bath].name,
        start=laid.at(run.begin),
        end=laid.at(ready_minute(laid, run, before)),
        from_C=from_C,
        to_C=to_C,
        swap_L=litres,
        swap_C=cold_C,
        what=what,
    )
