"""The bath by itself as plain text, in cooking order."""

from __future__ import annotations

from collections.abc import Iterator

from corebath.plan.alone.bath import BathAnswer
from corebath.safety.finding import Verdict
from corebath.units import Preference, render, show_duration, show_temperature

from .plain import finding_line, rendered, sections
from .words import capital, equipment_words, piece_words


def bath_as_text(answer: BathAnswer, preference: Preference) -> str:
    """Everything about one bath under headings; long lines are left for the reader's window to break."""
    order = (Verdict.NOT_MET, Verdict.NOT_KNOWN, Verdict.MET)
    found = sorted(answer.findings, key=lambda f: order.index(f.verdict))
    return sections(
        [
            ("The question", _question(answer, preference)),
            *((render(s.title, preference), rendered(s.statements, preference)) for s in answer.sections),
            ("What was looked at", [finding_line(f, preference) for f in found]),
        ]
    )


def _question(answer: BathAnswer, preference: Preference) -> Iterator[str]:
    request = answer.request
    yield capital(equipment_words(request.equipment, preference)) + "."
    yield (
        f"Set to {show_temperature(request.set_point_C, preference)} for {show_duration(request.hold_s)}, "
        f"from {request.starts.astimezone(request.zone):%H:%M on %A}."
    )
    if request.piece is not None:
        yield f"Food: {piece_words(request.piece, preference)}."
