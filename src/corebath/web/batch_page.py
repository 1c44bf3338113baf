"""What the page of a week's portions shows: foods with their blanks, and the answer when they are clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime

from corebath.ask.batch import batch_preference, misunderstood, understand_batch
from corebath.ask.batch_question import LOT, BatchQuestion, LotRow
from corebath.ask.restate import spelt
from corebath.ask.understand import Misunderstood
from corebath.ask.when import parse_when, parse_zone
from corebath.food.catalogue import Food, catalogue
from corebath.log.gear import Kitchen
from corebath.plan.batch.answer import BatchPlan
from corebath.plan.batch.batch import settings
from corebath.plan.batch.make import make_batch
from corebath.plan.batch.say import bag_list
from corebath.plan.menu.answer import MenuTask
from corebath.plan.request import BadRequest
from corebath.safety.finding import Finding, Verdict
from corebath.show.batch_words import after_bath, answer_words, bag_words, batch_question, by_day, judged_bags, on_day
from corebath.show.labels_sheet import label_lines
from corebath.units import US, NotUnderstood, Preference


@dataclass(frozen=True, slots=True)
class BatchPage:
    """Everything the template prints.

    question : answers as typed;  mistakes : one sentence by field ("l2.thick");  choices : answers that would do
    plan : None while the question is not clear
    """

    question: BatchQuestion
    preference: Preference
    kitchen: Kitchen
    foods: tuple[Food, ...]
    mistakes: dict[str, str] = field(default_factory=dict)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    plan: BatchPlan | None = None

    @property
    def status(self) -> int:
        """HTTP status: 422 for a question that was asked and is not clear."""
        return 422 if self.mistakes else 200

    @property
    def lots(self) -> tuple[LotRow, ...]:
        """The rows of the form: at least one."""
        return self.question.lots or (LotRow(),)

    @property
    def room(self) -> bool:
        """Whether one more food is accepted."""
        return len(self.lots) < int(settings()["limits"]["most_lots"])

    @property
    def other_units(self) -> tuple[str, str]:
        """Name and address of the same question in the other units."""
        name = "metric" if self.preference == US else "us"
        return name, self.address("", units=name)

    def address(self, file: str, **answers: str) -> str:
        """The address of this question, or of one of its files (".csv"), with some answers changed."""
        return f"/batch{file}?{self.question.changed(**answers).query()}"

    def with_food(self, number: int, name: str) -> str:
        """The address of the question with another food in one row."""
        rows = (row.changed(food=name) if i == number else row for i, row in enumerate(self.question.lots, start=1))
        return f"/batch?{replace(self.question, lots=tuple(rows)).query()}"

    def opens(self, prefix: str, *fields: str) -> str:
        """Attribute that opens a group of answers when one of them is not clear."""
        return " open" if any(f"{prefix}{f}" in self.mistakes for f in fields) else ""

    def given(self, row: LotRow, **labels: str) -> str:
        """The answers given in a closed group, in a few words."""
        known = {name: value for name in LOT if (value := getattr(row, name))}
        return "; ".join(f"{label} {known[name]}" for name, label in labels.items() if name in known)

    @property
    def answer(self) -> str:
        """The answer in one sentence."""
        assert self.plan is not None
        return answer_words(self.plan, self.preference)

    def asked(self) -> Iterator[str]:
        """The question in lines."""
        assert self.plan is not None
        return batch_question(self.plan, self.preference)

    def bags(self) -> tuple[str, ...]:
        """One line for each bag."""
        assert self.plan is not None
        return tuple(bag_words(stored, self.preference) for stored in self.plan.bags)

    def after(self) -> tuple[tuple[str, str], ...]:
        """What becomes of the bags, each sentence once."""
        assert self.plan is not None
        return after_bath(self.plan)

    def days(self) -> tuple[tuple[str, tuple[MenuTask, ...]], ...]:
        """The run sheet, day by day."""
        assert self.plan is not None
        return tuple((on_day(day), tasks) for day, tasks in by_day(self.plan))

    def clock(self, moment: datetime) -> str:
        """A moment by the cook's clock."""
        assert self.plan is not None
        return f"{moment.astimezone(self.plan.batch.zone):%H:%M}"

    def span(self, start: datetime, end: datetime) -> str:
        """Two moments, with their days where these are not the same."""
        assert self.plan is not None
        first, last = (moment.astimezone(self.plan.batch.zone) for moment in (start, end))
        days = ["", ""] if first.date() == last.date() else [f" on {on_day(first)}", f" on {on_day(last)}"]
        return f"{first:%H:%M}{days[0]} to {last:%H:%M}{days[1]}"

    def labels(self) -> tuple[tuple[str, ...], ...]:
        """The text of each bag's label."""
        assert self.plan is not None
        return tuple((f"Bag {label.key}", *label_lines(label, self.preference)) for label in self.plan.labels)

    def findings(self) -> tuple[tuple[str, bool, tuple[Finding, ...]], ...]:
        """Rules under headings, and whether they stand open; the bags they are about stand before their titles."""
        assert self.plan is not None
        told = [
            (replace(f, title=f"{bag_list(numbers)}: {f.title}") if numbers else f)
            for f, numbers in judged_bags(self.plan)
        ]
        open_ = [f for f in told if f.verdict is not Verdict.MET]
        groups = (
            ("Rules that bind and are not met or not known", True, tuple(f for f in open_ if f.binding)),
            ("Reported, not binding: not met or not known", False, tuple(f for f in open_ if not f.binding)),
            ("Rules that are met", False, tuple(f for f in told if f.verdict is Verdict.MET)),
        )
        return tuple(group for group in groups if group[2])


def batch_page(question: BatchQuestion, now: datetime, kitchen: Kitchen) -> BatchPage:
    """The page for a question; it never raises for what a cook may type."""
    page = BatchPage(question, batch_preference(question, kitchen), kitchen, tuple(catalogue().values()))
    if not any(value for _, value in question.pairs()):
        return page
    try:
        return replace(page, plan=planned(question, now, kitchen))
    except Misunderstood as error:
        return replace(page, mistakes=error.sentences, choices=error.choices)


def planned(question: BatchQuestion, now: datetime, kitchen: Kitchen) -> BatchPlan:
    """The plan of a question. Raises Misunderstood, also for what only the plan itself refuses."""
    batch = understand_batch(question, now, kitchen)
    try:
        return make_batch(batch)
    except BadRequest as error:
        raise misunderstood(error) from None
    except ValueError as error:
        # A part of the reckoning that ends sooner than what a kitchen may ask, such as the freezer's or the ice's.
        raise Misunderstood({"batch": str(error)}, {}) from None


def canonical(question: BatchQuestion, now: datetime, kitchen: Kitchen) -> BatchQuestion:
    """The question with its moment spelt out, so that the address means the same tomorrow."""
    top = question.top
    answers: dict[str, str] = {}
    for name in ("begin", "done"):
        text = getattr(top, name)
        if not text:
            continue
        try:
            zone = parse_zone(top.zone) if top.zone else kitchen.zone
            answers |= {name: spelt(parse_when(text, now, zone)), "zone": zone.key}
        except NotUnderstood:
            continue
    return question.changed(**answers) if answers else question
