"""Dry brine and equilibrium brine: what the hours in the fridge do to a piece of this thickness."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from corebath.heat.body import Body, Shape
from corebath.salt.diffusion import Uptake, core_reaches, salt_field, surface_uptake_s
from corebath.salt.tables import Diffusivity, diffusivity, settings
from corebath.units import mark


@dataclass(frozen=True, slots=True)
class Pace:
    """Times at one diffusivity.

    D_m2_s : the diffusivity [m2/s]
    uptake_s : shortest time until the dose has left the surface; None for a brine [s]
    half_s : the core holds half of the even value [s]
    level_s : the core holds nine tenths of it; waiting longer changes next to nothing [s]
    """

    D_m2_s: float
    uptake_s: float | None
    half_s: float
    level_s: float


@dataclass(frozen=True, slots=True)
class AfterHours:
    """What a wait has done.

    time_s : the wait [s];  depth_m : how deep half of the even value has come [m]
    core_share, surface_share : share of the even value there; _low at the slow end of D, _high at the fast [-]
    """

    time_s: float
    depth_m: float
    depth_low_m: float
    depth_high_m: float
    core_share: float
    core_share_low: float
    core_share_high: float
    surface_share: float


@dataclass(frozen=True, slots=True)
class Salting:
    """A piece being salted.

    known : False when no diffusivity is published for this kind; then the paces and waits are absent
    nominal, slow, fast : times at the middle and the two ends of the published range of D
    soonest_half_s, soonest_level_s : no food can be quicker: the same times in plain water at 25 degC [s]
    waits : what each wait does, in order of time
    statements : sentences for the cook
    assumptions, source : what they rest on
    """

    known: bool
    nominal: Pace | None
    slow: Pace | None
    fast: Pace | None
    soonest_half_s: float
    soonest_level_s: float
    waits: tuple[AfterHours, ...]
    statements: tuple[str, ...]
    assumptions: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class EquilibriumBrine:
    """A brine weighed so that meat and water end up even.

    salt_kg : salt to dissolve [kg];  brine_percent : strength of the brine at the start, of the brine [%]
    meat_percent : what the meat ends at when meat and water share the salt evenly by mass [%]
    meat_percent_low : the same when the salt spreads over the meat's own water only [%]
    salting : the times
    """

    salt_kg: float
    brine_percent: float
    meat_percent: float
    meat_percent_low: float
    salting: Salting
    statements: tuple[str, ...]


def dry_brine(
    body: Body,
    kind: str,
    percent: float,
    *,
    meat_water: float,
    broad_faces_only: bool = False,
    frozen_before: bool = False,
    hours: Sequence[float] | None = None,
) -> Salting:
    """Salt spread on the surface once, moving in while the piece waits in the fridge.

    body : the piece;  kind : as in `corebath.food`;  percent : salt of the meat [%]
    meat_water : mass fraction of water in the meat, 0.3 to 0.9 [-]
    broad_faces_only : a bar or brick gets its whole dose on the two broad faces, which is quicker for the
    core than the same salt on every face: the far ends' share has a long way to go
    frozen_before : the meat was frozen and thawed;  hours : waits to describe, above 0; default 2 to 24 [h]

    A kind without a published D gives `known=False` and only the bound by plain water. Raises ValueError for
    a dose beyond half of what the meat's water can hold.
    """
    _fraction(meat_water)
    if broad_faces_only and body.is_round:
        raise ValueError("a round piece has no broad faces: salt it all over")
    if broad_faces_only and body.shape in (Shape.BAR, Shape.BRICK):
        # Nothing then varies along the broad faces: the piece is a slab of its thickness.
        body = Body(Shape.SLAB, 2 * min(axis.half_m for axis in body.axes))
    saturated = settings()["saturated_brine"]["salt_per_water"] * meat_water
    dose_share = percent / 100
    surface_uptake_s(body, _ceiling(), dose_share, saturated)  # refuses a dose that cannot go in
    found = diffusivity(kind, frozen_before=frozen_before)

    def pace(D: float) -> Pace:
        return _pace(body, D, Uptake.ONCE, surface_uptake_s(body, D, dose_share, saturated))

    waits = _waits(body, found, Uptake.ONCE, hours)
    bare = _salting(body, found, Uptake.ONCE, pace, waits)
    return replace(
        bare,
        statements=_dry_statements(body, kind, bare),
        assumptions=(
            "The whole amount lies on the two broad faces."
            if broad_faces_only
            else "The salt is spread evenly over every face.",
            "It counts as given at once, since it leaves the surface long before it levels; crystals that have "
            "yet to dissolve are not counted.",
            *bare.assumptions,
        ),
    )


def equilibrium_brine(
    body: Body,
    kind: str,
    *,
    meat_kg: float,
    water_kg: float,
    percent: float,
    meat_water: float,
    frozen_before: bool = False,
    hours: Sequence[float] | None = None,
) -> EquilibriumBrine:
    """A brine whose salt is weighed to end even in meat and water.

    meat_kg, water_kg : both above 0 [kg];  percent : target, of meat and water together [%]
    meat_water : mass fraction of water in the meat, 0.3 to 0.9 [-]; the others as `dry_brine`

    The times hold the surface at the even value. A real brine starts stronger and falls to it, so the meat is
    never behind them; `fast` takes the first strength for the whole time at the fast end of D, and the meat
    is never ahead of that. Raises ValueError for a mass or a fraction outside its range.
    """
    _fraction(meat_water)
    if not (meat_kg > 0 and water_kg > 0):
        raise ValueError(f"meat and water must weigh more than 0 kg, got {meat_kg:g} kg and {water_kg:g} kg")
    if not 0 < percent <= settings()["dose_range"]["high_percent"]:
        raise ValueError(f"the salt must lie above 0 and up to 10 %, got {percent:g} %")
    salt = percent / 100 * (meat_kg + water_kg)
    stronger = (meat_kg + water_kg) / water_kg
    found = diffusivity(kind, frozen_before=frozen_before)
    waits = _waits(body, found, Uptake.HELD, hours)
    salting = _salting(body, found, Uptake.HELD, lambda D: _pace(body, D, Uptake.HELD, None), waits)
    if found is not None:
        salting = replace(salting, fast=_pace(body, found.high_m2_s, Uptake.HELD, None, stronger))
    soonest = _pace(body, _ceiling(), Uptake.HELD, None, stronger)
    salting = replace(salting, soonest_half_s=soonest.half_s, soonest_level_s=soonest.level_s)
    salting = replace(salting, statements=_brine_statements(kind, salting))
    meat_low = salt * meat_water / (meat_water * meat_kg + water_kg) * 100
    statements = (
        f"Dissolve {mark(salt, 'kg')} of salt in {mark(water_kg, 'kg')} of water for {mark(meat_kg, 'kg')} of "
        f"meat: {percent:g} % of meat and water together.",
        f"The meat ends at {meat_low:.2g} to {percent:g} % salt, depending on whether it spreads by the "
        "water or by the mass.",
        *salting.statements,
    )
    return EquilibriumBrine(salt, salt / (salt + water_kg) * 100, percent, meat_low, salting, statements)


def _pace(body: Body, D_m2_s: float, uptake: Uptake, uptake_s: float | None, stronger: float = 1.0) -> Pace:
    """Times at one diffusivity; `stronger` is the surface's salt over the even value, 1 or more [-]."""
    half, level = (settings()[name]["share"] / stronger for name in ("half_even", "levelled"))
    return Pace(D_m2_s, uptake_s, core_reaches(body, D_m2_s, half, uptake), core_reaches(body, D_m2_s, level, uptake))


def _ceiling() -> float:
    return float(settings()["water_ceiling"]["D_m2_s"])


def _salting(
    body: Body,
    found: Diffusivity | None,
    uptake: Uptake,
    pace: Callable[[float], Pace],
    waits: tuple[AfterHours, ...],
) -> Salting:
    soonest = _pace(body, _ceiling(), uptake, None)
    if found is None:
        paces: tuple[Pace | None, Pace | None, Pace | None] = (None, None, None)
        source = f"bound only: {settings()['water_ceiling']['source']}"
    else:
        paces = (pace(found.nominal_m2_s), pace(found.low_m2_s), pace(found.high_m2_s))
        source = found.source
    cold = settings()["cold"]["fridge_C"]
    return Salting(
        known=found is not None,
        nominal=paces[0],
        slow=paces[1],
        fast=paces[2],
        soonest_half_s=soonest.half_s,
        soonest_level_s=soonest.level_s,
        waits=waits,
        statements=(),
        assumptions=(
            *((f"Diffusivity: {found.note}.",) if found else ()),
            "How the diffusivity changes with temperature is not known for meat; the published range is used "
            "as it stands, and what the salt does in the warm bath is not counted.",
            "Skin and fat hold salt back a hundredfold and more: salt the lean side.",
            f"The piece waits at {mark(cold, 'C')} or below; salt at these doses does not make it keep.",
        ),
        source=source,
    )


def _waits(
    body: Body, found: Diffusivity | None, uptake: Uptake, hours: Sequence[float] | None
) -> tuple[AfterHours, ...]:
    if found is None:
        return ()
    times = np.array(settings()["practice_hours"]["hours"] if hours is None else hours) * 3600.0
    half = settings()["half_even"]["share"]
    fields = [salt_field(body, D, times, uptake) for D in (found.nominal_m2_s, found.low_m2_s, found.high_m2_s)]
    depths = [field.depth_of(half) for field in fields]
    nominal, slow, fast = fields
    return tuple(
        AfterHours(
            time_s=float(time),
            depth_m=float(depths[0][i]),
            depth_low_m=float(min(d[i] for d in depths)),
            depth_high_m=float(max(d[i] for d in depths)),
            core_share=float(nominal.core[i]),
            core_share_low=float(slow.core[i]),
            core_share_high=float(fast.core[i]),
            surface_share=float(nominal.surface[i]),
        )
        for i, time in enumerate(times)
    )


# Below a time [s], times are told in steps of [s].
_STEPS_s = ((3600.0, 300.0), (6 * 3600.0, 900.0), (24 * 3600.0, 1800.0), (float("inf"), 3600.0))


def _dry_statements(body: Body, kind: str, salting: Salting) -> tuple[str, ...]:
    nominal, slow, fast = salting.nominal, salting.slow, salting.fast
    if nominal is None or slow is None or fast is None:
        return (_unknown(kind, salting),)
    assert nominal.uptake_s is not None
    raw_wait = settings()["raw_wait"]["hours"] * 3600.0
    statements = [
        f"The salt has left the surface after {mark(nominal.uptake_s, 's')} at the soonest.",
        f"The core has half of its final salt after {about(nominal.half_s)} ({about(fast.half_s)} to "
        f"{about(slow.half_s)}); salted later than that, it seasons the outer part only.",
        f"The salt has levelled after {about(nominal.level_s)} ({about(fast.level_s)} to "
        f"{about(slow.level_s)}); waiting longer changes next to nothing.",
        *(_wait_sentence(body, wait) for wait in salting.waits),
    ]
    if nominal.half_s > raw_wait:
        statements.append(
            f"That is longer than a raw piece usually waits in the fridge ({mark(raw_wait, 's')}, common "
            "practice): at this thickness season the slices as well."
        )
    return tuple(statements)


def _wait_sentence(body: Body, wait: AfterHours) -> str:
    thinnest = min(axis.half_m for axis in body.axes)
    reach = (
        "half of the final salt has come all the way to the core"
        if wait.depth_m >= thinnest * 0.999
        else f"half of the final salt has come {mark(wait.depth_m, 'm')} deep"
    )
    surface = wait.surface_share
    above = _percent(surface) if surface <= 1.0 else f"{surface:.2g} times its final salt"
    return f"After {mark(wait.time_s, 's')} {reach}; the core has {_core_share(wait)}, the surface {above}."


def _core_share(wait: AfterHours) -> str:
    if _percent(wait.core_share_high) == _percent(0.0):
        return "none of it yet"
    low, high = _percent(wait.core_share_low), _percent(wait.core_share_high)
    return f"{_percent(wait.core_share)} of it ({low} to {high})"


def about(seconds: float) -> str:
    """A time of salting as a mark, no finer than a cook or the data could tell."""
    step_s = next(step for below, step in _STEPS_s if seconds < below)
    return mark(max(step_s * round(seconds / step_s), step_s), "s")


def _percent(share: float) -> str:
    return f"{max(round(100 * share), 0)} %"


def _brine_statements(kind: str, salting: Salting) -> tuple[str, ...]:
    nominal, slow, fast = salting.nominal, salting.slow, salting.fast
    if nominal is None or slow is None or fast is None:
        return (_unknown(kind, salting),)
    return (
        f"The core has half of its final salt after {about(nominal.half_s)} ({about(fast.half_s)} to "
        f"{about(slow.half_s)}) and nine tenths after {about(nominal.level_s)} "
        f"({about(fast.level_s)} to {about(slow.level_s)}); left longer it cannot turn saltier.",
    )


def _unknown(kind: str, salting: Salting) -> str:
    return (
        f"How fast salt moves in {kind} is not known: no usable measurement is held. It cannot be faster than "
        f"in plain water, so the core has less than half of its final salt before {mark(salting.soonest_half_s, 's')}."
    )


def _fraction(meat_water: float) -> None:
    if not 0.3 <= meat_water <= 0.9:
        raise ValueError(f"the water in the meat must lie between 0.3 and 0.9 of its mass, got {meat_water:g}")
