"""The page of one cook: in the kitchen while it goes on, in the log afterwards."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.log.cook import Cook
from corebath.log.estimate_why import estimate_whys
from corebath.log.learn_say import rating_words
from corebath.log.texts import limits
from corebath.log.words import hear
from corebath.show.why_words import by_part
from corebath.units import render

from .cook_view import CookView, answers_of, cook_charts, cook_view, words_of
from .next_time import proposal
from .site import Site, sentence


def cook_page(
    site: Site, cook_id: int, status: int = 200, typed: Mapping[str, str] | None = None, **mistakes: str
) -> HTMLResponse:
    """The page, with one sentence at the form that was not clear and what was typed into it.

    mistakes : by the form: event, changed, reading, file, rating, photo or name
    """
    kitchen, now = site.kitchen(), site.clock()
    cook = site.store.cook(cook_id)
    view = cook_view(cook, site.store, kitchen, now)
    values: dict[str, Any] = {
        "view": view,
        "charts": cook_charts(view, site.store),
        "photos": site.store.photos(cook_id),
        "mistakes": mistakes,
        "typed": typed or {},
        "again": f"/?{answers_of(cook.question).changed(eat='').query()}",
        "words_of": words_of,
        "whys": {} if view.estimate is None or view.faulty else by_part(estimate_whys(view.estimate)),
    }
    if not cook.ended:
        return site.html("cook.html", kitchen.preference, status, views=in_progress(site, view), **values)
    note = cook.rating.note if cook.rating is not None else ""
    values["heard"] = hear(note, given=cook.rating) if note else None
    values["proposed"] = proposal(cook, site.store, kitchen, now) if cook.rating is not None else None
    values["rating_words"] = rating_words
    values["most_photo_bytes"] = limits().photo_bytes
    return site.html("logged.html", kitchen.preference, status, **values)


def refused_page(site: Site, cook_id: int, form: str, typed: Mapping[str, str], error: Exception) -> HTMLResponse:
    """The page after something was not understood: one sentence at its form, and nothing lost."""
    return cook_page(site, cook_id, 422, typed, **{form: render(sentence(error), site.kitchen().preference)})


def in_progress(site: Site, seen: CookView | None = None) -> list[CookView]:
    """Views of all cooks that are not ended; `seen` is one that is there already."""
    kitchen, now = site.kitchen(), site.clock()
    known = {} if seen is None else {seen.cook.id: seen}
    return [known.get(c.id) or cook_view(c, site.store, kitchen, now) for c in site.store.cooks(ended=False).cooks]


def where(cook: Cook) -> str:
    """The address of a cook's page."""
    return f"/{'log' if cook.ended else 'kitchen'}/{cook.id}"


def back_to(site: Site, cook_id: int) -> RedirectResponse:
    """On to the cook's page after something was kept."""
    return RedirectResponse(where(site.store.cook(cook_id)), status_code=303)


def revision_of(answers: Mapping[str, str]) -> int:
    """The revision a form was made for; -1, which no cook has, when it does not say."""
    told = answers.get("revision", "")
    return int(told) if told.isdecimal() and len(told) < 10 else -1
