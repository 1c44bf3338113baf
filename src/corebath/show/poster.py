"""The chart poster: a table of times put into words and figures for a reader, from which every form is made.

Nothing stands in colour alone: each rule has a letter, each state of a rule a sign beside it, and the key says them in
words.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import isfinite

from corebath import __version__
from corebath.heat.body import Body, Shape
from corebath.plan.plan import Governs
from corebath.plan.sweep import Cell, Times, Treatment, told_down_s, told_up_s
from corebath.safety.finding import Verdict
from corebath.units import Preference, render, show_length, show_temperature

from .poster_words import Key, key_of, letters_of, no_times_words, notes_of, steps_words
from .words import capital, sizes_words

NEVER = "–"
SIGNS = {Governs.HEAT: "", Governs.SAFETY: "§", Governs.TENDERNESS: "≈", Governs.RECIPE: "≈"}
STATES = {Verdict.MET: "", Verdict.NOT_MET: "!", Verdict.NOT_KNOWN: "?"}


@dataclass(frozen=True, slots=True)
class Mark:
    """One rule in one cell. text : its letter with its time or sign: "A 1:15", "B –", "F!";  binding : it binds"""

    text: str
    binding: bool


@dataclass(frozen=True, slots=True)
class PosterCell:
    """What stands in a cell.

    ready : time in the bath, or "–" where none is offered;  sign : what sets it;  until : last time, or ""
    hot : come-up as measured and cautious;  offered : False where no plan is offered
    soft : "" or what is to be said of softening;  marks : every rule that has something to say here
    """

    ready: str
    sign: str
    until: str
    hot: str
    soft: str
    offered: bool
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Head:
    """A row or a column. first, second : the size or set point in the reader's unit, and in the other"""

    first: str
    second: str


@dataclass(frozen=True, slots=True)
class Poster:
    """A table of times for a reader.

    title, subtitle : what it is about;  columns, rows : heads
    bands : results over the columns, with how many each spans
    cells : a row for each size;  key : what signs, letters and steps mean;  notes : headings with their lines
    made : day of computation and version
    """

    title: str
    subtitle: str
    columns: tuple[Head, ...]
    rows: tuple[Head, ...]
    bands: tuple[tuple[str, int], ...]
    cells: tuple[tuple[PosterCell, ...], ...]
    key: tuple[Key, ...]
    notes: tuple[tuple[str, tuple[str, ...]], ...]
    made: str


def make_poster(times: Times, preference: Preference, made: date) -> Poster:
    """The poster of a table. made : the day it was computed"""
    like, sweep = times.sweep.like, times.sweep
    letters = letters_of(times)
    told = {rule: verdict for rule, verdict in _same_everywhere(times).items() if verdict is not None}
    return Poster(
        title=f"{capital(like.food.name)}: times in the bath",
        subtitle=" ".join(s for s in (_subtitle(times, preference), render(no_times_words(times), preference)) if s),
        columns=tuple(_temperature(c, preference) for c in sweep.set_points_C),
        rows=tuple(_size(m, preference) for m in sweep.thicknesses_m),
        bands=_bands(times.rows[0]),
        cells=tuple(tuple(_cell(cell, letters, told) for cell in row) for row in times.rows),
        key=key_of(times, letters, told, preference),
        notes=notes_of(times, preference),
        made=f"Computed on {made.day} {made:%B %Y} by corebath {__version__}. {steps_words()}",
    )


def _same_everywhere(times: Times) -> dict[str, Verdict | None]:
    """The verdict of each rule that has no time of its own, where it is one and the same in every cell."""
    seen: dict[str, set[Verdict]] = {}
    for cell in (cell for row in times.rows for cell in row):
        timed = {t.rule for t in cell.treatments}
        for said in cell.verdicts:
            if said.rule not in timed:
                seen.setdefault(said.rule, set()).add(said.verdict)
    return {rule: next(iter(found)) if len(found) == 1 else None for rule, found in seen.items()}


def _cell(cell: Cell, letters: dict[str, str], told: dict[str, Verdict]) -> PosterCell:
    marks = [_treatment(t, letters) for t in cell.treatments]
    timed = {t.rule for t in cell.treatments}
    marks += [
        Mark(f"{letters[said.rule]}{STATES[said.verdict]}", said.binding)
        for said in cell.verdicts
        if said.rule not in timed and said.rule not in told
    ]
    return PosterCell(
        ready=clock(cell.ready_s) if cell.is_offered else NEVER,
        sign=SIGNS[cell.governs] if cell.is_offered else "",
        until=f"to {clock(cell.latest_s, up=False)}" if _has_room(cell) else "",
        hot=f"{clock(cell.come_up.nominal_s)}–{clock(cell.come_up.cautious_s)}",
        soft="≈?" if cell.softening_s is None else "",
        offered=cell.is_offered,
        marks=tuple(marks),
    )


def _has_room(cell: Cell) -> bool:
    """There is a last time to tell: the texture's own, and not just the moment it is ready."""
    known = cell.result is not None and cell.is_offered and isfinite(cell.latest_s)
    return known and told_down_s(cell.latest_s) > told_up_s(cell.ready_s)


def _treatment(treatment: Treatment, letters: dict[str, str]) -> Mark:
    at = clock(treatment.cautious_s) if isfinite(treatment.cautious_s) else NEVER
    return Mark(f"{letters[treatment.rule]} {at}", treatment.binding)


def clock(time_s: float, *, up: bool = True) -> str:
    """A time in hours and minutes, "1:52", or in hours from a day on, "39 h", rounded; "–" when it never comes."""
    if not isfinite(time_s):
        return NEVER
    minutes = round((told_up_s(time_s) if up else told_down_s(time_s)) / 60)
    return f"{minutes // 60} h" if minutes >= 24 * 60 else f"{minutes // 60}:{minutes % 60:02d}"


def _subtitle(times: Times, preference: Preference) -> str:
    like = times.sweep.like
    body = like.body
    shape = (
        body.shape.value if body.shape in (Shape.SLAB, Shape.CYLINDER, Shape.BALL) else sizes_words(body, preference)
    )
    if body.shape is Shape.BAR:
        shape = f"bar {show_length(body.width_m or 0.0, preference, both=False)} wide"
    elif body.shape is Shape.BRICK:
        wide, long = (show_length(m or 0.0, preference, both=False) for m in (body.width_m, body.length_m))
        shape = f"brick {wide} wide and {long} long"
    elif body.shape is Shape.SHORT_CYLINDER:
        shape = f"short cylinder {show_length(body.length_m or 0.0, preference, both=False)} long"
    said = [f"{capital(shape)}; {size_words(body)} down, set point of the bath across"]
    said.append(f"from the {like.state.value} at {show_temperature(like.from_C, preference)}")
    said.append(str(like.treated_as))
    if like.layers > 1:
        said.append(f"{like.layers} pieces against each other")
    if like.guests_at_risk:
        said.append("guests at higher risk")
    if like.garlic_or_oil:
        said.append("garlic, herbs or oil in the bag")
    if like.probe_offset_K:
        said.append(render(f"thermometer {like.probe_offset_K:+.1f} K off", preference))
    return ", ".join(said) + "."


def size_words(body: Body) -> str:
    """What a row is named by."""
    return "diameter" if body.is_round else "thickness"


def _temperature(value_C: float, preference: Preference) -> Head:
    shown = show_temperature(value_C, preference)
    first, _, second = shown.partition(" (")
    return Head(first, second.rstrip(")"))


def _size(value_m: float, preference: Preference) -> Head:
    first, _, second = show_length(value_m, preference).partition(" (")
    return Head(first, second.rstrip(")"))


def _bands(row: tuple[Cell, ...]) -> tuple[tuple[str, int], ...]:
    """Results over the columns they hold for."""
    names = [cell.result.words if cell.result is not None else "" for cell in row]
    edges = [0, *(i + 1 for i, (a, b) in enumerate(pairwise(names)) if a != b), len(names)]
    return tuple((names[a], b - a) for a, b in pairwise(edges))
