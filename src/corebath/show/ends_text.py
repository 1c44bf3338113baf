"""Salt, sear, chill, keeping, reheating and the whole story as plain text, each in cooking order."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.chill.tables import KeepingRule, settings
from corebath.plan.alone.chill import ChillAnswer
from corebath.plan.alone.keep import KeepAnswer
from corebath.plan.alone.reheat import ReheatAnswer
from corebath.plan.alone.salt import SaltAnswer
from corebath.plan.alone.sear import SearAnswer
from corebath.plan.known import KnownPiece
from corebath.plan.story import Leg, Story
from corebath.safety.authority import profile
from corebath.salt.tables import usual_doses
from corebath.units import Preference, mark, show_duration, show_mass, show_temperature

from .plain import finding_line, judged, rendered, sections
from .words import capital, piece_words

_QUESTION, _ANSWER, _MIND, _RESTS = "The question", "The answer", "Keep in mind", "What the numbers rest on"


def salt_text(answer: SaltAnswer, preference: Preference) -> str:
    """The dose, then what the hours do, then what to expect."""
    request, salting = answer.request, answer.salting
    how = "dry brine" if request.water_kg is None else f"in {mark(request.water_kg, 'kg')} of water"
    asked = f"{request.percent:g} % of salt, {how}{', on the two broad faces' if request.broad_faces_only else ''}."
    doses = (
        f"{capital(usual.words)}: {_percent(usual.low_percent, usual.high_percent)} [{usual.source}]"
        for usual in usual_doses()
    )
    return sections(
        [
            (_QUESTION, [_piece(request.piece, preference), *rendered([asked], preference)]),
            (_ANSWER, rendered(answer.statements, preference)),
            *judged(answer.findings, preference),
            ("Usual doses", doses),
            (_RESTS, [*rendered(salting.assumptions, preference), f"How fast salt moves: {salting.source}."]),
        ]
    )


def sear_text(answer: SearAnswer, preference: Preference) -> str:
    """Before the pan, on the pan, what would change it, what to watch."""
    request = answer.request
    on = f"Seared on a {request.words}, surface {request.surface}, for a core of {mark(request.core_C, 'C')}."
    if request.hot.method == "pan":
        on = f"Seared on a {request.words} at {mark(request.hot.face_C, 'C')}, surface {request.surface}, " + (
            f"for a core of {mark(request.core_C, 'C')}."
        )
    return sections(
        [
            (_QUESTION, [_piece(request.piece, preference), *rendered([on], preference)]),
            (_ANSWER, rendered(answer.statements, preference)),
            ("What would change it", rendered((e.statement for e in answer.effects), preference)),
            *judged(answer.findings, preference),
            (_MIND, rendered((c.text for c in answer.cautions), preference)),
            (_RESTS, rendered(answer.sear.assumptions, preference)),
        ]
    )


def chill_text(answer: ChillAnswer, preference: Preference) -> str:
    """How long, how much ice, what the cooling rules say."""
    request = answer.request
    asked = f"From {mark(request.start_C, 'C')} into {request.medium.words}."
    return sections(
        [
            (_QUESTION, [_piece(request.piece, preference), *rendered([asked], preference), _rules(request.piece)]),
            (_ANSWER, rendered(answer.statements, preference)),
            *judged(answer.findings, preference),
            (_RESTS, rendered(answer.chill.assumptions, preference)),
        ]
    )


def keep_text(answer: KeepAnswer, preference: Preference) -> str:
    """How many days, the other rules, the freezer, and the bag's label."""
    request, keeping = answer.request, answer.keeping
    fridge = "not measured" if request.fridge_C is None else show_temperature(request.fridge_C, preference)
    treated = "pasteurised at the core" if request.pasteurised else "heated, not known to be pasteurised"
    opened = ", its bag opened" if request.opened else ""
    cooked = "" if request.cooked_C is None else f" at {show_temperature(request.cooked_C, preference)}"
    garlic = ", raw garlic, herbs or oil in the bag" if request.garlic_or_oil else ""
    risk = "; a guest at higher risk eats of it" if request.guests_at_risk else ""
    asked = (
        f"{capital(request.food.name)}, {treated}{opened}{garlic}, cooked{cooked} on {request.day.isoformat()}; fridge "
        f"{fridge}{risk}."
    )
    first, *more = rendered(answer.statements, preference)
    last = [f"Last day to eat it, kept in the fridge: {answer.use_by.isoformat()}."] if keeping.rule else []
    label = [] if answer.label is None else list(rendered(answer.label.lines, preference))
    return sections(
        [
            (_QUESTION, [asked, f"Rules of: {profile(request.authority).name}."]),
            (_ANSWER, [first, *last, *more]),
            *judged(answer.findings, preference),
            ("Other rules that apply", rendered(map(_other, keeping.others), preference)),
            ("On the bag", label),
            (_RESTS, [] if answer.freeze is None else rendered(answer.freeze.assumptions, preference)),
        ]
    )


def reheat_text(answer: ReheatAnswer, preference: Preference) -> str:
    """How long, and what the rules ask of it."""
    request, made = answer.request, answer.reheat
    treated = "pasteurised" if request.pasteurised else "not known to be pasteurised"
    held = ", to be held hot" if request.hot_holding else ""
    asked = f"Cooked at {mark(request.cooked_C, 'C')}, {treated}; warmed at {mark(request.bath_C, 'C')}{held}."
    return sections(
        [
            (_QUESTION, [_piece(request.piece, preference), *rendered([asked], preference), _rules(request.piece)]),
            (_ANSWER, rendered(made.statements, preference)),
            *judged(made.findings, preference),
            (_RESTS, rendered(made.assumptions, preference)),
        ]
    )


def story_text(story: Story, preference: Preference) -> str:
    """Stretch after stretch, each with its findings."""
    way = story.way
    salted = "not salted" if way.salt_percent is None else f"{way.salt_percent:g} % of salt"
    asked = (
        f"{capital(salted)}, {show_duration(way.bath_s)} at {show_temperature(way.set_point_C, preference)}, chilled, "
        f"kept {show_duration(way.keep_s)} at {show_temperature(way.fridge_C, preference)}, warmed"
        f"{' and seared' if way.hot is not None else ''}."
    )
    parts = [
        (_QUESTION, [_piece(story.piece, preference), asked, _rules(story.piece)]),
        *(
            (f"{i}. {capital(leg.name)}: {show_duration(leg.end_s - leg.start_s)}", _leg(story, leg, preference))
            for i, leg in enumerate(story.legs, start=1)
        ),
        (_RESTS, rendered(_story_rests(), preference)),
    ]
    return sections(parts)


def _leg(story: Story, leg: Leg, preference: Preference) -> Iterator[str]:
    yield from rendered(leg.statements, preference)
    for told in story.told:
        if told.leg == leg.key:
            line = finding_line(told.finding, preference)
            yield f"Binding. {line}" if told.finding.binding else line


def _story_rests() -> Iterator[str]:
    spread = settings()["spread"]
    yield (
        f"Findings are those of a piece {100 * spread['thickness']:g} % thicker that conducts "
        f"{100 * spread['diffusivity']:g} % slower, with the poorest contact and the warmest cold."
    )
    yield "A heat treatment counts in the first bath only. The sear is that of a slab as thick as the piece."


def _piece(piece: KnownPiece, preference: Preference) -> str:
    mass = "" if piece.mass_kg is None else f", {show_mass(piece.mass_kg, preference)}"
    count = "" if piece.pieces == 1 else f", {piece.pieces} of them"
    return f"{capital(piece_words(piece, preference))}{mass}{count}."


def _percent(low: float, high: float) -> str:
    return f"{low:g} %" if low == high else f"{low:g} to {high:g} %"


def _rules(piece: KnownPiece) -> str:
    return f"Rules of: {profile(piece.authority).name}."


def _other(rule: KeepingRule) -> str:
    return f"{rule.title}: {rule.days} {'day' if rule.days == 1 else 'days'} [{rule.source}]"
