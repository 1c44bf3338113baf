"""A logger's file on its way into a cook: shown as understood first, kept when the cook says so."""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta

from starlette.responses import Response

from corebath.log.cook import Cook, Happening, Reading
from corebath.log.csv_import import Choices, Understood, read_csv
from corebath.log.csv_table import Unclear
from corebath.log.gear import Kitchen
from corebath.units import render

from .cook_page import back_to, where
from .cook_view import zone_of
from .site import Site, sentence

_MOST_HELD = 4
_UNITS, _ELAPSED, _REPEATED = ("C", "F", "K"), ("ms", "s", "min", "h"), ("first", "second")
_FIELDS = ("unit", "day_first", "elapsed_unit", "repeated", "bath", "core")
_DATES = ("day first", "month first")


def looked_at(
    site: Site, cook_id: int, name: str, data: bytes, answers: Mapping[str, str], kitchen: Kitchen
) -> Response:
    """The page that says what was understood of a file, or asks the one thing that is not clear."""
    cook = site.store.cook(cook_id)
    understood: Understood | None = None
    question, asked = "", ""
    choices: tuple[str, ...] = ()
    try:
        understood = read_csv(data, zone_of(cook, kitchen), _choices(cook, answers))
    except Unclear as error:
        question, asked, choices = render(str(error), kitchen.preference), error.field, error.choices
    except ValueError as error:
        question = render(sentence(error), kitchen.preference)
    return site.html(
        "file.html", kitchen.preference, 422 if question else 200, cook=cook, where=where(cook),
        token=_hold(site, name, data), file_name=name, answers=answers, fields=_FIELDS, question=question, asked=asked,
        choices=choices, understood=understood,
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
        site.uploads.pop(token, None)
        return looked_at(site, cook_id, name, data, answers, kitchen)
    cook = site.store.cook(cook_id)
    understood = read_csv(data, zone_of(cook, kitchen), _choices(cook, answers))
    site.store.add_readings(cook_id, _readings(understood, name))
    site.uploads.pop(token, None)
    return back_to(site, cook_id)


def _choices(cook: Cook, answers: Mapping[str, str]) -> Choices:
    """What the cook has said of a file; one without dates counts from the drop-in."""
    dropped = cook.first(Happening.DROPPED_IN)
    dates = _one_of(answers.get("day_first", ""), _DATES)
    return Choices(
        unit=_one_of(answers.get("unit", ""), _UNITS),
        expect_C=cook.set_point_C,
        day_first=None if not dates else dates == _DATES[0],
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
        site.uploads.pop(next(iter(site.uploads)), None)
    token = secrets.token_urlsafe(16)
    site.uploads[token] = (name, data)
    return token


def _readings(understood: Understood, name: str) -> Iterator[Reading]:
    epoch = datetime(1970, 1, 1, tzinfo=UTC)
    for series in understood.series:
        for time_s, value_C in zip(series.time_s, series.value_C, strict=True):
            yield Reading(epoch + timedelta(seconds=float(time_s)), series.place, float(value_C), name)
