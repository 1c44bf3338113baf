"""Telling a story: one piece salted, cooked, chilled, kept, reheated, dried and seared, on one line of time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from corebath.chill.cool import Chill, chill
from corebath.chill.keep import Keeping, keep
from corebath.chill.reheat import reheat
from corebath.chill.tables import Medium, medium
from corebath.chill.tables import settings as chill_settings
from corebath.heat.engine import Thermal, simulate
from corebath.heat.grid import Array
from corebath.heat.history import History, seconds_above
from corebath.heat.stage import Stage
from corebath.safety.authority import Authority
from corebath.safety.finding import Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rules import binding_lethality, reported_lethality, rules_for
from corebath.safety.subject import Subject
from corebath.safety.tables import lethality_rules
from corebath.salt.brine import dry_brine
from corebath.sear.hot import HotFace
from corebath.sear.run import Setup
from corebath.sear.sear import Sear, sear
from corebath.sear.tables import settings as sear_settings
from corebath.units import mark

from .data import defaults
from .known import KnownPiece
from .request import BadRequest
from .story import COLD_C, Leg, Story, Way
from .story_told import told

# The heat treatment that spores of garlic, herbs and oil ask for.
_SPORES = "cbot-nonproteolytic-6log"
# Heaters are set in steps that stand for a table's rows: 54.4 for 54.44.
_SAME_K = 0.05


def tell(piece: KnownPiece, way: Way) -> Story:
    """Take a piece through everything.

    It chills until its cautious core is at 5 degC, and warms until its cautious core is at the serving
    temperature. The cautious piece is 5 % thicker, conducts 7 % slower and has the poorest contact everywhere.
    Raises ValueError for figures outside the range of a part, and for a chill that never gets it cold.
    """
    thermal = piece.thermal((way.fridge_C + way.bath_C) / 2)
    subject, authority, body = piece.subject, piece.authority, piece.body
    fridge = medium("fridge").measured(way.fridge_C)
    warm_C = way.set_point_C - defaults()["reheat"]["below_set_point_K"] if way.reheat_C is None else way.reheat_C
    salting = None
    if way.salt_percent is not None:
        salting = dry_brine(
            body, piece.food.kind, way.salt_percent, meat_water=piece.food.composition.water,
            frozen_before=piece.frozen_before, hours=[way.salt_s / 3600],
        )  # fmt: skip
    chilled = chill(body, thermal, way.bath_C, way.chill_in, subject, authority)
    cold_s = chilled.runs.reach(COLD_C).cautious_s
    if cold_s is None:
        raise ValueError(f"{chilled.medium.words} never brings this core to {mark(COLD_C, 'C')} for certain")
    around = _Around(way, fridge, chilled.medium, warm_C - way.offset_K)
    before = [
        ("salted", way.salt_s if salting is not None else 0.0),
        ("bath", way.bath_s),
        ("chill", cold_s),
        ("kept", way.keep_s),
    ]
    first = [(key, seconds) for key, seconds in before if seconds > 0]
    from_drop_in = [leg for leg in first if leg[0] != "salted"]
    cautious_body = body.scaled(1 + chill_settings()["spread"]["thickness"])
    slow = thermal.with_diffusivity_scaled(1 - chill_settings()["spread"]["diffusivity"])
    treated = simulate(cautious_body, slow, way.fridge_C, around.stages(from_drop_in[:1], cautious=True)).history
    rule = pasteurised_by(piece.subject, piece.authority, treated)
    again = reheat(
        body, thermal, way.fridge_C, warm_C, subject, authority, cooked_C=way.set_point_C,
        pasteurised=rule is not None, to_C=way.serve_C, offset_K=way.offset_K,
    )  # fmt: skip
    serve_s = again.runs.reach(again.to_C).cautious_s
    if serve_s is None:
        water = mark(warm_C - way.offset_K, "C")
        raise ValueError(f"a bath at {water} never brings this core to {mark(again.to_C, 'C')} for certain")
    kept = keep_cooked(
        subject, authority, treated, chilled, fridge_C=way.fridge_C, pasteurised=rule is not None, reheat_s=serve_s
    )
    whole = [*first, ("reheat", serve_s)]
    from_drop_in.append(whole[-1])
    cautious = simulate(cautious_body, slow, way.fridge_C, around.stages(from_drop_in, cautious=True)).history
    if way.hot is not None:
        whole.append(("dried", way.dry_s))
    cooked = simulate(body, thermal, way.fridge_C, around.stages(whole, cautious=False))
    seared = None
    nominal = cooked.history
    if way.hot is not None:
        seared = sear(_setup(piece, way, way.hot, thermal, cooked.field_C))
        nominal = joined(cooked.history, seared.nominal.history)
    legs = tuple(_legs(whole, around, seared, cooked.history.duration_s))
    story = Story(piece, way, nominal, cautious, legs, (), rule, salting, chilled, kept, again, seared)
    findings = sorted(told(story), key=lambda t: t.at_s)
    return replace(story, told=tuple(findings), legs=tuple(_said(story, leg) for leg in legs))


def pasteurised_by(subject: Subject, authority: Authority, cautious: History) -> LethalityRule | None:
    """The core treatment that makes a history, from drop-in on, count as pasteurised for keeping, or None.

    Every binding core treatment has to be met, and one that names a reduction of bacteria: where none of those that
    bind does, the first that is reported; where there is none, as for vegetables, 70 degC for 2 min or its
    equivalents. Freedom from worms alone does not make a piece keep.
    """
    asked = _pasteurising(subject, authority)
    met = all(rule.met_at_s(cautious.time_s, cautious.core_C) is not None for rule in asked)
    return asked[-1] if met else None


def _pasteurising(subject: Subject, authority: Authority) -> tuple[LethalityRule, ...]:
    """Treatments that all have to be met; the last is the one that counts."""
    binding = binding_lethality(subject, authority)
    told = reported_lethality(subject, authority)
    fallback = lethality_rules()[defaults()["keep"]["without_rule"]]
    return (*binding, next((r for r in (*binding, *told) if r.target_log10 is not None), fallback))


def keep_cooked(
    subject: Subject,
    authority: Authority,
    cautious: History,
    chilled: Chill,
    *,
    fridge_C: float | None,
    pasteurised: bool,
    reheat_s: float = 0.0,
) -> Keeping:
    """Keeping of a piece by what it went through.

    cautious : its history from drop-in to pull;  chilled : its chill from there on
    fridge_C, pasteurised : as in `chill.keep`;  reheat_s : until it is warm to serve again, where that is known [s]
    """
    cold_s = chilled.runs.reach(COLD_C).cautious_s
    # A chill that never ends cold is no shorter than what was looked at of it.
    cool_s = chilled.runs.cautious.duration_s if cold_s is None else cold_s
    spores = lethality_rules()[_SPORES]
    return keep(
        authority,
        fridge_C=fridge_C,
        pasteurised=pasteurised,
        guests_at_risk=subject.guests_at_risk,
        hottest_C=float(cautious.core_C.max()),
        warm_s=seconds_above(cautious.time_s, cautious.warmest_C, COLD_C) + cool_s + reheat_s,
        cooled=cooled_by(chilled, subject, authority),
        spores=subject.garlic_or_oil and spores.met_at_s(cautious.time_s, cautious.core_C) is None,
    )


def cooled_by(chilled: Chill, subject: Subject, authority: Authority) -> Verdict:
    """Whether a chill meets the cooling limits that bind; not known where one of them is not decided."""
    asked = {rule.key for rule in rules_for(subject, authority) if rule.check == "cooling" and rule.binding}
    found = {f.verdict for f in chilled.findings if f.rule in asked}
    return next((v for v in (Verdict.NOT_MET, Verdict.NOT_KNOWN) if v in found), Verdict.MET)


def check_pasteurised(subject: Subject, authority: Authority, bath_C: float) -> None:
    """Raises BadRequest where a bath cannot have pasteurised a piece that is said to be.

    bath_C : in truth [degC]. No treatment by which a piece counts as pasteurised gives credit below its lowest row.
    """
    rule = max(_pasteurising(subject, authority), key=lambda rule: rule.lowest_C)
    if bath_C < rule.lowest_C - _SAME_K:
        raise BadRequest(
            "pasteurised",
            f"a bath at {mark(round(bath_C, 1), 'C')} cannot have pasteurised it: “{rule.title}” counts nothing below "
            f"{mark(ceil(rule.lowest_C * 10 - 1e-6) / 10, 'C')}; accepted is no",
        )


def joined(first: History, then: History) -> History:
    """Two histories on one clock."""
    cat = np.concatenate
    return History(
        time_s=cat([first.time_s, first.duration_s + then.time_s]),
        core_C=cat([first.core_C, then.core_C]),
        mean_C=cat([first.mean_C, then.mean_C]),
        surface_C=cat([first.surface_C, then.surface_C]),
        ambient_C=cat([first.ambient_C, then.ambient_C]),
        stage=cat([first.stage, then.stage + len(first.stage_names)]),
        stage_names=(*first.stage_names, *then.stage_names),
    )


@dataclass(frozen=True, slots=True)
class _Around:
    """What surrounds the piece on each leg."""

    way: Way
    fridge: Medium
    cold: Medium
    reheat_C: float

    def name(self, key: str) -> str:
        return {
            "salted": "salted, in the fridge",
            "bath": "bath",
            "chill": self.cold.words,
            "kept": "fridge",
            "reheat": "reheating bath",
            "dried": "dried, open to the air",
        }[key]

    def stages(self, legs: Sequence[tuple[str, float]], *, cautious: bool) -> list[Stage]:
        return [Stage.constant(self.name(key), seconds, *self._of(key, cautious)) for key, seconds in legs]

    def _of(self, key: str, cautious: bool) -> tuple[float, float]:
        """Ambient [degC] and coefficient [W/(m2 K)]."""
        if key in ("salted", "kept", "chill"):
            cold = self.cold if key == "chill" else self.fridge
            return (cold.warm_C, cold.h_low) if cautious else (cold.nominal_C, cold.h_nominal)
        if key == "dried":
            return self.way.room_C, sear_settings()["room_air"]["h_W_m2K"]
        water = chill_settings()["bath_water"]
        h = water["low_h_W_m2K" if cautious else "nominal_h_W_m2K"]
        return (self.way.bath_C if key == "bath" else self.reheat_C), h


def _setup(piece: KnownPiece, way: Way, hot: HotFace, thermal: Thermal, field_C: Array) -> Setup:
    """The sear that follows; its start is the field along the thinnest side, through the core."""
    if piece.body.is_round:
        raise ValueError("a round piece is not known in a sear: leave the sear out, or take it as a slab")
    return Setup(
        thickness_m=piece.body.thickness_m,
        material=thermal.warm,
        meat_water=min(max(piece.food.composition.water, 0.3), 0.9),
        start_C=field_C.reshape(field_C.shape[0], -1)[:, 0],
        core_result_C=way.bath_C,
        hot=hot,
        film_kg_m2=way.film_kg_m2,
        room_C=way.room_C,
        boiling_C=way.boiling_C,
    )


def _legs(whole: Sequence[tuple[str, float]], around: _Around, seared: Sear | None, end_s: float) -> Iterator[Leg]:
    start = 0.0
    for key, seconds in whole:
        yield Leg(key, around.name(key), start, start + seconds)
        start += seconds
    if seared is not None:
        run = seared.nominal
        contact_s = sum(run.side_s)
        yield Leg("sear", "sear", end_s, end_s + contact_s)
        if run.history.duration_s > contact_s:
            yield Leg("rest", "rest", end_s + contact_s, end_s + run.history.duration_s)


def _said(story: Story, leg: Leg) -> Leg:
    said: dict[str, tuple[str, ...]] = {
        "salted": () if story.salting is None else story.salting.statements,
        "bath": (
            f"{mark(story.way.bath_s, 's')} at {mark(story.way.bath_C, 'C')}: "
            + (
                f"pasteurised at the core by “{story.pasteurised_by.title}”."
                if story.pasteurised_by is not None
                else "heated at the core, not pasteurised."
            ),
            *_truth(story.way),
        ),
        "chill": story.chill.statements,
        "kept": story.keeping.statements,
        "reheat": story.reheat.statements,
        "dried": (_when_dried(story, leg),),
        "sear": () if story.seared is None else story.seared.statements,
    }
    return replace(leg, statements=said.get(leg.key, ()))


def _truth(way: Way) -> Iterator[str]:
    """What the water is in truth, where the thermometer's offset was given."""
    if way.offset_K:
        yield (
            f"The bath is set to {mark(way.set_point_C, 'C')}; by the offset of its thermometer it is in truth at "
            f"{mark(way.bath_C, 'C')}."
        )


def _when_dried(story: Story, leg: Leg) -> str:
    history = story.nominal
    row = int(np.searchsorted(history.time_s, leg.end_s, side="left"))
    core_C, face_C = float(history.core_C[row]), float(history.surface_C[row])
    return f"When it meets the pan, its core is at {mark(core_C, 'C')} and its face at {mark(face_C, 'C')}."
