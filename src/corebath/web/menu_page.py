"""What the Menu screen shows: courses, dishes and kitchen with their blanks, and the answer when they are clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import lru_cache

from corebath.ask.menu import MOST_BATHS, MOST_COURSES, MOST_DISHES, course_times, menu_preference, understand_menu
from corebath.ask.menu_question import MenuQuestion, Row
from corebath.ask.menu_restate import restated_menu, served_question
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood
from corebath.food.catalogue import Food, catalogue
from corebath.food.naming import AmbiguousFood, UnknownFood, find
from corebath.log.gear import Kitchen
from corebath.outcome.results import Result, results_for
from corebath.plan.menu.answer import MenuPlan, MenuTask, Served
from corebath.plan.menu.menu import Menu
from corebath.plan.request import BadRequest
from corebath.safety.cautions import Caution
from corebath.safety.finding import Finding
from corebath.show.lanes_chart import LaneRow, lane_rows, lanes_drawing
from corebath.show.menu_words import (
    binding_met,
    by_day,
    clock,
    day_words,
    menu_answer,
    menu_broken,
    menu_cautions,
    open_findings,
    since,
    works,
)
from corebath.show.svg import to_svg
from corebath.units import US, Preference

BLANK = MenuQuestion(courses=(Row(),), dishes=(Row(), Row()))
_KEPT = 4  # answers kept for the files that belong to a page


@dataclass(frozen=True, slots=True)
class MenuPage:
    """Everything the template prints.

    question : answers as typed;  mistakes : one sentence by field ("d2.thick");  choices : answers that would do
    menu, plan : None while the question is not clear;  charts : the lanes, narrow and wide
    """

    question: MenuQuestion
    preference: Preference
    kitchen: Kitchen
    foods: tuple[Food, ...]
    mistakes: dict[str, str] = field(default_factory=dict)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    menu: Menu | None = None
    plan: MenuPlan | None = None
    charts: tuple[str, ...] = ()

    @property
    def status(self) -> int:
        """HTTP status: 422 for a question that was asked and is not clear."""
        return 422 if self.mistakes else 200

    @property
    def works(self) -> bool:
        """Whether there is an answer to follow."""
        return self.plan is not None and works(self.plan)

    @property
    def broken(self) -> bool:
        """Whether a binding rule of the answer is not met, or not known to be."""
        return self.plan is not None and menu_broken(self.plan)

    @property
    def answer(self) -> str:
        """The answer in one sentence."""
        assert self.plan is not None
        return menu_answer(self.plan, self.preference)

    @property
    def shown(self) -> MenuQuestion:
        """The question with the rows that a page has at least."""
        q = self.question
        return replace(q, courses=q.courses or BLANK.courses, dishes=q.dishes or BLANK.dishes)

    @property
    def room_for(self) -> dict[str, bool]:
        """Whether one more of each kind is accepted."""
        q = self.shown
        return {
            "course": len(q.courses) < MOST_COURSES,
            "dish": len(q.dishes) < MOST_DISHES,
            "bath": len(q.baths) < MOST_BATHS,
        }

    @property
    def course_choices(self) -> list[tuple[str, str]]:
        """Names of the courses, for a dish to choose from."""
        return [(name, name) for name in (r.name or f"course {i}" for i, r in enumerate(self.shown.courses, 1))]

    def with_food(self, number: int, name: str) -> str:
        """The address of the question with another food in one dish."""
        rows = self.question.dishes
        changed = (row.changed(food=name) if i == number else row for i, row in enumerate(rows, 1))
        return self.link(replace(self.question, dishes=tuple(changed)))

    def wants(self, row: Row) -> tuple[Result, ...]:
        """Results known for the food of a dish, none for a food that is not clear."""
        try:
            return results_for(find(row.food, place=self.question.rules.upper() or None).texture)
        except (AmbiguousFood, UnknownFood):
            return ()

    def opens(self, prefix: str, *fields: str) -> str:
        """Attribute that opens a group of answers when one of them is not clear."""
        return " open" if any(f"{prefix}{name}" in self.mistakes for name in fields) else ""

    def given(self, row: Row | MenuQuestion, **labels: str) -> str:
        """The answers given in a closed group, in a few words."""
        return "; ".join(f"{label} {value}" for name, label in labels.items() if (value := getattr(row, name)))

    def link(self, question: MenuQuestion) -> str:
        """The address of a question."""
        return f"/menu?{question.query()}"

    @property
    def other_units(self) -> tuple[str, str]:
        """Name and address of the same question in the other units."""
        name = "metric" if self.preference == US else "us"
        return name, self.link(replace(self.question, units=name))

    def dish_link(self, served: Served) -> str:
        """The Plan screen of one dish, its set point and time fixed."""
        return f"/?{self.dish_query(served)}"

    def dish_query(self, served: Served) -> str:
        """The question of one dish as an address carries it."""
        assert self.menu is not None
        question: Question = served_question(self.question, self.menu, served)
        return question.query()

    def ways_out(self) -> Iterator[tuple[str, str]]:
        """What could be changed, and the address that fills the form with it."""
        if self.plan is not None and self.menu is not None:
            for way in self.plan.ways_out:
                yield way.change, self.link(restated_menu(self.question, way.menu, self.menu))

    def clock(self, moment: datetime, before: datetime | None = None) -> str:
        """A moment by the cook's clock, with its day unless that was told with a moment before."""
        assert self.plan is not None
        return clock(moment, self.plan, before)

    def days(self) -> Iterator[tuple[str, tuple[MenuTask, ...]]]:
        """The run sheet by days."""
        assert self.plan is not None
        for day, tasks in by_day(self.plan):
            yield day_words(day), tasks

    def since(self, task: MenuTask) -> str:
        """Elapsed time of a task since the first one."""
        return since(task)

    def findings(self, served: Served, *, binding: bool) -> tuple[Finding, ...]:
        """Rules of a dish that are not met or not known, by whether they bind."""
        return tuple(f for f in open_findings(served) if f.binding is binding)

    def met(self, served: Served) -> int:
        """How many binding rules of a dish are met."""
        return binding_met(served)

    def cautions(self) -> tuple[tuple[Caution, tuple[str, ...]], ...]:
        """General cautions with the dishes they are for."""
        assert self.plan is not None
        return menu_cautions(self.plan)

    def lanes(self) -> tuple[LaneRow, ...]:
        """The chart as rows of a table."""
        assert self.plan is not None
        return lane_rows(self.plan)


def menu_page(question: MenuQuestion, now: datetime, kitchen: Kitchen) -> MenuPage:
    """The page for a question; it never raises for what a cook may type."""
    preference = menu_preference(question, kitchen)
    page = MenuPage(question, preference, kitchen, tuple(catalogue().values()))
    if question.is_empty() or question == BLANK:
        return page
    try:
        menu, plan = solved(question, now, kitchen)
    except Misunderstood as error:
        return replace(page, mistakes=error.sentences, choices=error.choices)
    return replace(page, menu=menu, plan=plan, charts=_charts(plan, preference))


def solved(question: MenuQuestion, now: datetime, kitchen: Kitchen) -> tuple[Menu, MenuPlan]:
    """The menu a question means, and its answer. Raises Misunderstood."""
    # The same minute gives the same answer, so that the files of a page do not search for it again.
    menu = understand_menu(question, now.replace(second=0, microsecond=0), kitchen)
    return menu, _solved(menu)


@lru_cache(maxsize=_KEPT)
def _solved(menu: Menu) -> MenuPlan:
    from corebath.plan.menu.solve import plan_menu  # the search is slow to load, and most pages need none

    try:
        return plan_menu(menu)
    except BadRequest as error:
        raise Misunderstood({error.field: str(error)}, {}) from None


def canonical(question: MenuQuestion, now: datetime, kitchen: Kitchen) -> MenuQuestion:
    """The question with its table times spelt out, so that its address means the same tomorrow."""
    return course_times(question, now, kitchen)


def _charts(plan: MenuPlan, preference: Preference) -> tuple[str, ...]:
    if not works(plan):
        return ()
    # Both cuts stand in one page, so the names inside them have to differ.
    return tuple(
        to_svg(replace(lanes_drawing(plan, preference, wide=cut == "wide"), key=f"lanes-{cut}"), standalone=False)
        for cut in ("narrow", "wide")
    )
