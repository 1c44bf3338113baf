"""Labels for bags, and the card for the fridge door, on paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, datetime
from math import ceil
from typing import Any

from corebath.data_files import read_toml
from corebath.plan.batch.labels import Label, day_words
from corebath.plan.data import defaults
from corebath.plan.ends import Ends
from corebath.plan.plan import Plan
from corebath.units import Preference, mark, render

from .handed import only_working
from .typeset import paper_of, pdf_of, pngs_of
from .words import capital

MOST_LABELS = 400
_LONGEST_TITLE = 120


def plan_labels(plan: Plan, ends: Ends, *, count: int | None = None) -> tuple[Label, ...]:
    """A label for each bag of a plan, sealed and chilled after the bath.

    count : of bags, 1 to 400; as many as lie apart in the bath by default
    Raises NotHandedOn for a plan that does not work, ValueError for another count.
    """
    only_working(plan)
    request, kept = plan.request, ends.kept
    bags = ceil(request.pieces / request.layers) if count is None else count
    if not 1 <= bags <= MOST_LABELS:
        raise ValueError(f"between 1 and {MOST_LABELS} labels can be printed, not {bags}")
    keeping = kept.keeping
    cold = mark(keeping.fridge_C, "C")
    one = Label(
        key="",
        title=capital(request.food.name),
        lines=tuple(_lines(plan, ends)),
        cooked=plan.pull,
        use_by=keeping.use_by(plan.pull.date()),
        rule=(
            keeping.refused.rstrip(".") or f"no rule held allows keeping it at {cold}: eat it, or freeze it at once"
            if keeping.rule is None
            else f"{keeping.rule.title}; sealed, at {mark(keeping.hold_C, 'C')} or below"
        ),
    )
    numbered = (f"{i} of {bags}" if bags > 1 else "1" for i in range(1, bags + 1))
    return tuple(replace(one, key=key) for key in numbered)


def _lines(plan: Plan, ends: Ends) -> Iterator[str]:
    kept = ends.kept
    bath_s = 60.0 * round(plan.bath_s / 60)
    treated = f"met: {kept.label.lines[2]}" if kept.pasteurised else "heated, not pasteurised"
    yield f"Cooked at {mark(plan.set_point_C, 'C')} for {mark(bath_s, 's')}; {treated}"
    if kept.reheat is None or kept.keeping.rule is None:
        return
    warm_s = kept.reheat.runs.reach(kept.reheat.to_C).cautious_s
    if warm_s is not None:
        warm_C = plan.set_point_C - defaults()["reheat"]["below_set_point_K"]
        up_to = mark(60.0 * ceil(warm_s / 60), "s")
        yield f"Warm it in a bath at {mark(warm_C, 'C')}: up to {up_to} to {mark(kept.reheat.to_C, 'C')} inside"


def labels_pdf(labels: Sequence[Label], preference: Preference, paper: str = "a4") -> bytes:
    """Sheets of labels as a tagged PDF, to be cut along the dashes.

    paper : a4 or letter.  Raises ValueError for another paper, for no label or more than 400, for letters that
    cannot be printed, and for a text too long for its label.
    """
    return pdf_of("labels.typ", _sheet(labels, preference, paper))


def labels_pngs(labels: Sequence[Label], preference: Preference, paper: str = "a4") -> list[bytes]:
    """The same sheets as pictures."""
    return pngs_of("labels.typ", _sheet(labels, preference, paper))


def fridge_pdf(labels: Sequence[Label], preference: Preference, made: datetime, paper: str = "a4") -> bytes:
    """The card for the fridge door: what is inside, which is eaten first, and how it is warmed, as a tagged PDF.

    made : when it is written.  Bags that differ in nothing but their key stand in one place. Raises ValueError as
    `labels_pdf` does.
    """
    return pdf_of("fridge.typ", _door(labels, preference, made, paper))


def fridge_pngs(labels: Sequence[Label], preference: Preference, made: datetime, paper: str = "a4") -> list[bytes]:
    """The same card as pictures."""
    return pngs_of("fridge.typ", _door(labels, preference, made, paper))


def label_lines(label: Label, preference: Preference) -> tuple[str, ...]:
    """A label as plain lines: food, when it was cooked, what was done, use by, and the rule."""
    said = _said(label, preference)
    return (said["title"], said["cooked"], *said["lines"], said["use_by"], said["rule"])


def _sheet(labels: Sequence[Label], preference: Preference, paper: str) -> dict[str, Any]:
    _check(labels, paper)
    size = read_toml("corebath.show", "labels.toml")["label"]
    return {
        "paper": paper_of(paper),
        "title": "Bag labels",
        "wide_mm": size["wide_mm"],
        "high_mm": size["high_mm"],
        "across": size["across"],
        "down": size["down"],
        "sizes": size["letters_pt"],
        "labels": [_said(label, preference) for label in labels],
    }


def _door(labels: Sequence[Label], preference: Preference, made: datetime, paper: str) -> dict[str, Any]:
    _check(labels, paper)
    alike: dict[Label, int] = {}
    for label in labels:
        one = replace(label, key="")
        alike[one] = alike.get(one, 0) + 1
    first = sorted(alike, key=lambda label: (label.use_by or date.max, label.title))
    rows = [
        {**_said(label, preference), "bags": "1 bag" if n == 1 else f"{n} bags", "count": n}
        for label, n in ((label, alike[label]) for label in first)
    ]
    return {
        "paper": paper_of(paper),
        "title": "In this fridge",
        "rows": rows,
        "foot": (
            f"Made {day_words(made.date())}. Days hold for bags that stay sealed and were chilled within their cooling "
            "limits. Your local food code comes first. When in doubt, throw it out."
        ),
    }


def _check(labels: Sequence[Label], paper: str) -> None:
    if paper.lower() not in ("a4", "letter"):
        raise ValueError(f"labels are printed on a4 or letter, not on {paper[:20]!r}")
    if not 1 <= len(labels) <= MOST_LABELS:
        raise ValueError(f"between 1 and {MOST_LABELS} labels can be printed, not {len(labels)}")
    for label in labels:
        if not 1 <= len(label.title.strip()) <= _LONGEST_TITLE or not label.title.isprintable():
            raise ValueError(f"a label needs the food's name in one line, 1 to {_LONGEST_TITLE} characters")


def _said(label: Label, preference: Preference) -> dict[str, Any]:
    day = f"Use by {day_words(label.use_by)}" if label.use_by is not None else "No day to use it by"
    return {
        "key": label.key,
        "title": label.title.strip(),
        "cooked": f"Out of the bath {day_words(label.cooked.date())}, {label.cooked:%H:%M}",
        "lines": [render(line, preference) for line in label.lines],
        "use_by": f"Frozen. {day}" if label.frozen else day,
        "rule": f"Rule: {render(label.rule, preference).replace('house rule: ', 'house rule, ', 1)}",
    }
