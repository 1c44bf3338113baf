"""A card on paper: PDF, and plain text."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from math import ceil
from typing import Any

from corebath.units import US, Preference

from .card import LEAST_DETAIL, MOST_DETAIL, Card
from .plain import sections
from .typeset import paper_of, pdf_of, pngs_of

# Letter sizes [pt] tried at each detail, from the most detail on: rather fewer lines than small print.
_LETTERS = {"a5": (9.5, 8.5), "": (11.5, 10.5, 10.0)}
# With little detail left, smaller letters come before leaving out more, and before a card is refused.
_LAST = {"a5": (9.5, 8.5, 8.0, 7.5, 7.0), "": (11.5, 10.5, 10.0, 9.5, 9.0)}

# What one printed web page holds, counted for Letter, the lower of the two, and for a wide face of 10 pt: lines, and
# letters on a line of the header, the limits, the run sheet and a column.
_PAGE_LINES, _HEADER, _LIMITS, _WHAT, _COLUMN = 56, 70, 88, 56, 40
_WEB_LETTERS = (10, 9, 8)


def usual_paper(preference: Preference) -> str:
    """Letter for a cook who reads US units, else A4."""
    return "letter" if preference == US else "a4"


def card_pdf(card: Card, paper: str = "a4") -> bytes:
    """The card as a tagged PDF of one page; lines that find no room are left out, and it says how many.

    paper : a4, letter or a5.  Raises ValueError for another one, and for letters that cannot be printed.
    """
    return pdf_of("card.typ", _data(card, paper))


def card_png(card: Card, paper: str = "a4") -> bytes:
    """The same page as a picture."""
    return pngs_of("card.typ", _data(card, paper))[0]


def _data(card: Card, paper: str) -> dict[str, Any]:
    kind = "a5" if paper.lower() == "a5" else ""
    details = range(MOST_DETAIL, LEAST_DETAIL - 1, -1)
    views = {str(d): {**asdict(card.at(d)), "left_out": card.left_out(d)} for d in details}
    tries = [(d, size) for d in details for size in (_LETTERS if d > 1 else _LAST)[kind]]
    return {
        "paper": paper_of(paper),
        "name": card.name,
        "views": views,
        "tries": [{"view": str(detail), "size": size} for detail, size in tries],
    }


def card_text(card: Card, detail: int = 5) -> str:
    """The card as plain text with lines to write on."""
    shown = card.at(detail)
    parts = [
        (card.name, [card.when, *([shown.lead] if shown.lead else ()), *(f"{f.name}: {f.text}" for f in shown.facts)]),
        ("Limits", [*(f"{f.name}: {f.text}" for f in shown.limits), "Dropped in at ______  Pulled at ______"]),
        ("Run sheet", list(_steps(shown))),
        *((p.head, [text for text, _ in p.lines]) for p in shown.parts),
        ("", [f"{card.foot} {card.left_out(detail)}".strip()]),
    ]
    return sections(parts).replace("\n\n\n", "\n\n")


def web_print(card: Card) -> tuple[int, int]:
    """The most detail that one page of the card, printed from the web page, holds, and its letters [pt].

    It is reckoned by counting lines, since what faces the reader's machine has is not known.
    """
    details = range(MOST_DETAIL, LEAST_DETAIL, -1)
    tries = [(d, size) for d in details for size in (_WEB_LETTERS if d == 1 else _WEB_LETTERS[:1])]
    fitting = (try_ for try_ in tries if _lines(card.at(try_[0]), try_[1]) <= _PAGE_LINES * 10 / try_[1])
    return next(fitting, tries[-1])


def _lines(card: Card, size: int) -> float:
    """Lines of a page as the print style sets it: full width above, two columns below."""

    def of(text: str, letters: int) -> int:
        return ceil(len(text) * size / (10 * letters))

    above = 3 + of(card.lead, _HEADER) + of(" ".join(f"{f.name}: {f.text}." for f in card.facts), _HEADER)
    above += 2 + of(" ".join(f"{f.name}: {f.text}" for f in card.limits), _LIMITS)
    sheet = 2 + sum(0.3 + of(step.what, _WHAT) for step in card.steps)
    below = sum(1.5 + sum(of(text, _COLUMN) for text, _ in part.lines) for part in card.parts)
    return above + sheet + below / 2 + 3


def _steps(card: Card) -> Iterator[str]:
    day = ""
    for step in card.steps:
        day = step.day or day
        done = "  done at ______" if step.blank else ""
        yield f"{day} {step.clock} ({step.since}): {step.what}{done}"
