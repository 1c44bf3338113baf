"""A logger's file on its way into a cook: shown as understood first, kept when the cook says so."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta

from fastapi.responses import HTMLResponse, RedirectResponse
from starlette.responses import Response

from corebath.log.cook import Happening, Reading
from corebath.log.csv_import import Choices, Understood, read_csv
from corebath.log.csv_table import Unclear
from corebath.log.gear import Kitchen
from corebath.units import render

from .site import Site, sentence

_MOST_HELD = 4
_UNITS, _ELAPSED, _REPEATED = ("C", "F", "K"), ("ms", "s", "min", "h"), ("first", "second")


def looked_at(
    site: Site, cook_id: int, name: str, data: bytes, answers: Mapping[str, str], kitchen: Kitchen
) -> Response:
    """The page that says what was understood of a file, or asks the one thing that is not clear."""
    question, understood = "", None
    choices: tuple[str, ...] = ()
    chosen = choices_of(site, cook_id, answers)
    try:
        understood = read_csv(data, kitchen.zone, chosen)
    except Unclear as error:
        question, field, choices = render(str(error), kitchen.preference), error.field, error.choices
        answers = {**answers, "asked": field}
    except ValueError as error:
        question = render(sentence(error), kitchen.preference)
    token = _hold(site, name, data)
    return _page(site, cook_id, kitchen, token, name, answers, question, choices, understood)


def _page(
    site: Site, cook_id: int, kitchen: Kitchen, token: str, name: str, answers: Mapping[str, str], question: str,
    choices: tuple[str, ...], understood: Understood | None,
) -> HTMLResponse:  # fmt: skip
    return site.html(
        "file.html", kitchen.preference, 422 if question else 200, cook=site.store.cook(cook_id), token=token,
        file_name=name, answers=answers, question=question, choices=choices, understood=understood,
    )  # fmt: skip


def keep(site: Site, cook_id: int, token: str, answers: Mapping[str, str], kitchen: Kitchen) -> Response | None:
    """Keep the readings of a file that was looked at, or look again; None when it is not held any more.

    Raises ValueError when it cannot be read after all.
    """
    held = site.uploads.get(token)
    if held is None:
        return None
    name, data = held
    if "keep" not in answers:
        return looked_at(site, cook_id, name, data, answers, kitchen)
    understood = read_csv(data, kitchen.zone, choices_of(site, cook_id, answers))
    site.store.add_readings(cook_id, _readings(understood, name))
    site.uploads.pop(token, None)
    return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)


def choices_of(site: Site, cook_id: int, answers: Mapping[str, str]) -> Choices:
    """What the cook has said of a file; one without dates counts from the drop-in."""
    cook = site.store.cook(cook_id)
    dropped = cook.first(Happening.DROPPED_IN)
    day_first = answers.get("day_first", "")
    return Choices(
        unit=_one_of(answers.get("unit", ""), _UNITS),
        expect_C=cook.set_point_C,
        day_first=None if not day_first else day_first == "yes",
        start=dropped.at if dropped is not None else cook.planned_at,
        elapsed_unit=_one_of(answers.get("elapsed_unit", ""), _ELAPSED),
        repeated=_one_of(answers.get("repeated", ""), _REPEATED),
        bath=answers.get("bath", "")[:80],
        core=answers.get("core", "")[:80],
    )


def _one_of(text: str, accepted: tuple[str, ...]) -> str:
    return text if text in accepted else ""


def _hold(site: Site, name: str, data: bytes) -> str:
    while len(site.uploads) >= _MOST_HELD:
        site.uploads.pop(next(iter(site.uploads)))
    token = secrets.token_urlsafe(16)
    site.uploads[token] = (name, data)
    return token


def _readings(understood: Understood, name: str) -> Iterator[Reading]:
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    for series in understood.series:
        for time_s, value_C in zip(series.time_s, series.value_C, strict=True):
            yield Reading(epoch + timedelta(seconds=float(time_s)), series.place, float(value_C), name)
