"""What every route needs: the store, the clock, and the templates."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from threading import Lock
from typing import Annotated, Any
from urllib.parse import parse_qsl

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, JSONResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from corebath.ask.equipment import cover_choices, sealing_choices
from corebath.ask.understand import Misunderstood
from corebath.language import LANGUAGES
from corebath.log.gear import Kitchen
from corebath.log.store import Store
from corebath.show.why_words import from_words
from corebath.show.words import capital
from corebath.units import Preference, mark, render

from .guard_token import FIELD, FormTokens

Clock = Callable[[], datetime]
# A moment as an address has it; a cook types a space between the day and the time.
_SPELT = re.compile(r"^(\d{4}-\d\d-\d\d)T(?=\d)")


# The screen that each template belongs to, by its address, where the list of screens has one.
_SCREENS = {
    "plan.html": "/", "menu.html": "/menu", "batch.html": "/batch", "kitchen.html": "/kitchen", "cook.html": "/kitchen",
    "log.html": "/log", "logged.html": "/log", "compared.html": "/log", "records.html": "/log",
    "records_add.html": "/log", "gear.html": "/gear",
}  # fmt: skip


def _pages() -> Environment:
    pages = Environment(
        loader=PackageLoader("corebath.web"), autoescape=select_autoescape(), undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True, extensions=[FormTokens],
    )  # fmt: skip
    pages.globals |= {"languages": LANGUAGES, "covers": cover_choices, "sealings": sealing_choices}
    pages.globals["from_words"] = from_words
    pages.filters["mark"] = mark
    pages.filters["sentence_case"] = capital
    pages.filters["moment"] = lambda typed: _SPELT.sub(r"\1 ", typed)
    pages.filters["minutes"] = lambda seconds: mark(60.0 * round(seconds / 60.0), "s")
    return pages


@dataclass(frozen=True, slots=True)
class Site:
    """One kitchen's site.

    fresh : the kitchen of a store that has none yet;  example : open with an example question
    clock : the moment of asking, another one in tests
    uploads : files that were looked at and not yet kept, by a token; only a few, and gone at a restart
    changing : held while what was told is looked at and added to, so that a double tap counts once
    """

    store: Store
    fresh: Kitchen
    example: bool = False
    clock: Clock = lambda: datetime.now(UTC)
    pages: Environment = field(default_factory=_pages)
    uploads: dict[str, tuple[str, bytes]] = field(default_factory=dict)
    changing: Lock = field(default_factory=Lock)

    def kitchen(self) -> Kitchen:
        """The kitchen as stored, or the fresh one."""
        kept = self.store.kitchen()
        return kept[0] if kept is not None else self.fresh

    def kitchen_and_revision(self) -> tuple[Kitchen, int]:
        """The kitchen with its revision, 0 for the fresh one."""
        return self.store.kitchen() or (self.fresh, 0)

    def html(self, name: str, preference: Preference, status: int = 200, **values: Any) -> HTMLResponse:
        """A template printed in the cook's units."""
        body = self.pages.get_template(name).render(
            screen=_SCREENS.get(name, ""),
            say=lambda text: render(text, preference),
            say_once=lambda text: render(text, preference, both=False),
            **values,
        )
        return HTMLResponse(body, status_code=status)


def misunderstood_as_json(error: Misunderstood, preference: Preference) -> JSONResponse:
    """For programs: a sentence for each answer that is not clear, and answers that would do."""
    said = {field: render(sentence, preference) for field, sentence in error.sentences.items()}
    return JSONResponse({"errors": said, "choices": error.choices}, status_code=422)


async def form_of(request: Request) -> dict[str, str]:
    """The answers of a plain form, without its token."""
    answers = dict(parse_qsl((await request.body()).decode("utf-8", "replace"), keep_blank_values=True))
    answers.pop(FIELD, None)
    return answers


# For routes that write: they run beside the others, as the store may keep them waiting.
Answers = Annotated[dict[str, str], Depends(form_of)]


def sentence(error: Exception) -> str:
    """What went wrong as a sentence of its own."""
    text = str(error)
    return f"{text[:1].upper()}{text[1:].rstrip('.')}."
