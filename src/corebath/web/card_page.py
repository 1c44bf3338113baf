"""What is handed on from a question or a cook: the plan with its ends, and where the paper says it comes from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from importlib.resources import files
from urllib.parse import parse_qsl

from jinja2 import Environment, PackageLoader, StrictUndefined

from corebath.ask.question import Question
from corebath.ask.understand import preference_of, understand
from corebath.log.cook import Cook
from corebath.log.gear import Kitchen
from corebath.plan.ends import Ends, make_ends
from corebath.plan.make import make_plan
from corebath.plan.plan import Plan
from corebath.show.card import Card, card_of
from corebath.show.card_sheet import usual_paper, web_print
from corebath.show.qr import MOST_BYTES
from corebath.show.together import page_together
from corebath.units import Preference

from .cook_view import answers_of, plan_of

_HOST = re.compile(r"(?:[A-Za-z0-9.-]{1,200}|\[[0-9A-Fa-f:.]{2,60}\])(?::\d{1,5})?")
_HERE = re.compile(r"localhost(?::\d+)?|127\.[0-9.]+(?::\d+)?|\[::1\](?::\d+)?")


@dataclass(frozen=True, slots=True)
class Handed:
    """One plan to be handed on.

    made : when it is asked for;  name : what the cook calls it, "" for the food's name
    back : address of the page it comes from;  query : of the question, for the other things to hand on
    """

    plan: Plan
    ends: Ends
    preference: Preference
    made: datetime
    name: str
    back: str
    query: str

    @property
    def given(self) -> dict[str, str]:
        """The answers of its question."""
        return dict(parse_qsl(self.query))

    @property
    def letter(self) -> bool:
        """True when it is printed on Letter, where nobody says another paper."""
        return usual_paper(self.preference) == "letter"

    def card(self, host: str = "", scheme: str = "http") -> Card:
        """Its card; the code holds the plan's address where others reach this host, else the plan itself."""
        link = f"{scheme}://{host}/?{self.query}"
        reached = bool(_HOST.fullmatch(host)) and not _HERE.fullmatch(host) and len(link) <= MOST_BYTES
        link = link if reached and self.query and link.isascii() else ""
        return card_of(self.plan, self.ends, self.preference, self.made, name=self.name, link=link)


def handed_on(question: Question, now: datetime, kitchen: Kitchen) -> Handed:
    """The plan of a question. Raises Misunderstood for one that is not clear."""
    plan = make_plan(understand(question, now, kitchen), offer=False)
    query = question.query()
    return Handed(plan, make_ends(plan), preference_of(question, kitchen), now, "", f"/?{query}", query)


def handed_on_from_cook(cook: Cook, now: datetime, kitchen: Kitchen) -> Handed | None:
    """The plan behind a cook in the kitchen; None when its question is not understood any more."""
    plan = plan_of(cook.question, cook.planned_at, kitchen)
    if plan is None:
        return None
    preference = preference_of(answers_of(cook.question), kitchen)
    back = f"/{'log' if cook.ended else 'kitchen'}/{cook.id}"
    return Handed(plan, make_ends(plan), preference, now, cook.name, back, "")


def card_file(card: Card) -> str:
    """A card as one HTML file that needs nothing beside it."""
    templates = Environment(
        loader=PackageLoader("corebath.web"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )  # fmt: skip
    style = (files("corebath.web") / "static" / "card.css").read_text(encoding="utf-8")
    page = templates.get_template("card.html").render(card=card, printed=web_print(card), handed=None, style=style)
    return page_together(page)
