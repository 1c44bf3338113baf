"""The whole story of one piece: salted, cooked, chilled, kept, reheated, dried and seared, on one line of time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from corebath.chill.cool import Chill, chill
from corebath.chill.keep import Keeping, keep
from corebath.chill.reheat import Reheat, reheat
from corebath.chill.tables import Medium, medium
from corebath.chill.tables import settings as chill_settings
from corebath.heat.engine import Thermal, simulate
from corebath.heat.grid import Array
from corebath.heat.history import History
from corebath.heat.stage import Stage
from corebath.safety.cooling import cooling_limits
from corebath.safety.finding import Finding, Verdict
from corebath.safety.lethality import LethalityRule
from corebath.safety.rule import Rule
from corebath.safety.rules import binding_lethality, judge, reported_lethality, rules_for
from corebath.safety.tables import lethality_rules
from corebath.salt.brine import Salting, dry_brine
from corebath.salt.dose import dose_findings
from corebath.sear.hot import HotFace
from corebath.sear.run import Setup
from corebath.sear.sear import Sear, sear
from corebath.sear.tables import settings as sear_settings
from corebath.units import mark

from .data import defaults
from .known import KnownPiece

COLD_C = 5.0  # the core that ends the chill: cold holding
_HOUR, _DAY = 3600.0, 86_400.0


@dataclass(frozen=True, slots=True)
class Way:
    """What is done to the piece.

    set_point_C, bath_s : the cook [degC], [s]
    salt_percent, salt_s : dry brine, None for none [%], and its wait in the fridge [s]
    chill_in : medium of `chill.tables`;  fridge_C : the fridge as measured [degC];  keep_s : how long it keeps [s]
    reheat_C : set point of the second bath, None for a little below the first [degC]
    serve_C : core it is warmed to, None for the usual [degC]
    dry_s : open to the air before the pan [s];  hot : what it is seared on, None for no sear
    film_kg_m2 : water left on its faces then [kg/m2];  room_C : the kitchen [degC]
    boiling_C : where water boils here [degC]

    Raises ValueError for a time outside 1 min to 96 h in the bath, 1 h to 30 days kept, 10 min to 7 days salted and
    1 s to 1 h dried. The other figures are checked by the rooms they go to.
    """

    set_point_C: float
    bath_s: float
    salt_percent: float | None
    salt_s: float
    hot: HotFace | None
    film_kg_m2: float
    fridge_C: float
    keep_s: float
    dry_s: float
    chill_in: str = "ice-water-still"
    reheat_C: float | None = None
    serve_C: float | None = None
    room_C: float = 20.0
    boiling_C: float = 100.0

    def __post_init__(self) -> None:
        for name, value_s, low_s, high_s, counts in (
            ("the time in the bath", self.bath_s, 60.0, 96 * _HOUR, True),
            ("the time it is kept", self.keep_s, _HOUR, 30 * _DAY, True),
            ("the wait after salting", self.salt_s, 600.0, 7 * _DAY, self.salt_percent is not None),
            ("the drying", self.dry_s, 1.0, _HOUR, self.hot is not None),
        ):
            if counts and not low_s <= value_s <= high_s:
                raise ValueError(f"{name} must lie between {mark(low_s, 's')} and {mark(high_s, 's')}")


@dataclass(frozen=True, slots=True)
class Leg:
    """One stretch of the story.

    key : salted, bath, chill, kept, reheat, dried, sear or rest;  name : in the cook's words
    start_s, end_s : on the story's clock [s];  statements : what is said of it
    """

    key: str
    name: str
    start_s: float
    end_s: float
    statements: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Told:
    """A finding at its moment. at_s : on the story's clock [s];  leg : key of the stretch it belongs to"""

    finding: Finding
    at_s: float
    leg: str


@dataclass(frozen=True, slots=True)
class Story:
    """One piece from the salt to the plate.

    nominal : the whole history of a piece as described
    cautious : from drop-in to the end of the reheating, the piece that is slowest to warm and to cool at once, in
        the warmest cold; findings are its, with their times from drop-in
    legs : the stretches in order;  told : every finding at its moment, in order of time
    pasteurised_by : the core treatment met in the bath, None for heated only
    """

    piece: KnownPiece
    way: Way
    nominal: History
    cautious: History
    legs: tuple[Leg, ...]
    told: tuple[Told, ...]
    pasteurised_by: LethalityRule | None
    salting: Salting | None
    chill: Chill
    keeping: Keeping
    reheat: Reheat
    seared: Sear | None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Every finding, in order of its moment."""
        return tuple(told.finding for told in self.told)

    def leg(self, key: str) -> Leg:
        """The stretch of a key. Raises KeyError when the story has none."""
        return next((leg for leg in self.legs if leg.key == key), None) or _no_leg(key)


def tell(piece: KnownPiece, way: Way) -> Story:
    """Take a piece through everything.

    It chills until its cautious core is at 5 degC, and warms until its cautious core is at the serving
    temperature. The cautious piece is 5 % thicker, conducts 7 % slower and has the poorest contact everywhere.
    Raises ValueError for figures outside the range of a part, and for a chill that never gets it cold.
    """
    thermal = piece.thermal((way.fridge_C + way.set_point_C) / 2)
    subject, authority, body = piece.subject, piece.authority, piece.body
    fridge = medium("fridge").measured(way.fridge_C)
    warm_C = way.set_point_C - defaults()["reheat"]["below_set_point_K"] if way.reheat_C is None else way.reheat_C
    salting = None
    if way.salt_percent is not None:
        salting = dry_brine(
            body, piece.food.kind, way.salt_percent, meat_water=piece.food.composition.water,
            frozen_before=piece.frozen_before, hours=[way.salt_s / 3600],
        )  # fmt: skip
    chilled = chill(body, thermal, way.set_point_C, way.chill_in, subject, authority)
    cold_s = chilled.runs.reach(COLD_C).cautious_s
    if cold_s is None:
        raise ValueError(f"{chilled.medium.words} never brings this core to {mark(COLD_C, 'C')} for certain")
    around = _Around(way, fridge, chilled.medium, warm_C)
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
    rule = pasteurised_by(piece, treated)
    kept = keep(authority, fridge_C=way.fridge_C, pasteurised=rule is not None, guests_at_risk=piece.guests_at_risk)
    again = reheat(
        body, thermal, way.fridge_C, warm_C, subject, authority, cooked_C=way.set_point_C,
        pasteurised=rule is not None, to_C=way.serve_C,
    )  # fmt: skip
    serve_s = again.runs.reach(again.to_C).cautious_s
    if serve_s is None:
        raise ValueError(f"a bath at {mark(warm_C, 'C')} never brings this core to {mark(again.to_C, 'C')} for certain")
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
    told = sorted(_told(story), key=lambda t: t.at_s)
    return replace(story, told=tuple(told), legs=tuple(_said(story, leg) for leg in legs))


def pasteurised_by(piece: KnownPiece, cautious: History) -> LethalityRule | None:
    """The core treatment that makes a history, from drop-in on, count as pasteurised for keeping, or None.

    Every binding core treatment has to be met, and one that names a reduction of bacteria: where none of those that
    bind does, the first that is reported; where there is none, as for vegetables, 70 degC for 2 min or its
    equivalents. Freedom from worms alone does not make a piece keep.
    """
    binding = binding_lethality(piece.subject, piece.authority)
    told = reported_lethality(piece.subject, piece.authority)
    fallback = lethality_rules()[defaults()["keep"]["without_rule"]]
    counted = next((r for r in (*binding, *told) if r.target_log10 is not None), fallback)
    met = all(rule.met_at_s(cautious.time_s, cautious.core_C) is not None for rule in (*binding, counted))
    return counted if met else None


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
        return (self.way.set_point_C if key == "bath" else self.reheat_C), h


def _setup(piece: KnownPiece, way: Way, hot: HotFace, thermal: Thermal, field_C: Array) -> Setup:
    """The sear that follows; its start is the field along the thinnest side, through the core."""
    if piece.body.is_round:
        raise ValueError("a round piece is not known in a sear: leave the sear out, or take it as a slab")
    return Setup(
        thickness_m=piece.body.thickness_m,
        material=thermal.warm,
        meat_water=min(max(piece.food.composition.water, 0.3), 0.9),
        start_C=field_C.reshape(field_C.shape[0], -1)[:, 0],
        core_result_C=way.set_point_C,
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
            f"{mark(story.way.bath_s, 's')} at {mark(story.way.set_point_C, 'C')}: "
            + (
                f"pasteurised at the core by “{story.pasteurised_by.title}”."
                if story.pasteurised_by is not None
                else "heated at the core, not pasteurised."
            ),
        ),
        "chill": story.chill.statements,
        "kept": story.keeping.statements,
        "reheat": story.reheat.statements,
        "sear": () if story.seared is None else story.seared.statements,
    }
    return replace(leg, statements=said.get(leg.key, ()))


def _told(story: Story) -> Iterator[Told]:
    """Every finding once, each at the moment that decides it."""
    way, bath = story.way, story.leg("bath")
    if way.salt_percent is not None:
        for finding in dose_findings(way.salt_percent, cook_s=way.bath_s):
            late = finding.rule == "salt-cured-texture" or story.salting is None
            at = bath if late else story.leg("salted")
            yield Told(finding, at.end_s, at.key)
    seen: set[str] = set()
    for told in _judged(story):
        seen.add(told.finding.rule)
        yield told
    chilled, kept, warm = story.leg("chill"), story.leg("kept"), story.leg("reheat")
    for finding in story.chill.findings:
        if finding.rule not in seen:
            yield Told(finding, chilled.end_s, "chill")
    yield from (Told(_within_days(story, finding), kept.end_s, "kept") for finding in story.keeping.findings)
    for finding in story.reheat.findings:
        before = finding.rule in ("reheat-no-hotter", "reheat-pasteurised-before")
        yield Told(finding, warm.start_s if before else warm.end_s, "reheat")
    if story.seared is not None:
        hot, last = story.leg("sear"), story.legs[-1]
        for finding in story.seared.findings:
            at = last if finding.rule == "sear-grey-band" else hot
            yield Told(finding, at.end_s, at.key)


def _judged(story: Story) -> Iterator[Told]:
    """The rules of the safety room: heat treatments count in the first bath only, cooling until it is warmed again."""
    subject, authority = story.piece.subject, story.piece.authority
    kept_s = story.leg("kept").end_s - story.leg("bath").start_s
    cooked, cooled, over_all = (
        judge(story.cautious.until(s), subject, authority)
        for s in (story.way.bath_s, kept_s, story.cautious.duration_s)
    )
    for rule, first, cold, whole in zip(rules_for(subject, authority), cooked, cooled, over_all, strict=True):
        in_bath = rule.check in ("core", "surface", "slow-cook")
        finding = first if in_bath else cold if _of_cooling(rule) else whole
        yield Told(finding, *_moment(story, rule, finding, warmed_again=cold.why != whole.why))


def _moment(story: Story, rule: Rule, finding: Finding, *, warmed_again: bool) -> tuple[float, str]:
    """When a rule is decided, and on which leg.

    warmed_again : the reheating changed the verdict's figures
    """
    bath, chilled, warm, cautious = (story.leg("bath"), story.leg("chill"), story.leg("reheat"), story.cautious)
    if _of_cooling(rule):
        to_C = cooling_limits(rule.figures["cooling"])[-1].to_C if rule.check == "cooling" else COLD_C
        below = (cautious.time_s > story.way.bath_s) & (cautious.core_C <= to_C)
        at_s = bath.start_s + float(cautious.time_s[int(np.argmax(below))]) if below.any() else chilled.end_s
        return at_s, ("chill" if at_s <= chilled.end_s else "kept")
    if rule.check in ("come-up", "time-control", "hold-below", "core-below"):
        if warmed_again:
            return warm.end_s, "reheat"
        hot_s = cautious.until(story.way.bath_s).first_core_above(rule.figures["high_C"])
        return (bath.end_s if hot_s is None else bath.start_s + hot_s), "bath"
    if rule.check == "bath-minimum":
        return bath.start_s, "bath"
    return (bath.end_s if finding.met_at_s is None else bath.start_s + finding.met_at_s), "bath"


def _within_days(story: Story, finding: Finding) -> Finding:
    """A keeping rule as it stands when the piece is taken out, not only when it is put away."""
    rule, kept_s = story.keeping.rule, story.way.keep_s
    if rule is None or finding.rule != f"keep-{rule.key}":
        return finding
    days = rule.days - (1 if rule.cooking_day_counts else 0)
    late = kept_s > days * _DAY
    why = f"{finding.why} It is kept for {mark(kept_s, 's')}{', which is too long' if late else ''}."
    return replace(finding, why=why, verdict=Verdict.NOT_MET if late else finding.verdict)


def _of_cooling(rule: Rule) -> bool:
    return rule.check == "cooling" or rule.figures.get("part") == "cooling"


def _no_leg(key: str) -> Leg:
    raise KeyError(f"this story has no stretch {key!r}")
