"""What the Plan screen shows: the question with its blanks, and the plan when the question is clear."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import StrEnum

from corebath.ask.buying import party_of
from corebath.ask.question import Question
from corebath.ask.restate import named_food, restated, spelt
from corebath.ask.told import told_of
from corebath.ask.understand import Misunderstood, preference_of, understand
from corebath.ask.when import parse_ahead, parse_zone
from corebath.food.catalogue import Food, catalogue
from corebath.food.naming import AmbiguousFood, UnknownFood, find
from corebath.language import reader
from corebath.log.gear import Kitchen
from corebath.outcome.results import Result, results_for
from corebath.plan.basis import basis
from corebath.plan.buying import Buying, buy
from corebath.plan.buying_say import buying_basis, buying_statements, serves_statement
from corebath.plan.ends import Ends, make_ends
from corebath.plan.make import make_plan
from corebath.plan.map import make_map
from corebath.plan.plan import Plan
from corebath.plan.run_sheet import Task
from corebath.plan.why.lines import Line, keep_lines, salt_lines, sear_lines, water_lines
from corebath.plan.why.whole import buying_whys, ends_whys, plan_whys
from corebath.plan.why.why import Why
from corebath.safety.finding import Finding, Verdict
from corebath.show.as_text import cautions_of, grouped_findings
from corebath.show.bath_chart import bath_drawing, figure_of_plan
from corebath.show.core_chart import core_drawing
from corebath.show.map_chart import map_drawing
from corebath.show.sentences import time_set, to_do
from corebath.show.svg import to_svg
from corebath.show.why_words import by_part
from corebath.show.words import signed_duration
from corebath.units import US, NotUnderstood, Preference

_DEMO = Question(food="beef ribeye steak", thick="30 mm", pieces="2", mass="280 g", state="fridge", want="medium rare")


CUTS = ("narrow", "wide")
# The blanks in the order of the page, by the names that a screen reader says.
_BLANKS = {
    "pieces": "How many pieces", "food": "Food or cut", "thick": "Thickness or diameter at the thickest",
    "state": "Where it comes from", "shape": "Shape", "wide": "Width", "long": "Length", "mass": "Mass of one piece",
    "start": "Measured temperature of the piece", "handling": "Handling", "layers": "Pieces lying against each other",
    "fish": "Fish frozen against parasites", "bag": "In the bag", "want": "Result in words or bath temperature",
    "bath": "Time in the bath", "sear": "After the bath", "salt": "Salt, % of the meat", "pan": "Pan",
    "hot": "Temperature of the pan", "surface": "Surface before the sear", "eat": "Table time", "guests": "Who eats",
    "eaters": "How many eat", "appetite": "Appetite", "paid": "Price of the food by weight", "zone": "Time zone",
    "rules": "Whose food rules", "units": "Units", "vessel": "Vessel", "heater": "Heater", "cover": "Covered with",
    "litres": "Water filled in", "weight": "Weight that holds each bag under", "sealed": "Bags closed by",
    "ice": "Wait in ice water before the heater starts, and the ice",
}  # fmt: skip
_CHILLS = ("chill-time", "ice")
_FIRST = {Verdict.NOT_MET: 0, Verdict.NOT_KNOWN: 1, Verdict.MET: 2}


class Part(StrEnum):
    """What of the page is wanted: a script asks for the plan, then for its ends, which take as long again."""

    WHOLE = ""
    PLAN = "plan"
    ENDS = "ends"


@dataclass(frozen=True, slots=True)
class Charts:
    """The figures as SVG, in a narrow and a wide cut; a cut that was not asked for is empty.

    That of the bath is empty, too, where nothing happens to it: a short cook that hardly cools it.
    """

    map_narrow: str
    map_wide: str
    core_narrow: str
    core_wide: str
    bath_narrow: str
    bath_wide: str


@dataclass(frozen=True, slots=True)
class PlanPage:
    """Everything the template prints.

    question : answers as typed;  mistakes : one sentence by field;  choices : answers that would do, by field
    plan, charts : None while the question is not clear;  ends : None when only the plan itself was asked for
    buying : None while nobody said how many eat
    whys : reasons of the numbers by their part of the page; they come with the ends
    """

    question: Question
    preference: Preference
    kitchen: Kitchen
    foods: tuple[Food, ...]
    wants: tuple[Result, ...]
    mistakes: dict[str, str] = field(default_factory=dict)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    plan: Plan | None = None
    ends: Ends | None = None
    charts: Charts | None = None
    buying: Buying | None = None
    whys: dict[str, tuple[Why, ...]] = field(default_factory=dict)

    @property
    def status(self) -> int:
        """HTTP status: 422 for a question that was asked and is not clear."""
        return 422 if self.mistakes else 200

    @property
    def answer(self) -> str:
        """The plan in one sentence; what sets its time is `time_set`."""
        assert self.plan is not None
        return to_do(self.plan, self.preference)

    @property
    def time_set(self) -> str:
        """What sets the time, empty where the plan fails."""
        assert self.plan is not None
        return time_set(self.plan)

    @property
    def usual_vessel(self) -> str:
        """Name of the vessel a plan takes when the question names none."""
        named = self.kitchen.vessel()
        return named.name if named is not None else ""

    @property
    def usual_heater(self) -> str:
        """Name of the heater a plan takes when the question names none."""
        named = self.kitchen.heater()
        return named.name if named is not None else ""

    @property
    def water_findings(self) -> tuple[Finding, ...]:
        """Rules of the water; what is not met stands first."""
        water = self.plan.water if self.plan is not None else None
        return () if water is None else tuple(sorted(water.findings, key=lambda f: _FIRST[f.verdict]))

    @property
    def water_troubles(self) -> int:
        """How many rules of the water are not met."""
        water = self.plan.water if self.plan is not None else None
        return 0 if water is None else sum(f.verdict is Verdict.NOT_MET for f in water.findings)

    @property
    def zone(self) -> str:
        """The zone the table time is read in."""
        return self.question.zone or self.kitchen.zone.key

    @property
    def other_units(self) -> tuple[str, str]:
        """Name and address of the same question in the other units."""
        name = "metric" if self.preference == US else "us"
        return name, "/?" + self.question.changed(units=name).query()

    def findings(self) -> tuple[tuple[str, tuple[Finding, ...]], ...]:
        """Findings in reading order under their headings; what is not met stands first."""
        assert self.plan is not None
        groups = grouped_findings(self.plan).items()
        return tuple((title, tuple(sorted(found, key=lambda f: _FIRST[f.verdict]))) for title, found in groups if found)

    def cautions(self, *where: str) -> tuple[str, ...]:
        """General cautions for a place: always, cook, keep or fault."""
        assert self.plan is not None
        return tuple(c.text for c in cautions_of(self.plan) if set(where) & set(c.where))

    def mistake(self, name: str) -> str:
        """What is not clear at a blank; names that stand below it as links are left out."""
        near = "; ".join(self.choices.get(name, ()))
        return self.mistakes[name].replace(f"; near names: {near}", "") if near else self.mistakes[name]

    def mistaken(self) -> tuple[tuple[str, str], ...]:
        """The blanks that are not clear, in the order of the page, each with its name in words."""
        there = sorted(self.mistakes, key=lambda name: list(_BLANKS).index(name) if name in _BLANKS else len(_BLANKS))
        return tuple((name, _BLANKS.get(name, name)) for name in there)

    def opens(self, *fields: str) -> str:
        """Attribute that opens a group of answers when one of them is not clear."""
        return " open" if any(f in self.mistakes for f in fields) else ""

    def given(self, **labels: str) -> str:
        """The answers given in a closed group, in a few words."""
        return "; ".join(
            f"{label} {self.question.given()[name]}" for name, label in labels.items() if name in self.question.given()
        )

    @property
    def run_sheet(self) -> tuple[Task, ...]:
        """The run sheet, with the sear and the chill told where they are reckoned."""
        assert self.plan is not None
        return self.plan.run_sheet if self.ends is None else self.ends.run_sheet

    def since(self, task: Task) -> str:
        """Elapsed time of a task from drop-in, signed."""
        return signed_duration(task.since_drop_in_s)

    def basis(self) -> tuple[str, ...]:
        """What the numbers rest on."""
        assert self.plan is not None
        return basis(self.plan)

    def water_lines(self) -> tuple[Line, ...]:
        """What to do about the water, each line with the key of its reason."""
        assert self.plan is not None
        assert self.plan.water is not None
        return _linked(water_lines(self.plan.water))

    def salt_lines(self) -> tuple[Line, ...]:
        """The salt likewise."""
        assert self.ends is not None
        assert self.ends.salted is not None
        return _linked(salt_lines(self.ends.salted))

    def sear_lines(self) -> tuple[Line, ...]:
        """The sear likewise."""
        assert self.ends is not None
        assert self.ends.seared is not None
        return _linked(sear_lines(self.ends.seared))

    def keep_lines(self) -> tuple[Line, ...]:
        """What is kept likewise; the times in ice water and the ice stand last."""
        assert self.ends is not None
        lines = keep_lines(self.ends.kept)
        return _linked((*(a for a in lines if a[1] not in _CHILLS), *(a for a in lines if a[1] in _CHILLS)))

    def chill_count(self) -> int:
        """How many of those are times in ice water and ice."""
        assert self.ends is not None
        return sum(key in _CHILLS for _, key in keep_lines(self.ends.kept))

    def reason(self, key: str) -> str:
        """What the number with a reason is, in words."""
        found = (w.of for whys in self.whys.values() for w in whys if w.key == key)
        return next(found, key.replace("-", " "))

    def to_buy(self) -> tuple[str, ...]:
        """What to buy, or for how many the food at hand will do; empty when neither eaters nor mass are known."""
        assert self.plan is not None
        request = self.plan.request
        if self.buying is not None:
            return buying_statements(self.buying, self.plan)
        if request.piece_mass_kg is None:
            return ()
        return (serves_statement(self.plan, request.piece_mass_kg * request.pieces),)

    def buying_basis(self) -> tuple[str, ...]:
        """What the amounts rest on; empty while nobody said how many eat."""
        return () if self.buying is None else buying_basis(self.buying)

    def link(self, **answers: str) -> str:
        """The address of the question with some answers changed."""
        return "/?" + self.question.changed(**answers).query()

    def alternatives(self) -> tuple[tuple[str, str], ...]:
        """What could be changed, and the address that asks it."""
        assert self.plan is not None
        return tuple((a.change, "/?" + restated(self.question, a.request).query()) for a in self.plan.alternatives)


def _linked(lines: Iterable[Line]) -> tuple[Line, ...]:
    """The lines, with the key of a reason only at the first line that has it: one link for one reason."""
    kept = tuple(lines)
    before = [{key for _, key in kept[:i]} for i in range(len(kept))]
    return tuple((text, "" if key in seen else key) for (text, key), seen in zip(kept, before, strict=True))


def plan_page(
    question: Question, now: datetime, kitchen: Kitchen, part: Part = Part.WHOLE, cuts: Iterable[str] = CUTS
) -> PlanPage:
    """The page for a question, or the part of it that is asked for; it never raises for what a cook may type.

    cuts : of the figures, "narrow" and "wide"; a script asks for the one its window shows
    """
    preference = preference_of(question, kitchen)
    page = PlanPage(question, preference, kitchen, tuple(catalogue().values()), _wants(question))
    if not question.given():
        return page
    try:
        request = understand(question, now, kitchen)
    except Misunderstood as error:
        return replace(page, mistakes=error.sentences, choices=error.choices)
    party, price = party_of(question, kitchen)
    plan = make_plan(request)
    buying = None if party is None else buy(plan, party, price)
    ends = None if part is Part.PLAN else make_ends(plan)
    return replace(
        page,
        plan=plan,
        buying=buying,
        ends=ends,
        whys={} if ends is None else _whys(question, kitchen, plan, ends, buying),
        charts=None if part is Part.ENDS else _charts(plan, preference, tuple(cuts)),
    )


def _whys(
    question: Question, kitchen: Kitchen, plan: Plan, ends: Ends, buying: Buying | None
) -> dict[str, tuple[Why, ...]]:
    told = told_of(question, kitchen)
    bought = () if buying is None else buying_whys(buying, told)
    return by_part((*plan_whys(plan, told), *ends_whys(plan, ends, told), *bought))


def canonical(question: Question, now: datetime, kitchen: Kitchen) -> Question:
    """The question with its table time spelt out, so that the address means the same tomorrow."""
    if not question.eat:
        return question
    try:
        zone = parse_zone(question.zone) if question.zone else kitchen.zone
        eat = parse_ahead(question.eat, now, zone)
    except NotUnderstood:
        return question
    return question.changed(eat=spelt(eat), zone=zone.key, food=_named(question))


def _named(question: Question) -> str:
    """The food as typed, or its own name where the word means it only by the language of the page."""
    try:
        return named_food(question, find(question.food, place=question.rules.upper() or reader()))
    except (AmbiguousFood, UnknownFood):
        return question.food


def first_question(now: datetime, kitchen: Kitchen) -> Question:
    """The example a demo kitchen opens with: two steaks for the next evening table."""
    here = now.astimezone(kitchen.zone)
    table = here.replace(hour=19, minute=30, second=0, microsecond=0)
    if table - here < timedelta(hours=3):
        table += timedelta(days=1)
    return _DEMO.changed(eat=spelt(table), zone=kitchen.zone.key)


def _wants(question: Question) -> tuple[Result, ...]:
    try:
        return results_for(find(question.food, place=question.rules.upper() or reader()).texture)
    except (AmbiguousFood, UnknownFood):
        return ()


def _charts(plan: Plan, preference: Preference, cuts: tuple[str, ...]) -> Charts:
    area, bath = make_map(plan), figure_of_plan(plan)

    def drawn(name: str, cut: str) -> str:
        if cut not in cuts or (name == "bath" and (bath is None or not bath.is_eventful)):
            return ""
        wide = cut == "wide"
        if name == "map":
            drawing = map_drawing(plan, area, preference, wide=wide)
        elif bath is not None and name == "bath":
            drawing = bath_drawing(bath, preference, wide=wide, told=False)
        else:
            drawing = core_drawing(plan, preference, wide=wide)
        # Both cuts may stand in one page, so the names inside them have to differ.
        return to_svg(replace(drawing, key=f"{name}-{cut}"), standalone=False)

    return Charts(*(drawn(name, cut) for name in ("map", "core", "bath") for cut in CUTS))
